"""The grammar of numbers, and what each form can mean.

Every form yields all the numbers that it can mean; "seventeen five" yields 17.5 and 175. Which one
is meant is decided later, or asked. Digits are kept as text, so 17.50 stays 17.50.
"""

from collections.abc import Callable
from enum import StrEnum
from typing import Any, NamedTuple, TypeAlias

from assistant.spoken.lexicon import (
    FRACTIONS,
    HUNDREDTHS,
    ONE_TO_NINE,
    POINT,
    TEENS,
    TENS,
    TENTHS,
    ZERO,
)
from assistant.spoken.nodes import (
    Act,
    Alt,
    Lexicon,
    Maybe,
    Node,
    Repeat,
    Rule,
    Typed,
    Word,
    alt,
    same,
    seq,
)

Parts: TypeAlias = Any
"""The values of a sequence; each rule knows the shape of its own."""


class Style(StrEnum):
    """How a number came out of its words."""

    PLAIN = "plain"
    PAIR = "pair"
    POINT_LEFT_OUT = "point_left_out"


class Numeral(NamedTuple):
    """One number that words can mean.

    Args:
        digits: as written, with `.` where a point is meant.
        style: POINT_LEFT_OUT only counts where the unit is read with decimals.
    """

    digits: str
    style: Style = Style.PLAIN


def _plain(digits: str) -> tuple[Numeral, ...]:
    return (Numeral(digits),)


def _two_figures(parts: Parts) -> tuple[str, ...]:
    tens, ones = parts
    return (f"{tens}{ones or 0}",)


def _after(head: int, rest: str | None) -> tuple[str, ...]:
    return (str(head + int(rest or 0)),)


def _times(size: int) -> Callable[[Parts], tuple[str, ...]]:
    def means(parts: Parts) -> tuple[str, ...]:
        head, _, rest = parts
        return _after(int(head or 1) * size, rest[1] if rest else None)

    return means


def _and_then(rest: Node) -> Maybe:
    return Maybe(seq(Maybe(Word("and")), rest))


TWO_FIGURES = Rule("two_figures", alt(TEENS, Act(seq(TENS, Maybe(ONE_TO_NINE)), _two_figures)))
BELOW_HUNDRED = Rule("below_hundred", alt(ONE_TO_NINE, TWO_FIGURES))
_A_HEAD = alt(same("1", "a"), ONE_TO_NINE)
_hundreds = _times(100)
_WITH_A_HEAD = Rule(
    "headed_hundreds",
    Act(seq(_A_HEAD, Word("hundred"), _and_then(BELOW_HUNDRED)), _hundreds),
)
HUNDREDS = Rule(
    "hundreds",
    Act(seq(Maybe(_A_HEAD), Word("hundred"), _and_then(BELOW_HUNDRED)), _hundreds),
)


def _many_hundreds(parts: Parts) -> tuple[str, ...]:
    return () if parts[0].endswith("0") else _hundreds(parts)


_MANY_HUNDREDS = Rule(
    "many_hundreds",
    Act(seq(TWO_FIGURES, Word("hundred"), _and_then(BELOW_HUNDRED)), _many_hundreds),
)
_BELOW_THOUSAND = Rule("below_thousand", alt(BELOW_HUNDRED, _WITH_A_HEAD))
_A_OR_HUNDREDS = alt(same("1", "a"), _BELOW_THOUSAND)
_THOUSANDS = Rule(
    "thousands",
    Act(seq(_A_OR_HUNDREDS, Word("thousand"), _and_then(_BELOW_THOUSAND)), _times(1000)),
)
_MILLIONS = Rule(
    "millions",
    Act(
        seq(_A_OR_HUNDREDS, Word("million"), _and_then(alt(_BELOW_THOUSAND, _THOUSANDS))),
        _times(1_000_000),
    ),
)
SMALL_CARDINAL = Rule("cardinal", alt(BELOW_HUNDRED, HUNDREDS))
_LARGE = alt(BELOW_HUNDRED, HUNDREDS, _MANY_HUNDREDS, _THOUSANDS)
_LARGE_CARDINAL = Rule("cardinal", _LARGE)
_HUGE_CARDINAL = Rule("cardinal", alt(_LARGE, _MILLIONS))
THOUSAND, MILLION = 1000, 1_000_000


def _cardinal_below(largest: int) -> Rule:
    if largest <= THOUSAND:
        return SMALL_CARDINAL
    return _LARGE_CARDINAL if largest <= MILLION else _HUGE_CARDINAL


DIGIT = Rule("digit", alt(ONE_TO_NINE, ZERO))


def _joined(parts: Parts) -> tuple[str, ...]:
    return ("".join(part for part in parts if part),)


def _digits(least: int, most: int) -> Act:
    return Act(Repeat(DIGIT, least, most), _joined)


DECIMALS = Rule(
    "decimals",
    alt(_digits(1, 3), TWO_FIGURES, Act(seq(DIGIT, TWO_FIGURES), _joined)),
)


_STEADY = 2


def _is_second_reading(first: str, second: str) -> bool:
    """Tell two readings one after the other ("fifteen sixteen") from a pair ("ten seventy")."""
    return len(first) == len(second) and 0 <= int(second) - int(first) <= _STEADY


def _pair(parts: Parts) -> tuple[Numeral, ...]:
    first, second = parts
    if _is_second_reading(first, second):
        return ()
    return (
        Numeral(first + second, Style.PAIR),
        Numeral(f"{first}.{second}", Style.POINT_LEFT_OUT),
    )


def _pair_with_oh(parts: Parts) -> tuple[Numeral, ...]:
    first, _, ones = parts
    return (
        Numeral(f"{first}0{ones}", Style.PAIR),
        Numeral(f"{first}.0{ones}", Style.POINT_LEFT_OUT),
    )


_PAIR = Rule(
    "pair",
    alt(
        Act(seq(BELOW_HUNDRED, TWO_FIGURES), _pair),
        Act(seq(BELOW_HUNDRED, ZERO, ONE_TO_NINE), _pair_with_oh),
    ),
)


_THREE_FIGURES = 3


def _whole_of_pair(numeral: Numeral) -> tuple[str, ...]:
    """Before a point only "one eighteen" is one number: "ten fifteen point two" may be two."""
    is_short = len(numeral.digits) == _THREE_FIGURES and numeral.style is Style.PAIR
    return (numeral.digits,) if is_short else ()


_WHOLE_PAIR = Rule("whole_pair", Act(_PAIR, _whole_of_pair))


def _digit_string(digits: str) -> tuple[Numeral, ...]:
    """Three or more digits are the whole number; behind a leading zero a point may be lost.

    Noughts alone are no number: "oh oh" is what one says when something slips.
    """
    if not int(digits):
        return ()
    if not digits.startswith("0"):
        return _plain(digits)
    return Numeral(str(int(digits))), Numeral(f"0.{digits[1:]}")


def _two_digits(parts: Parts) -> tuple[Numeral, ...]:
    first, second = parts
    if first == second == "0":
        return ()
    if first == "0":
        return Numeral(second), Numeral(f"0.{second}"), Numeral(f"0.0{second}")
    return Numeral(f"{first}.{second}"), Numeral(first + second)


def _two_and_one(parts: Parts) -> tuple[Numeral, ...]:
    head, last = parts
    return Numeral(f"{head}.{last}"), Numeral(head + last)


_NOT_ROUND = Act(seq(TENS, ONE_TO_NINE), _joined)
_ROUND = Act(TENS, lambda tens: (f"{tens}0",))
_POINT_LEFT_OUT = Rule(
    "point_left_out",
    alt(
        Act(seq(DIGIT, DIGIT), _two_digits),
        Act(seq(alt(TEENS, _NOT_ROUND), DIGIT), _two_and_one),
        Act(seq(_ROUND, ZERO), _two_and_one),
    ),
)
_DIGIT_STRING = Rule("digit_string", Act(_digits(3, 6), _digit_string))


def _with_decimals(parts: Parts) -> tuple[Numeral, ...]:
    """Noughts behind a bare point are the beginning of "point oh five"."""
    whole, _, decimals = parts
    if whole is None and not int(decimals):
        return ()
    return _plain(f"{int(whole or 0)}.{decimals}")


def _sum(parts: Parts) -> tuple[Numeral, ...]:
    whole, _, fraction = parts
    return _plain(f"{int(whole)}{fraction[1:]}")


def _shares(parts: Parts) -> tuple[str, ...]:
    count, places = parts
    return (f"0.{count:0>{places}}",) if len(count) <= places else ()


FRACTION = Rule(
    "fraction",
    alt(
        FRACTIONS,
        Act(seq(alt(ONE_TO_NINE, same("1", "a")), TENTHS), _shares),
        Act(seq(BELOW_HUNDRED, HUNDREDTHS), _shares),
    ),
)
_TYPED_SHARES = {
    ("1", "2"): "0.5",
    ("1", "4"): "0.25",
    ("3", "4"): "0.75",
    ("1", "8"): "0.125",
    ("3", "8"): "0.375",
    ("5", "8"): "0.625",
    ("7", "8"): "0.875",
}


def _typed_share(parts: Parts) -> tuple[str, ...]:
    share = _TYPED_SHARES.get((parts[0], parts[2]))
    return () if share is None else (share,)


def _typed_sum(parts: Parts) -> tuple[Numeral, ...]:
    whole, _, share = parts
    return _plain(whole + share[1:]) if whole.isdecimal() else ()


def _typed_with_decimals(parts: Parts) -> tuple[Numeral, ...]:
    whole, _, decimals = parts
    is_whole = (whole or "0").isdecimal() and decimals.isdecimal()
    return _plain(f"{whole or 0}.{decimals}") if is_whole else ()


_TYPED_SHARE = Act(seq(Typed(), Word("/"), Typed()), _typed_share)


def _typed_digits(text: str) -> tuple[Numeral, ...]:
    is_point_lost = text[0] == "0" and text.isdecimal() and int(text) > 0
    return _digit_string(text) if is_point_lost else _plain(text)


TYPED = Rule(
    "typed",
    alt(
        Act(Typed(), _typed_digits),
        Act(_TYPED_SHARE, _plain),
        Act(seq(Typed(), Maybe(Word("and")), _TYPED_SHARE), _typed_sum),
        Act(seq(Typed(), Word("and"), FRACTIONS), _typed_sum),
        Act(seq(Maybe(Typed()), POINT, Typed()), _typed_with_decimals),
    ),
)


def _certain(cardinal: Node, whole: Node, whole_before_share: Node) -> Alt:
    """Give the forms that can mean only one number."""
    return alt(
        Act(cardinal, _plain),
        Act(Lexicon((("zero", "0"),)), _plain),
        Act(seq(Maybe(whole), POINT, DECIMALS), _with_decimals),
        Act(seq(whole_before_share, Word("and"), FRACTION), _sum),
        Act(FRACTION, _plain),
        _DIGIT_STRING,
        TYPED,
    )


def number_rule(largest: int, is_certain: bool = False) -> Rule:
    """Give the rule of a number.

    Args:
        largest: numbers in words stay below this; it only leaves out whole forms.
        is_certain: leave out the forms with two meanings, as where two ratings are expected and
            "forty-five five" is 45 and 5.
    """
    cardinal = _cardinal_below(largest)
    strings = _digits(2, 6)
    if is_certain:
        return Rule("number", _certain(cardinal, alt(cardinal, ZERO, strings), cardinal))
    named = alt(cardinal, _WHOLE_PAIR)
    whole = Rule("whole", alt(named, ZERO, strings))
    return Rule("number", alt(_certain(cardinal, whole, named), _PAIR, _POINT_LEFT_OUT))


def _digits_alone(digits: str) -> tuple[Numeral, ...]:
    return _digit_string(digits) if digits.startswith("0") else _plain(digits)


DIGIT_BY_DIGIT = Rule(
    "number",
    alt(
        Act(alt(ONE_TO_NINE, same("0", "zero")), _plain),
        Act(_digits(2, 6), _digits_alone),
        Act(seq(Maybe(_digits(1, 6)), POINT, _digits(1, 3)), _with_decimals),
        Act(Typed(), _typed_digits),
    ),
)
"""After repeated failure: one digit at a time, a point where there is one."""

SPOKEN_RATING = Rule(
    "rating",
    alt(
        Act(SMALL_CARDINAL, lambda digits: (digits,)),
        Act(seq(SMALL_CARDINAL, POINT, DECIMALS), lambda p: (f"{p[0]}.{p[2]}",)),
        Act(seq(SMALL_CARDINAL, Word("and"), FRACTIONS), lambda p: (f"{p[0]}{p[2][1:]}",)),
    ),
)
"""One of the two ratings of a dual capacitor, with no second meaning of its own."""
