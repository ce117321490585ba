"""A reading against its limits, laid out on a line so that a picture can be drawn.

The limits always stand at the same places (at one and two thirds of the line), so that rows can be
compared at a glance; a value too far off to be on the line stands at its end, and says so. Where
only one value is allowed, it stands in the middle.
"""

from dataclasses import dataclass
from decimal import Decimal

from assistant.journal.account import TakenValue
from assistant.report.fitting import width_of
from assistant.rules.band import HIGH_AT, LINE, LOW_AT, Side, Standing, stand
from assistant.rules.verdict import plain

WIDTH = 120
"""The length of the line, in the picture's own units."""

_THIRD = WIDTH / LINE
_MARGIN = 6
_CLEAR = 6
"""What a cross keeps off the limit that it is past: half of its own width, and a little."""

_LABEL_SIZE = 13.0
_LABEL_WIDTH = 50.0
_THINNEST = 4.0


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
    standing = stand(value.value, value.low, value.high, over_limit=value.over_limit)
    if standing is None:
        return None
    left, right = _box(standing)
    return Band(
        left=left,
        right=right,
        low=_digits(standing.low),
        high=_digits(standing.high),
        mark=_mark(standing),
        is_beyond=standing.is_off_the_line,
        is_inside=standing.is_inside,
        words=standing.words,
    )


def _digits(limit: Decimal | None) -> str:
    """Write a limit; a number cut short would be another number, so it is whole or left out."""
    text = "" if limit is None else f"{plain(limit):f}"
    return text if width_of(text, _LABEL_SIZE) <= _LABEL_WIDTH else ""


def _box(standing: Standing) -> tuple[float, float]:
    if standing.only is not None:
        return (WIDTH - _THINNEST) / 2, (WIDTH + _THINNEST) / 2
    left = 0 if standing.low is None else LOW_AT * _THIRD
    return left, (WIDTH if standing.high is None else HIGH_AT * _THIRD)


def _mark(standing: Standing) -> float:
    """Give where the value stands; one just outside is never drawn inside."""
    at = round(float(standing.thirds) * _THIRD, 1)
    if standing.side is Side.BELOW:
        at = min(at, LOW_AT * _THIRD - _CLEAR)
    if standing.side is Side.ABOVE:
        at = max(at, HIGH_AT * _THIRD + _CLEAR)
    return min(max(at, _MARGIN), WIDTH - _MARGIN)
