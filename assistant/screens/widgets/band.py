"""A reading between its limits, drawn in text cells so that it can be read without colour.

    ········[═══════●════════]········
            14             22
    17.5 Ω: inside the limits

The limits always stand at one and two thirds, so that one drawing compares with the next; a value
too far off to be on the line is an arrow at its end.
"""

from dataclasses import dataclass
from decimal import Decimal

from rich.text import Text
from textual.widget import Widget

from assistant.rules.band import HIGH_AT, LINE, LOW_AT, Side, Standing, stand
from assistant.rules.verdict import plain

NARROWEST = 21
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
    standing = stand(facts.value, facts.low, facts.high, over_limit=facts.over_limit)
    if standing is None:
        return None
    width = max(columns, NARROWEST)
    left, right = _thirds_of(width)
    has_low, has_high = standing.low is not None, standing.high is not None
    cells = _line(width, left if has_low else None, right if has_high else None)
    cells[_at(standing, width)] = _mark(standing)
    words = f"{facts.shown}: {_words(standing)}".lstrip(": ")
    labels = _labels(width, (left, _written(standing.low)), (right, _written(standing.high)))
    return Band("".join(cells), labels, words)


def _thirds_of(width: int) -> tuple[int, int]:
    """Give the cells of the limits."""
    return LOW_AT * width // LINE, HIGH_AT * width // LINE


def _written(limit: Decimal | None) -> str:
    """Write a limit without the noughts that only arithmetic made."""
    return "" if limit is None else f"{plain(limit):f}"


def _line(width: int, left: int | None, right: int | None) -> list[str]:
    start, stop = left or 0, width - 1 if right is None else right
    cells = [_INSIDE if start <= place <= stop else _OUTSIDE for place in range(width)]
    if left is not None:
        cells[left] = "["
    if right is not None:
        cells[right] = "]"
    return cells


def _mark(standing: Standing) -> str:
    if not standing.is_off_the_line:
        return _MARK
    return _OFF_LEFT if standing.thirds < 0 else _OFF_RIGHT


def _at(standing: Standing, width: int) -> int:
    """Give the cell of a value.

    The cells of the limits are the brackets' own, so that a value just outside is seen outside.
    """
    left, right = _thirds_of(width)
    side, thirds = standing.side, standing.thirds
    if side is Side.BELOW or (side is Side.INSIDE and thirds < LOW_AT):
        return _between(0, left - 1, thirds)
    if side is Side.INSIDE and thirds <= HIGH_AT:
        return _between(left + 1, right - 1, thirds - LOW_AT)
    return _between(right + 1, width - 1, thirds - HIGH_AT)


def _between(first: int, last: int, share: Decimal) -> int:
    cell = first + int((share * (last - first)).to_integral_value())
    return min(max(cell, first), last)


def _labels(width: int, *limits: tuple[int, str]) -> str:
    """Write each limit's digits centred under its place, without running into one another."""
    row = ""
    for place, digits in limits:
        if digits:
            start = max(place - len(digits) // 2, len(row) + 1 if row else 0)
            row = f"{row:<{start}}{digits}"
    return row if len(row) <= width else row[-width:]


def _words(standing: Standing) -> str:
    if standing.crossed is None:
        return standing.words
    return f"{standing.side.value} the limit of {_written(standing.crossed)}"


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
