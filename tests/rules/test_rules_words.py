"""What a verdict says: the words fit the unit and the numbers they are said of."""

from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter

from assistant.flow.judging import Rule
from assistant.quantity import OverLimit, Quantity, Unit
from assistant.rules.judges import judge
from assistant.rules.verdict import Evidence, Verdict, band_text

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


@pytest.mark.parametrize(
    ("value", "kind", "reason", "expected"),
    [
        ("10", "equal", "10 is the same as the rating of 10 microfarads.", "exactly 10 µF"),
        ("10.0", "equal", "10.0 is the same as the rating of 10 microfarads.", "exactly 10 µF"),
        (
            "10",
            "equal_or_higher",
            "10 is the same as the rating of 10 microfarads.",
            "at least 10 µF",
        ),
        ("12", "equal_or_higher", "12 may replace 10 microfarads.", "at least 10 µF"),
    ],
)
def test_a_part_of_the_same_rating_is_called_the_same(
    value: str, kind: str, reason: str, expected: str
) -> None:
    """Ten does not replace ten; it is the same."""
    rule: dict[str, object] = {"rule": "replacement_allowed", "rating": "old", "kind": kind}
    verdict = verdict_of(rule, value, Unit.MICROFARAD, old="10")
    assert ("allowed", reason, expected) == (verdict.outcome, verdict.reason, verdict.expected)


@pytest.mark.parametrize(
    ("rule", "value", "reason"),
    [
        ({"rule": "is_over_limit"}, "1800000", "1.8 megohms is a path; it must read over limit."),
        ({"rule": "is_over_limit"}, "400.1", "400.1 ohms is a path; it must read over limit."),
        ({"rule": "not_over_limit"}, "1800000", "1.8 megohms is a path."),
        ({"rule": "not_over_limit"}, "17.5", "17.5 is a path."),
        ({"rule": "near_zero", "limit": 5}, "20000000", "20 megohms is more than zero."),
        ({"rule": "not_zero"}, "20000000", "20 megohms is more than zero."),
        ({"rule": "within", "low": 5, "high": 60}, "20010000", "20.01 megohms is above 60 ohms."),
        ({"rule": "at_least", "limit": 5}, "50000", "50 kilohms is at least 5 ohms."),
    ],
)
def test_a_large_resistance_is_said_in_megohms(
    rule: dict[str, object], value: str, reason: str
) -> None:
    """No one reads seven digits off a meter that shows 1.8 M; nothing for the ear is a symbol."""
    assert reason == verdict_of(rule, value, Unit.OHM).reason


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ("0", "20000000", "0 to 20 MΩ"),
        ("1000000", "20000000", "1 to 20 MΩ"),
        ("100", "20000000", "100 Ω to 20 MΩ"),
        ("14.1", "15.9", "14.1 to 15.9 Ω"),
        ("5", "5", "exactly 5 Ω"),
        ("1000000", None, "at least 1 MΩ"),
        (None, "50000", "at most 50 kΩ"),
    ],
)
def test_large_limits_are_written_as_the_reading_is(
    low: str | None, high: str | None, words: str
) -> None:
    """The limits stand beside the reading, so they are written alike."""
    least, most = (None if limit is None else Decimal(limit) for limit in (low, high))
    assert words == band_text(least, most, Unit.OHM)


def test_inches_of_water_end_a_sentence_once() -> None:
    """The unit's own full stop is the sentence's."""
    rule = RULE.validate_python({"rule": "within", "low": Decimal("0.1"), "high": Decimal("0.5")})
    reason = judge(rule, Evidence(OverLimit(Unit.IN_WC))).reason
    assert "Over limit; expected 0.1 to 0.5 in. w.c." == reason
