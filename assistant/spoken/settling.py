"""Which reading of ambiguous words is meant: by what is possible at the step, or by asking."""

from dataclasses import replace
from decimal import Decimal

from assistant.quantity import (
    RESISTANCE_UNITS,
    OverLimit,
    Quantity,
    QuantityError,
    Reading,
    Unit,
)
from assistant.spoken.meaning import Meaning, NumberForm, Trouble, Unclear, Value
from assistant.spoken.numerals import Style
from assistant.spoken.phrasing import capital, either_or, say_number, sentence
from assistant.spoken.readings import Form, SaidForm, SaidNumber

_COLLOQUIAL = {Decimal(220): ("230", "240"), Decimal(110): ("115", "120")}
"""Names for a supply that is printed as something else (common practice, no source)."""

_DUAL_STEP = 5


def settle(said: tuple[SaidNumber | SaidForm, ...], form: NumberForm) -> Meaning:
    """Choose between the readings of a whole answer, or ask.

    Args:
        said: every reading of the words; at least one.
        form: the number that the turn takes.

    Returns:
        A `Value`, with a doubt where only the range decided; or `Unclear` with a question.
    """
    forms = [outcome for outcome in said if isinstance(outcome, SaidForm)]
    if forms:
        return _settle_form(forms[0], form)
    numbers = _distinct([outcome for outcome in said if isinstance(outcome, SaidNumber)], form)
    if len({number.second for number in numbers}) > 1:
        return _one_or_two(numbers, form)
    if form.units[0] is Unit.COUNT and len(form.units) > 1 and numbers[0].unit is None:
        return _which_unit(numbers)
    likely = [number for number in numbers if is_possible(_quantity(number, form), form)]
    if len(numbers) == 1:
        return _single(numbers[0], form, has_range=bool(likely))
    if len(likely) == 1:
        return _by_range(likely[0], numbers, form)
    return _ask_which(likely or numbers, form)


def _quantity(number: SaidNumber, form: NumberForm) -> Quantity:
    return Quantity(number.value, number.unit or form.units[0])


def _distinct(numbers: list[SaidNumber], form: NumberForm) -> list[SaidNumber]:
    kept: dict[tuple[Decimal, Unit, Decimal | None], SaidNumber] = {}
    for number in sorted(numbers, key=lambda n: n.style is not Style.PAIR):
        kept.setdefault((number.value, number.unit or form.units[0], number.second), number)
    return list(kept.values())


def is_possible(quantity: Quantity, form: NumberForm) -> bool:
    """Tell whether a value is allowed, or inside the plausible range, where one is stated."""
    if not form.allowed and form.plausible is None:
        return True
    try:
        value = quantity.to(form.units[0]).value
    except QuantityError:
        return False
    if form.allowed:
        return value in form.allowed
    return form.plausible is None or form.plausible[0] <= value <= form.plausible[1]


def _single(number: SaidNumber, form: NumberForm, *, has_range: bool) -> Meaning:
    quantity = _quantity(number, form)
    is_name = (
        number.style is Style.PAIR and quantity.unit is Unit.VOLT and quantity.value in _COLLOQUIAL
    )
    if form.allowed and not has_range:
        return _not_printed(quantity, form, is_name=is_name)
    second = None if number.second is None else Quantity(number.second, quantity.unit)
    if second is not None and form.allowed and not is_possible(second, form):
        return _not_printed(second, form, is_name=False)
    doubts: tuple[str, ...] = ()
    if is_name:
        doubts = (sentence(f"{say_number(quantity.value)} is also a name for a supply"),)
    return Value(quantity, second, doubts)


def _not_printed(quantity: Quantity, form: NumberForm, *, is_name: bool) -> Unclear:
    """A value that no label carries: name the ones beside it."""
    meant = [v for v in form.allowed if is_name and str(v) in _COLLOQUIAL[quantity.value]]
    value = quantity.to(form.units[0]).value
    nearest = meant or sorted(form.allowed, key=lambda v: abs(v - value))[:2]
    readings = tuple(Quantity(v, form.units[0]) for v in sorted(nearest))
    why = sentence(f"{say_number(quantity.value)} is not printed on such a label")
    trouble = Trouble.AMBIGUOUS if is_name else Trouble.OUT_OF_RANGE
    return Unclear(trouble, why, either_or(readings), readings)


def _by_range(number: SaidNumber, numbers: list[SaidNumber], form: NumberForm) -> Meaning:
    if _may_be_dual(_quantity(number, form)):
        return _ask_which(numbers, form)
    others = [_quantity(n, form) for n in numbers if n is not number]
    meaning = _single(number, form, has_range=True)
    if not isinstance(meaning, Value):
        return meaning
    doubt = f"It could also be {say_number(others[0].value)}, which is not plausible here."
    return replace(meaning, doubts=(*meaning.doubts, doubt))


def _may_be_dual(quantity: Quantity) -> bool:
    """Tell "forty-five five", maybe 45 and 5, from 17.5: first ratings are multiples of five."""
    return quantity.unit is Unit.MICROFARAD and int(quantity.value) % _DUAL_STEP == 0


def _ask_which(numbers: list[SaidNumber], form: NumberForm) -> Unclear:
    readings: list[Quantity] = [_quantity(number, form) for number in numbers]
    if form.typical is not None:
        typical = form.typical
        readings.sort(key=lambda reading: abs(reading.to(form.units[0]).value - typical))
    why = "That can be more than one number."
    return Unclear(Trouble.AMBIGUOUS, why, either_or(tuple(readings)), tuple(readings))


def _one_or_two(numbers: list[SaidNumber], form: NumberForm) -> Unclear:
    single = [_quantity(n, form) for n in numbers if n.second is None]
    pair = next(n for n in numbers if n.second is not None)
    both = f"{say_number(pair.value)} over {say_number(pair.second or Decimal(0))}"
    question = f"{capital(both)}, or {say_number(single[0].value)} alone?"
    why = "That can be one rating or two."
    return Unclear(Trouble.AMBIGUOUS, why, question, tuple(single))


def _which_unit(numbers: list[SaidNumber]) -> Unclear:
    readings: tuple[Reading, ...] = tuple(Quantity(n.value, Unit.COUNT) for n in numbers)
    said = " or ".join(say_number(number.value) for number in numbers)
    return Unclear(Trouble.AMBIGUOUS, "No unit was said.", f"{capital(said)} of what?", readings)


def _settle_form(said: SaidForm, form: NumberForm) -> Meaning:
    unit = said.unit or form.units[0]
    if unit is Unit.COUNT:
        unit = Unit.OHM
    over_limit, zero = OverLimit(unit), Quantity(Decimal(0), unit)
    is_resistance = unit in RESISTANCE_UNITS
    match said.form:
        case Form.OVER_LIMIT if is_resistance:
            return Value(over_limit)
        case Form.OVER_LIMIT:
            return Value(over_limit, doubts=("O L is unusual on this setting.",))
        case Form.ZERO:
            return Value(zero)
        case Form.BEEPS:
            return Value(zero, doubts=("A beep is no figure: the meter may beep below some ohms.",))
        case Form.OVERLOAD:
            why = "Overload may be the meter's O L or the protector in the motor."
            return Unclear(Trouble.AMBIGUOUS, why, "Does the meter show O L?", (over_limit,))
        case _:
            why = "That may be O L or zero."
            question = "Does the meter show O L, or zero?"
            return Unclear(Trouble.AMBIGUOUS, why, question, (over_limit, zero))
