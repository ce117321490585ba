"""Where a reading stands against its limits, on a line that can be drawn.

The limits always stand at one and two thirds of the line, so that one drawing compares with the
next; places on it are counted in thirds, from 0 to 3.
"""

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import Enum

LOW_AT, HIGH_AT, LINE = 1, 2, 3
"""Where the limits stand and where the line ends, in thirds of it."""

_OFF_THE_LINE = Decimal(2 * LINE)
_MIDDLE = Decimal("1.5")
_GREATEST = 15  # a meter shows no number of more places; a record may claim any


class Side(Enum):
    """Which side of the limits a reading is on."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"
    OVER_LIMIT = "over limit"


@dataclass(frozen=True, slots=True)
class Standing:
    """A reading against its limits; at least one limit is there, and they do not cross.

    Args:
        value: what was read; None when over limit.
        low: the lower limit; None where there is none.
        high: the upper limit; None where there is none.
    """

    value: Decimal | None
    low: Decimal | None
    high: Decimal | None

    @property
    def side(self) -> Side:
        """Tell the side, by the digits exactly; a limit itself is inside."""
        if self.value is None:
            return Side.OVER_LIMIT
        if self.low is not None and self.value < self.low:
            return Side.BELOW
        if self.high is not None and self.value > self.high:
            return Side.ABOVE
        return Side.INSIDE

    @property
    def is_inside(self) -> bool:
        """Whether the value is allowed."""
        return self.side is Side.INSIDE

    @property
    def crossed(self) -> Decimal | None:
        """Give the limit that the value is past; None where it is inside or over limit."""
        return {Side.BELOW: self.low, Side.ABOVE: self.high}.get(self.side)

    @property
    def only(self) -> Decimal | None:
        """Give the one value that is allowed; None where more are, or fewer limits."""
        return self.low if self.low == self.high else None

    @property
    def words(self) -> str:
        """Say where the value lies, as "below the limits"."""
        if self.side is Side.OVER_LIMIT:
            return "over limit, off the scale"
        has_both = self.low is not None and self.high is not None
        return f"{self.side.value} the limit{'s' if has_both else ''}"

    @property
    def thirds(self) -> Decimal:
        """Give the value's place in thirds of the line: linear, through both limits.

        With one limit, zero stands at the end of the line that it is on. Where only one value is
        allowed it alone is in the middle, and a third is a tenth of it. Over limit is past the
        end, and so may a number be; a number too near a limit to tell apart stands on it.
        """
        if self.value is None:
            return _OFF_THE_LINE
        low, high = self.low, self.high
        size = abs(low or high or Decimal(0)) or Decimal(1)
        if self.only is not None:
            off = (self.value - self.only) / (size / 10)
            return _MIDDLE if not off else off + (LOW_AT if off < 0 else HIGH_AT)
        if low is None:
            return HIGH_AT + (self.value - (high or Decimal(0))) / (size / 2)
        return LOW_AT + (self.value - low) / (size if high is None else high - low)

    @property
    def is_off_the_line(self) -> bool:
        """Whether the value is past an end of the line."""
        return not 0 <= self.thirds <= LINE


def stand(value: str, low: str, high: str, *, over_limit: bool = False) -> Standing | None:
    """Read a reading and its limits from digits as a journal keeps them.

    Args:
        value: the reading's digits; of no account when over limit.
        low: the lower limit's digits; empty where there is none.
        high: the upper limit's digits; empty where there is none.
        over_limit: whether the meter showed OL.

    Returns:
        Where it stands; None without limits, where they cross, or where something is no number
        that a meter could show.
    """
    try:
        least, most = (_number(limit) if limit else None for limit in (low, high))
        shown = None if over_limit else _number(value)
    except InvalidOperation:
        return None
    has_none = least is None and most is None
    has_crossed = least is not None and most is not None and least > most
    return None if has_none or has_crossed else Standing(shown, least, most)


def _number(text: str) -> Decimal:
    """Read digits.

    Raises:
        InvalidOperation: where they are no number that a meter could show.
    """
    number = Decimal(text)
    if not number.is_finite() or abs(number.adjusted()) > _GREATEST:
        raise InvalidOperation
    return number
