"""A reading against its limits, laid out on a line so that a picture can be drawn.

The limits always stand at the same places (at one and two thirds of the line), so that rows can be
compared at a glance; a value too far off to be on the line stands at its end, and says so. Where
only one value is allowed, it stands in the middle.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from assistant.journal.account import TakenValue
from assistant.report.fitting import width_of
from assistant.rules.verdict import plain

WIDTH = 120
"""The length of the line, in the picture's own units."""

_THIRD = WIDTH / 3
_MARGIN = 6


_LABEL_SIZE = 13.0
_LABEL_WIDTH = 50.0
_THINNEST = 4.0
_GREATEST = 15  # a meter shows no number of more places; a record may claim any


@dataclass(frozen=True, slots=True)
class Band:
    """The picture of one reading.

    Args:
        left: where the allowed part begins.
        right: where it ends.
        low: the lower limit's digits; empty where there is none, or no room for them.
        high: the upper limit's digits; empty where there is none, or no room for them.
        mark: where the value stands.
        is_beyond: whether the value lies past the end of the line.
        is_inside: whether the value is allowed.
        words: where the value lies, as "below the limits".
    """

    left: float
    right: float
    low: str
    high: str
    mark: float
    is_beyond: bool
    is_inside: bool
    words: str


def lay_out(value: TakenValue) -> Band | None:
    """Lay a reading out against its limits; None where it has none, or none that are numbers."""
    try:
        low, high = (_number(limit) if limit else None for limit in (value.low, value.high))
        shown = None if value.over_limit else _number(value.value)
    except InvalidOperation:
        return None
    if low is None and high is None:
        return None
    at = WIDTH if shown is None else _scale(low, high)(shown)
    left, right = _box(low, high)
    words = _position(shown, low, high)
    return Band(
        left=left,
        right=right,
        low=_digits(low),
        high=_digits(high),
        mark=round(min(max(at, _MARGIN), WIDTH - _MARGIN), 1),
        is_beyond=shown is None or not 0 <= at <= WIDTH,
        is_inside=words.startswith("inside"),
        words=words,
    )


def _number(text: str) -> Decimal:
    """Read digits.

    Raises:
        InvalidOperation: where they are no number that a meter could show.
    """
    number = Decimal(text)
    if not number.is_finite() or abs(number.adjusted()) > _GREATEST:
        raise InvalidOperation
    return number


def _digits(limit: Decimal | None) -> str:
    """Write a limit; a number cut short would be another number, so it is whole or left out."""
    text = "" if limit is None else f"{plain(limit):f}"
    return text if width_of(text, _LABEL_SIZE) <= _LABEL_WIDTH else ""


def _box(low: Decimal | None, high: Decimal | None) -> tuple[float, float]:
    if low is not None and low == high:
        return (WIDTH - _THINNEST) / 2, (WIDTH + _THINNEST) / 2
    return (0 if low is None else _THIRD), (WIDTH if high is None else 2 * _THIRD)


def _scale(low: Decimal | None, high: Decimal | None) -> Callable[[Decimal], float]:
    """Give where a value stands on the line: linear, through the places of the limits.

    With one limit the other third is as wide as the limit is far from zero; where only one value
    is allowed, a third is a tenth of it.
    """
    only = low if low is not None else high
    size = abs(only or Decimal(0)) or Decimal(1)
    if low is not None and low == high:
        start, width = low - size / 20, size / 10
    elif low is not None and high is not None:
        start, width = low, high - low
    elif low is not None:
        start, width = low, size
    else:
        start, width = (high or Decimal(0)) - size / 2, size / 2
    return lambda shown: float((shown - start) / width) * _THIRD + _THIRD


def _position(shown: Decimal | None, low: Decimal | None, high: Decimal | None) -> str:
    if shown is None:
        return "over limit, off the scale"
    if low is not None and shown < low:
        return "below the limit" + ("s" if high is not None else "")
    if high is not None and shown > high:
        return "above the limit" + ("s" if low is not None else "")
    return "inside the limits" if low is not None and high is not None else "inside the limit"
