"""The grammar of readings: a number with its unit, a dual rating, over limit, about zero."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any, TypeAlias

from assistant.quantity import RESISTANCE_UNITS, Unit
from assistant.spoken import lexicon
from assistant.spoken.lexicon import CLOSING, OPENING, unit_table
from assistant.spoken.meaning import NumberForm
from assistant.spoken.nodes import (
    Act,
    Lexicon,
    Maybe,
    Node,
    Rule,
    Typed,
    TypedOnly,
    Word,
    alt,
    same,
    seq,
    words,
)
from assistant.spoken.numerals import (
    DIGIT_BY_DIGIT,
    FRACTION,
    MILLION,
    SPOKEN_RATING,
    THOUSAND,
    Numeral,
    Style,
    number_rule,
)

if TYPE_CHECKING:
    from collections.abc import Hashable

Parts: TypeAlias = Any

DECIMAL_UNITS = frozenset(
    {
        *RESISTANCE_UNITS,
        Unit.MICROFARAD,
        Unit.AMPERE,
        Unit.IN_WC,
        Unit.INCH,
        Unit.HORSEPOWER,
        Unit.TON,
        Unit.COUNT,
        Unit.PERCENT,
        Unit.HERTZ,
        Unit.SECOND,
    }
)
"""Units whose readings have decimals, so that "nine eighty-seven" may be 9.87 (common practice)."""

FOUR_FIGURE_UNITS = frozenset({Unit.RPM, Unit.CFM, Unit.WATT, Unit.VOLT_AMPERE})
"""Units that are said "ten seventy-five"; in others four figures may be 10.75, or two readings."""
_THREE_FIGURES = 3

_LEADING = (
    "ohms",
    "megohms",
    "microfarads",
    "volts",
    "amps",
    "watts",
    "hertz",
    "static",
    "percent",
)


def _quantity_names(units: tuple[Unit, ...]) -> Lexicon:
    """Give the names of what these units measure, each with those of the units that it can have."""
    entries: list[tuple[str, Hashable]] = []
    for kind, phrases in lexicon.QUANTITY_NAMES:
        known = tuple(unit for unit in units if unit in kind)
        entries.extend((phrase, known) for phrase in phrases if known)
    return Lexicon(tuple(entries))


def _sign(form: NumberForm) -> Maybe:
    """Give the sign; a number in brackets is below zero in books, so there it may be either.

    A tolerance, which is all that is asked for in percent, is printed as plus and minus.
    """
    if not form.takes_negative:
        both = same("", *lexicon.BOTH_WAYS) if form.units[:1] == (Unit.PERCENT,) else None
        typed = TypedOnly(same("", "+", "["))
        return Maybe(typed if both is None else alt(both, typed))
    said = words({"minus": "-", "negative": "-", "plus": "", "positive": ""})
    bracket = Act(Word("["), lambda _: ("", "-"))
    return Maybe(alt(said, TypedOnly(same("", "+")), TypedOnly(bracket)))


class Form(StrEnum):
    """Ways of answering that are not digits."""

    OVER_LIMIT = "over_limit"
    OVERLOAD = "overload"
    NOTHING = "nothing"
    ZERO = "zero"
    BEEPS = "beeps"


@dataclass(frozen=True, slots=True)
class SaidNumber:
    """A number that the words can mean.

    Args:
        value: the number, digits as said.
        unit: the unit that was said; None when none was.
        style: how the number came out of its words.
        second: the second number of a dual rating.
    """

    value: Decimal
    unit: Unit | None
    style: Style = Style.PLAIN
    second: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SaidForm:
    """Over limit, about zero, or words that may be either."""

    form: Form
    unit: Unit | None = None


def _unit_rule(units: tuple[Unit, ...]) -> Rule:
    return Rule("unit", alt(unit_table(units), TypedOnly(unit_table(units, is_typed=True))))


def _leading_units(units: tuple[Unit, ...]) -> Lexicon:
    table = unit_table(units)
    return Lexicon(tuple((phrase, unit) for phrase, unit in table.entries if phrase in _LEADING))


def _may_lose_point(digits: str, unit: Unit) -> bool:
    is_long = len(digits) - len(".") > _THREE_FIGURES
    return unit in DECIMAL_UNITS or (is_long and unit not in FOUR_FIGURE_UNITS)


class _Meaning:
    """What the parts of a reading mean at one turn."""

    def __init__(self, form: NumberForm) -> None:
        self._form = form

    def number_first(self, parts: Parts) -> tuple[SaidNumber, ...]:
        sign, numeral, unit = parts
        return self._said(sign, numeral, unit)

    def unit_first(self, parts: Parts) -> tuple[SaidNumber, ...]:
        unit, _, sign, numeral = parts
        return self._said(sign, numeral, unit)

    def name_first(self, parts: Parts) -> tuple[SaidNumber, ...]:
        units, _, sign, numeral, unit = parts
        if unit is None and self._form.units[0] not in units:
            unit = units[0]
        return self._said(sign, numeral, unit) if unit is None or unit in units else ()

    def share_of_unit(self, parts: Parts) -> tuple[SaidNumber, ...]:
        sign, share, _, unit = parts
        return (SaidNumber(Decimal((sign or "") + share), unit),)

    def _said(
        self, sign: str | None, numeral: Numeral, unit: Unit | None
    ) -> tuple[SaidNumber, ...]:
        meant = unit or self._form.units[0]
        if numeral.style is Style.POINT_LEFT_OUT and not _may_lose_point(numeral.digits, meant):
            return ()
        return (SaidNumber(Decimal((sign or "") + numeral.digits), unit, numeral.style),)


def _dual(parts: Parts) -> tuple[SaidNumber, ...]:
    """A dual capacitor's larger rating is printed and said first (common practice, no source)."""
    first, second = Decimal(parts[0]), Decimal(parts[2])
    return (SaidNumber(first, parts[3], second=second),) if first > second else ()


def _dual_ways(unit: Rule) -> tuple[Node, ...]:
    """Spoken ratings may follow each other; typed ones need something between, not a lost point."""
    between = same(None, "over", "slash", "and", "by")
    typed_between = alt(between, TypedOnly(Word("/")))
    rating = alt(SPOKEN_RATING, Typed())
    return (
        Act(seq(SPOKEN_RATING, Maybe(between), SPOKEN_RATING, Maybe(unit)), _dual),
        Act(seq(rating, typed_between, rating, Maybe(unit)), _dual),
    )


def _number(form: NumberForm, is_digits_only: bool, largest: int, unit: Rule) -> Node:
    number = DIGIT_BY_DIGIT if is_digits_only else number_rule(largest, is_certain=form.is_dual)
    sign = _sign(form)
    meaning = _Meaning(form)
    ways: list[Node] = [
        Act(seq(sign, number, Maybe(unit)), meaning.number_first),
    ]
    linked = Maybe(alt(same(None, "is", "are", "at"), TypedOnly(Word("="))))
    names = _quantity_names(form.units)
    if names.entries:
        ways.append(Act(seq(names, linked, sign, number, Maybe(unit)), meaning.name_first))
    leading = _leading_units(form.units)
    if leading.entries:
        ways.append(Act(seq(leading, linked, sign, number), meaning.unit_first))
    if not is_digits_only:
        glue = same(None, "a", "an", "of a", "of an")
        ways.append(Act(seq(sign, FRACTION, glue, unit), meaning.share_of_unit))
    if form.is_dual:
        ways.extend(_dual_ways(unit))
    return alt(*ways)


def _forms(form: NumberForm, unit: Rule) -> list[Node]:
    entries: list[tuple[str, Hashable]] = []
    if form.takes_over_limit:
        entries += [(phrase, Form.OVER_LIMIT) for phrase in lexicon.SURE_OVER_LIMIT]
        entries += [(phrase, Form.OVERLOAD) for phrase in lexicon.OVERLOAD]
        entries += [(phrase, Form.NOTHING) for phrase in lexicon.NOTHING]
    if set(form.units) & set(RESISTANCE_UNITS):
        entries += [(phrase, Form.ZERO) for phrase in lexicon.ZERO_OHMS]
        entries += [(phrase, Form.BEEPS) for phrase in lexicon.BEEPS]
    if not entries:
        return []
    typed = [(p, Form.OVER_LIMIT) for p in lexicon.TYPED_OVER_LIMIT if form.takes_over_limit]
    said = alt(Lexicon(tuple(entries)), TypedOnly(Lexicon(tuple(typed))))
    on_unit = Maybe(seq(Maybe(Word("on")), unit))
    return [Act(seq(said, on_unit), lambda p: (SaidForm(p[0], p[1][1] if p[1] else None),))]


def largest_sayable(form: NumberForm) -> int:
    """Give what a step's whole numbers stay below: room for ten times what is plausible."""
    if form.allowed:
        return max(THOUSAND, int(max(form.allowed)) + 1)
    if form.plausible is None:
        return MILLION
    return max(THOUSAND, int(form.plausible[1] * 10))


def reading_rule(form: NumberForm, is_digits_only: bool, largest: int) -> Rule:
    """Give the rule of every reading that a turn can take, as a whole answer.

    Args:
        form: the number that the turn takes.
        is_digits_only: whether numbers are said one digit at a time.
        largest: numbers that are said in words stay below this.
    """
    unit = _unit_rule(form.units)
    readings = alt(_number(form, is_digits_only, largest, unit), *_forms(form, unit))
    return Rule("reading", Act(seq(OPENING, readings, CLOSING), lambda parts: (parts[1],)))
