"""Expectations without a walk: what `rungside hear --expect` may name."""

from assistant.errors import RungsideError
from assistant.quantity import RESISTANCE_UNITS, Unit
from assistant.spoken.meaning import Expectation, NumberForm


class SpokenError(RungsideError):
    """Something asked of the spoken room that it does not have."""


_FORMS: dict[str, NumberForm] = {
    "ohm": NumberForm(RESISTANCE_UNITS, takes_over_limit=True),
    "microfarad": NumberForm((Unit.MICROFARAD,), takes_over_limit=True),
    "volt": NumberForm((Unit.VOLT,)),
    "ampere": NumberForm((Unit.AMPERE,)),
    "in_wc": NumberForm((Unit.IN_WC, Unit.PASCAL), takes_negative=True),
    "any": NumberForm(
        (Unit.COUNT, *(unit for unit in Unit if unit is not Unit.COUNT)),
        takes_over_limit=True,
        takes_negative=True,
    ),
}


def expectation_for_unit(name: str) -> Expectation:
    """Give what may be answered where only a unit is named.

    Args:
        name: `ohm`, `microfarad`, `volt`, `ampere`, `in_wc`, `yes_no`, any other unit's name, or
            `any`: every unit, OL, yes and no. There a number without a unit is asked back.

    Raises:
        SpokenError: when there is no such name.
    """
    if name == "yes_no":
        return Expectation(takes_yes_no=True)
    if name in _FORMS:
        return Expectation(number=_FORMS[name], takes_yes_no=name == "any")
    try:
        return Expectation(number=NumberForm((Unit(name),)))
    except ValueError as error:
        known = ", ".join(["yes_no", "any", *(unit.value for unit in Unit)])
        raise SpokenError(f"'{name}' is nothing to expect.", f"Name one of {known}.") from error
