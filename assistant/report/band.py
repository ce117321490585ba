"""A reading against its limits, laid out on a line so that a picture can be drawn.

The limits always stand at the same places (at one and two thirds of the line), so that rows can be
compared at a glance; a value too far off to be on the line stands at its end, and says so.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from assistant.journal.account import TakenValue
from assistant.rules.verdict import plain

WIDTH = 180
"""The length of the line, in the picture's own units."""

_THIRD = WIDTH / 3
_MARGIN = 6


@dataclass(frozen=True, slots=True)
class Band:
    """The picture of one reading.

    Args:
        left: where the allowed part begins.
        right: where it ends.
        low: the lower limit's digits; empty where there is none.
        high: the upper limit's digits; empty where there is none.
        mark: where the value stands.
        is_beyond: whether the value lies past the end of the line.
        words: where the value lies, as "below the limits".
    """

    left: float
    right: float
    low: str
    high: str
    mark: float
    is_beyond: bool
    words: str


def lay_out(value: TakenValue) -> Band | None:
    """Lay a reading out against its limits; None where it has none, or none that are numbers."""
    try:
        low, high = (Decimal(limit) if limit else None for limit in (value.low, value.high))
        shown = None if value.over_limit else Decimal(value.value)
    except InvalidOperation:
        return None
    if low is None and high is None:
        return None
    place = _scale(low, high)
    at = WIDTH if shown is None else place(shown)
    mark = round(min(max(at, _MARGIN), WIDTH - _MARGIN), 1)
    return Band(
        left=0 if low is None else _THIRD,
        right=WIDTH if high is None else 2 * _THIRD,
        low="" if low is None else f"{plain(low):f}",
        high="" if high is None else f"{plain(high):f}",
        mark=mark,
        is_beyond=shown is None or not 0 <= at <= WIDTH,
        words=_position(shown, low, high),
    )


def _scale(low: Decimal | None, high: Decimal | None) -> Callable[[Decimal], float]:
    """Give where a value stands on the line: linear, through the places of the limits.

    With one limit the other third is as wide as the limit is far from zero.
    """
    only = low if low is not None else high
    size = abs(only or Decimal(0)) or Decimal(1)
    if low is not None and high is not None:
        start, width = low, (high - low) or size / 10
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
