"""Shared by the tests of words: named expectations, and meanings written as one line."""

from decimal import Decimal

from assistant.quantity import OverLimit, Reading, Unit
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import (
    Choice,
    Command,
    Expectation,
    Meaning,
    NumberForm,
    Picked,
    Unclear,
    Value,
    YesNo,
)

_WHEEL = (
    Choice("turns_free", ("turns free", "it turns free", "spins freely")),
    Choice("drags", ("drags", "it drags")),
    Choice("stuck", ("stuck", "the wheel is stuck", "locked up")),
)
_OHMS = (Unit.OHM, Unit.KILOHM, Unit.MEGOHM)
_LABEL = tuple(Decimal(n) for n in (115, 120, 208, 230, 240, 460))

NAMED: dict[str, Expectation] = {
    "tap": Expectation(NumberForm(_OHMS, True, (Decimal(1), Decimal(40)))),
    "run_cap": Expectation(
        NumberForm((Unit.MICROFARAD,), True, (Decimal(2), Decimal(80)), typical=Decimal("7.5"))
    ),
    "supply": Expectation(NumberForm((Unit.VOLT,), plausible=(Decimal(18), Decimal(30)))),
    "label_volt": Expectation(NumberForm((Unit.VOLT,), allowed=_LABEL)),
    "dual": Expectation(NumberForm((Unit.MICROFARAD,), is_dual=True)),
    "label_dual": Expectation(
        NumberForm(
            (Unit.MICROFARAD,),
            is_dual=True,
            allowed=tuple(Decimal(n) for n in ("5", "7.5", "10", "35", "40", "45")),
        )
    ),
    "digits": Expectation(NumberForm(_OHMS, True), digits_only=True),
    "wheel": Expectation(choices=_WHEEL),
    "caution": Expectation(choices=_WHEEL, takes_numbered_choice=False),
    "mixed": Expectation(
        NumberForm(_OHMS, True),
        (
            Choice("bad_lead", ("a lead is loose",)),
            Choice("cannot_read", ("cannot read it", "cannot reach it")),
        ),
    ),
    "held": Expectation(NumberForm(_OHMS, True), takes_yes_no=True, is_held=True),
}


def expectation(name: str) -> Expectation:
    """Give an expectation by the name that the case files use."""
    return NAMED[name] if name in NAMED else expectation_for_unit(name)


def one_line(meaning: Meaning) -> str:
    """Write a meaning as the case files do."""
    match meaning:
        case Value():
            return _value(meaning)
        case Picked():
            return f"choice {meaning.choice}"
        case YesNo():
            return "yes" if meaning.is_yes else "no"
        case Command():
            return f"command {meaning.kind.value}" + (
                f": {meaning.detail}" if meaning.detail else ""
            )
        case Unclear():
            return _unclear(meaning)


def _reading(reading: Reading, second: str = "") -> str:
    if isinstance(reading, OverLimit):
        return f"OL {reading.unit.value}"
    return f"{reading.value:f}{second} {reading.unit.value}"


def _value(meaning: Value) -> str:
    second = f"/{meaning.second.value:f}" if meaning.second else ""
    return _reading(meaning.reading, second) + (", doubted" if meaning.doubts else "")


def _unclear(meaning: Unclear) -> str:
    listed = ", ".join(_reading(reading) for reading in meaning.candidates)
    return (
        meaning.trouble.value
        + (f": {listed}" if listed else "")
        + (" ?" if meaning.question else "")
    )
