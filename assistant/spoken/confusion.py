"""The values that a heard value is really mistaken for: by mouth, microphone or recogniser.

A reading is believed without asking only where none of these would change what comes next. The
kinds (common practice; teen/ty and "five"/"nine" also in the measurements of our own recognisers):

- teen and ty: "fifteen" and "fifty", in each place of the number, also behind the point
- a lost point: "seventeen point five" heard as 175, or 17.5 said for 175
- a doubled or a lost digit: 155 and 15
- a lost "one hundred": 140 heard as 40; "a hundred" heard as "eight hundred"
- five and nine, in each digit
- a lost or added "minus", where the sign can matter
- O L ("oh ell") and zero ("oh"), and a number that begins with zero
- every value that another hypothesis of the recogniser comes to
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from assistant.quantity import OverLimit, Quantity, Reading
from assistant.spoken.meaning import Expectation, NumberForm, Unclear, Value
from assistant.spoken.settling import is_possible
from assistant.spoken.understanding import understand

_HUNDRED, _TWO_HUNDRED, _EIGHT_HUNDRED = 100, 200, 800
_LONGEST_WHOLE = 4
_MOST_DECIMALS = 3
TEEN_OR_TY = "teen and ty sound alike"


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A value that may have been meant instead.

    Args:
        reading: that value.
        how: what would have been misheard, a few words.
    """

    reading: Reading
    how: str


def neighbours(
    reading: Reading, expectation: Expectation, alternatives: tuple[str, ...] = ()
) -> tuple[Neighbour, ...]:
    """Give the values that a reading may have been mistaken for, in a fixed order.

    Args:
        reading: what was understood.
        expectation: the turn; only values that it can take are given, inside its plausible range.
        alternatives: other words that the recogniser found nearly as likely.

    Returns:
        Each value once, never the reading itself; the first kind that leads to it is named.
    """
    form = expectation.number
    if form is None:
        return ()
    found: dict[Reading, str] = {}
    for other, how in (*_of_reading(reading), *_of_alternatives(alternatives, expectation)):
        if other != reading and _is_acceptable(other, form):
            found.setdefault(other, how)
    return tuple(Neighbour(other, how) for other, how in found.items())


def _is_acceptable(reading: Reading, form: NumberForm) -> bool:
    if isinstance(reading, OverLimit):
        return form.takes_over_limit
    is_signed_well = form.takes_negative or reading.value >= 0
    return is_signed_well and is_possible(reading, form)


def _of_reading(reading: Reading) -> Iterator[tuple[Reading, str]]:
    if isinstance(reading, OverLimit):
        yield Quantity(Decimal(0), reading.unit), "O L and zero sound alike"
        return
    sign = "-" if reading.value.is_signed() else ""
    digits = f"{abs(reading.value):f}"
    for other, how in _of_digits(digits):
        yield Quantity(Decimal(sign + other), reading.unit), how
    if reading.value:
        yield Quantity(-reading.value, reading.unit), "minus may be lost or added"
    if abs(reading.value) < 1:
        yield OverLimit(reading.unit), "O L and zero sound alike"


def _of_digits(digits: str) -> Iterator[tuple[str, str]]:
    whole, _, decimals = digits.partition(".")
    yield from ((other, TEEN_OR_TY) for other in _teen_or_ty(whole, decimals))
    yield from ((other, "the point may be lost") for other in _points(whole, decimals))
    yield from ((other, "a digit may be lost or doubled") for other in _doubled(whole, decimals))
    yield from ((other, "a hundred may be lost") for other in _hundreds(whole, decimals))
    yield from ((other, "five and nine sound alike") for other in _five_or_nine(digits))


def _number(whole: str, decimals: str) -> str:
    return f"{whole or '0'}.{decimals}" if decimals else whole or "0"


def _swapped(pair: str) -> str | None:
    """Give 50 for 15 and 15 for 50; nothing where neither sound is in it."""
    first, second = pair[0], pair[1]
    if first == "1" and second >= "3":
        return f"{second}0"
    return f"1{first}" if second == "0" and first >= "3" else None


def _teen_or_ty(whole: str, decimals: str) -> Iterator[str]:
    """Swap teen and ty in every two digits that are said together: 1|15, 13|50, 15|000."""
    for end in range(len(whole), 1, -1):
        is_pair_of_four = (len(whole), end) == (_LONGEST_WHOLE, 2)
        is_said_together = (len(whole) - end) % 3 == 0 or is_pair_of_four
        other = _swapped(whole[end - 2 : end])
        if is_said_together and other:
            yield _number(whole[: end - 2] + other + whole[end:], decimals)
    for at in (0, len(decimals) - 2):
        other = _swapped(decimals[at : at + 2]) if 0 <= at <= len(decimals) - 2 else None
        if other:
            yield _number(whole, decimals[:at] + other + decimals[at + 2 :])


def _points(whole: str, decimals: str) -> Iterator[str]:
    """Lose the point, or put one where it may have been lost: "point oh three" is heard as 3."""
    if decimals:
        yield str(int(whole + decimals))
        return
    yield from (f"{whole[:at]}.{whole[at:]}" for at in range(len(whole) - 1, 0, -1))
    noughts = range(_MOST_DECIMALS - len(whole) + 1)
    yield from (f"0.{'0' * count}{whole}" for count in noughts)


def _doubled(whole: str, decimals: str) -> Iterator[str]:
    """Say one of two equal digits, or each digit twice."""
    digits = whole + decimals
    for at, digit in enumerate(digits):
        in_whole = at < len(whole)
        place = at if in_whole else at - len(whole)
        part = whole if in_whole else decimals
        twice = part[:place] + digit + part[place:]
        once = part[:place] + part[place + 1 :]
        is_double = place > 0 and part[place - 1] == digit
        for changed in (once,) * is_double + (twice,):
            yield _number(changed, decimals) if in_whole else _number(whole, changed)


def _hundreds(whole: str, decimals: str) -> Iterator[str]:
    value = int(whole)
    if 0 < value < _HUNDRED:
        yield _number(str(value + _HUNDRED), decimals)
    if _HUNDRED < value < _TWO_HUNDRED:
        yield _number(str(value - _HUNDRED), decimals)
    if _HUNDRED <= value < _TWO_HUNDRED:
        yield _number(str(value + 7 * _HUNDRED), decimals)
    if _EIGHT_HUNDRED <= value < _EIGHT_HUNDRED + _HUNDRED:
        yield _number(str(value - 7 * _HUNDRED), decimals)


def _five_or_nine(digits: str) -> Iterator[str]:
    for at, digit in enumerate(digits):
        if digit in "59":
            yield digits[:at] + ("9" if digit == "5" else "5") + digits[at + 1 :]


def _of_alternatives(
    alternatives: tuple[str, ...], expectation: Expectation
) -> Iterator[tuple[Reading, str]]:
    for words in alternatives:
        meaning = understand(words, expectation)
        how = f"it may have been '{words}'"
        if isinstance(meaning, Value):
            yield meaning.reading, how
        elif isinstance(meaning, Unclear):
            yield from ((reading, how) for reading in meaning.candidates)
