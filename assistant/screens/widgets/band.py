"""A reading between its limits, drawn in text cells so that it can be read without colour.

    ········[═══════●════════]········
            14             22
    17.5 Ω: inside the limits

The limits always stand at one and two thirds, so that one drawing compares with the next; a value
too far off to be on the line is an arrow at its end.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from rich.text import Text
from textual.widget import Widget

from assistant.rules.verdict import plain

NARROWEST = 21
_THIRD = Decimal(1) / 3
_INSIDE, _OUTSIDE, _MARK, _OFF_LEFT, _OFF_RIGHT = "═", "·", "●", "◀", "▶"


@dataclass(frozen=True, slots=True)
class BandFacts:
    """What a band is drawn from, digits as a journal keeps them.

    Args:
        value: the reading's digits; empty when over limit.
        low: the lower limit's digits; empty where there is none.
        high: the upper limit's digits; empty where there is none.
        over_limit: whether the meter showed OL.
        shown: the reading as it is written, as `17.5 Ω`.
    """

    value: str
    low: str
    high: str
    over_limit: bool = False
    shown: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """A band as three lines of text.

    Args:
        line: the line with its limits and the mark.
        labels: the limits' digits under them.
        words: where the value lies, as "17.5 Ω: inside the limits".
    """

    line: str
    labels: str
    words: str

    @property
    def rows(self) -> tuple[str, str, str]:
        """Give the three lines."""
        return self.line, self.labels, self.words


def draw_band(facts: BandFacts, columns: int) -> Band | None:
    """Draw a reading against its limits; None where it has none, or none that are numbers.

    Args:
        facts: the reading and its limits.
        columns: how wide the line may be; at least 21 are taken.
    """
    try:
        low, high = (_digits(limit) for limit in (facts.low, facts.high))
        value = None if facts.over_limit else Decimal(facts.value)
    except InvalidOperation:
        return None
    if low is None and high is None:
        return None
    width = max(columns, NARROWEST)
    left, right = width // 3, 2 * width // 3
    cells = _line(width, left if low is not None else None, right if high is not None else None)
    share = Decimal(2) if value is None else _scale(low, high)(value)
    cells[_at(share, width)] = _mark(share)
    words = f"{facts.shown}: {_position(value, low, high)}".lstrip(": ")
    labels = _labels(width, (left, _written(low)), (right, _written(high)))
    return Band("".join(cells), labels, words)


def _written(limit: Decimal | None) -> str:
    """Write a limit without the noughts that only arithmetic made."""
    return "" if limit is None else f"{plain(limit):f}"


def _digits(limit: str) -> Decimal | None:
    return Decimal(limit) if limit else None


def _line(width: int, left: int | None, right: int | None) -> list[str]:
    start, stop = left or 0, width - 1 if right is None else right
    cells = [_INSIDE if start <= place <= stop else _OUTSIDE for place in range(width)]
    if left is not None:
        cells[left] = "["
    if right is not None:
        cells[right] = "]"
    return cells


def _mark(share: Decimal) -> str:
    if share < 0:
        return _OFF_LEFT
    return _OFF_RIGHT if share > 1 else _MARK


def _at(share: Decimal, width: int) -> int:
    """Give the cell of a share of the line.

    The cells of the limits are the brackets' own, so that a value just outside is seen outside.
    """
    left, right = width // 3, 2 * width // 3
    if share < _THIRD:
        return _between(0, left - 1, share / _THIRD)
    if share <= 2 * _THIRD:
        return _between(left + 1, right - 1, share / _THIRD - 1)
    return _between(right + 1, width - 1, share / _THIRD - 2)


def _between(first: int, last: int, share: Decimal) -> int:
    cell = first + int((share * (last - first)).to_integral_value())
    return min(max(cell, first), last)


def _scale(low: Decimal | None, high: Decimal | None) -> Callable[[Decimal], Decimal]:
    """Give where a value stands, as a share of the line: linear, limits at a third and two thirds.

    With one limit the other third is as wide as the limit is far from zero.
    """
    only = low if low is not None else high
    size = abs(only or Decimal(0)) or Decimal(1)
    if low is not None and low == high:
        return _scale_of_one(low, size / 10)
    if low is not None and high is not None:
        start, width = low, (high - low) or size / 10
    elif low is not None:
        start, width = low, size
    else:
        start, width = (high or Decimal(0)) - size / 2, size / 2
    return lambda shown: ((shown - start) / width + 1) * _THIRD


def _scale_of_one(limit: Decimal, width: Decimal) -> Callable[[Decimal], Decimal]:
    """Give the scale of two equal limits: only the limit itself is between them."""

    def share(shown: Decimal) -> Decimal:
        if shown == limit:
            return Decimal("0.5")
        off = (shown - limit) / width * _THIRD
        return 2 * _THIRD + off if off > 0 else _THIRD + off

    return share


def _labels(width: int, *limits: tuple[int, str]) -> str:
    """Write each limit's digits centred under its place, without running into one another."""
    row = ""
    for place, digits in limits:
        if digits:
            start = max(place - len(digits) // 2, len(row) + 1 if row else 0)
            row = f"{row:<{start}}{digits}"
    return row if len(row) <= width else row[-width:]


def _position(value: Decimal | None, low: Decimal | None, high: Decimal | None) -> str:
    if value is None:
        return "over limit, off the scale"
    if low is not None and value < low:
        return f"below the limit of {_written(low)}"
    if high is not None and value > high:
        return f"above the limit of {_written(high)}"
    return "inside the limits" if low is not None and high is not None else "inside the limit"


class BandBar(Widget):
    """Draws a reading between its limits, as wide as it is given room, at most 60 cells."""

    DEFAULT_CSS = "BandBar { height: 3; width: 1fr; }"
    _WIDEST = 60

    def __init__(self, facts: BandFacts, *, id: str | None = None, classes: str = "") -> None:  # noqa: A002 - the library's name
        super().__init__(id=id, classes=classes)
        self._facts = facts

    def set_facts(self, facts: BandFacts) -> None:
        """Draw another reading."""
        self._facts = facts
        self.refresh()

    def render(self) -> Text:
        """Draw it for the present width."""
        band = draw_band(self._facts, min(self.size.width or self._WIDEST, self._WIDEST))
        return Text("" if band is None else "\n".join(band.rows), no_wrap=True)
