"""What a verdict says: the words fit the unit and the numbers they are said of."""

from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter

from assistant.flow.judging import Rule
from assistant.quantity import Quantity, Unit
from assistant.rules.judges import judge
from assistant.rules.verdict import Evidence, Verdict

RULE: TypeAdapter[Any] = TypeAdapter(Rule)


def verdict_of(rule: dict[str, object], value: str, unit: Unit, **known: str) -> Verdict:
    """Judge one reading."""
    values = {name: Quantity(Decimal(digits), unit) for name, digits in known.items()}
    reading = Quantity(Decimal(value), unit)
    return judge(RULE.validate_python(rule), Evidence(reading, values))


@pytest.mark.parametrize(
    ("unit", "reason"),
    [
        (Unit.OHM, "0.0 is about zero: a short."),
        (Unit.KILOHM, "0.0 is about zero: a short."),
        (Unit.MEGOHM, "0.0 is about zero: a short."),
        (Unit.VOLT, "0.0 is about zero: no voltage here."),
        (Unit.AMPERE, "0.0 is about zero: no current here."),
        (Unit.MICROFARAD, "0.0 is about zero: no capacitance."),
        (Unit.IN_WC, "0.0 is about zero."),
    ],
)
def test_only_ohms_about_zero_are_a_short(unit: Unit, reason: str) -> None:
    """Volts about zero at a motor are no voltage, not a short."""
    verdict = verdict_of({"rule": "not_zero"}, "0.0", unit)
    assert ("zero", reason) == (verdict.outcome, verdict.reason)
