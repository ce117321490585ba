"""Rules judged at, just inside and just outside every limit, the meter error considered."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter

from assistant.flow.judging import Rule
from assistant.flow.vocabulary import Meter
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.rules.judges import judge
from assistant.rules.verdict import EXACT, Evidence, meter_error

RULE: TypeAdapter[Any] = TypeAdapter(Rule)
OHMS = Meter(say="ohms", percent=Decimal("0.9"), counts=Decimal(2), lead_ohms=Decimal("0.4"))
OL = "OL"


def reading(value: str, unit: Unit) -> Reading:
    """Make a reading of digits, or of OL."""
    return OverLimit(unit) if value == OL else Quantity(Decimal(value), unit)


def outcome(
    rule: Mapping[str, object], value: str, unit: Unit, meter: Meter = EXACT, **known: str
) -> tuple[str, str]:
    """Judge one reading and give (verdict, outcome)."""
    values = {name: reading(digits, unit) for name, digits in known.items()}
    verdict = judge(RULE.validate_python(rule), Evidence(reading(value, unit), values, meter))
    return verdict.kind.value, verdict.outcome


CAPACITOR = [
    # rated 15, the printed tolerance 5 or 6 percent; common practice, no source
    ("15.05", "15", "5", "pass", "in_band"),
    ("15.05", "15", "6", "pass", "in_band"),
    # 40 uF at 6 percent is 37.6 to 42.4 (trade press table)
    ("37.6", "40", "6", "marginal", "edge"),
    ("37.59", "40", "6", "fail", "low"),
    ("42.4", "40", "6", "marginal", "edge"),
    ("42.41", "40", "6", "fail", "high"),
    ("38.1", "40", "6", "pass", "in_band"),
    # 7.5 uF at 6 percent is 7.05 to 7.95
    ("7.05", "7.5", "6", "marginal", "edge"),
    ("7.04", "7.5", "6", "fail", "low"),
    ("6.62", "7.5", "6", "fail", "low"),
    ("0.02", "7.5", "6", "fail", "near_zero"),
    (OL, "7.5", "6", "fail", "over_limit"),
    ("10.5", "10", "5", "marginal", "edge"),
    ("10.51", "10", "5", "fail", "high"),
]


@pytest.mark.parametrize(("value", "rated", "tolerance", "kind", "word"), CAPACITOR)
def test_capacitor_band(value: str, rated: str, tolerance: str, kind: str, word: str) -> None:
    """A capacitor passes inside its printed tolerance and fails outside it, at both ends."""
    percent = Decimal(tolerance)
    rule = {"rule": "within_percent", "rating": "rated", "plus": percent, "minus": percent}
    assert (kind, word) == outcome(rule, value, Unit.MICROFARAD, rated=rated)


def test_different_plus_and_minus() -> None:
    """A printed tolerance of plus 10 minus 0 is judged with its own ends."""
    rule = {"rule": "within_percent", "rating": "r", "plus": Decimal(10), "minus": Decimal(0)}
    assert ("fail", "low") == outcome(rule, "9.99", Unit.MICROFARAD, r="10")
    assert ("pass", "in_band") == outcome(rule, "10.7", Unit.MICROFARAD, r="10")
    assert ("fail", "high") == outcome(rule, "11.01", Unit.MICROFARAD, r="10")


def test_default_tolerance_is_said_as_such() -> None:
    """Where no tolerance is printed 6 percent is used, and the reason says so."""
    rule = RULE.validate_python(
        {"rule": "within_percent", "rating": "r", "plus": "p", "minus": "p"}
    )
    rated = {"r": Quantity(Decimal(10), Unit.MICROFARAD)}
    verdict = judge(rule, Evidence(Quantity(Decimal("9.41"), Unit.MICROFARAD), rated))
    assert verdict.kind.value == "marginal"
    assert "6 percent" in verdict.reason
    printed = rated | {"p": Quantity(Decimal(5), Unit.PERCENT)}
    verdict = judge(rule, Evidence(Quantity(Decimal("9.41"), Unit.MICROFARAD), printed))
    assert ("fail", "low") == (verdict.kind.value, verdict.outcome)
    assert "used" not in verdict.reason


def test_margin_inside_meter_error_is_cannot_tell() -> None:
    """Nearer to a limit than the meter's own error, the rule does not decide."""
    rule = {"rule": "within", "low": Decimal(2), "high": Decimal(40)}
    # 40.0 on ohms: 0.9 % is 0.36, 2 counts 0.2, leads 0.4: error 0.96
    assert ("cannot_tell", "unsure") == outcome(rule, "40.9", Unit.OHM, OHMS)
    assert ("cannot_tell", "unsure") == outcome(rule, "39.1", Unit.OHM, OHMS)
    assert ("fail", "high") == outcome(rule, "41.1", Unit.OHM, OHMS)
    assert ("pass", "in_band") == outcome(rule, "38.9", Unit.OHM, OHMS)


def test_meter_error_counts_the_digits_said() -> None:
    """Two counts of 17.5 are 0.2, of 17.50 are 0.02: the digits that were said matter."""
    plain = Meter(say="x", percent=Decimal(0), counts=Decimal(2))
    assert Decimal("0.2") == meter_error(plain, Quantity(Decimal("17.5"), Unit.OHM))
    assert Decimal("0.02") == meter_error(plain, Quantity(Decimal("17.50"), Unit.OHM))
    assert Decimal(2) == meter_error(plain, Quantity(Decimal(240), Unit.VOLT))
    assert Decimal("0.2") == meter_error(plain, Quantity(Decimal(10), Unit.MICROFARAD))
    assert Decimal("0.2") == meter_error(plain, Quantity(Decimal(5), Unit.MICROFARAD))


def test_a_whole_number_said_for_short_can_pass() -> None:
    """Ten said of a capacitor rated ten passes: nobody says the point and the zero."""
    meter = Meter(say="capacitance", percent=Decimal(1), counts=Decimal(2))
    rule = {"rule": "within_percent", "rating": "r", "plus": Decimal(6), "minus": Decimal(6)}
    for rated in ("5", "7.5", "10", "45"):
        assert "pass" == outcome(rule, rated, Unit.MICROFARAD, meter, r=rated)[0]


@pytest.mark.parametrize(
    ("low", "medium", "high", "word"),
    [
        # 17.5, 14 and 9.87 to common in rising speed; common practice, no source
        ("17.5", "14", "9.87", "falls"),
        ("14", "17.5", "9.87", "out_of_order"),
        ("17.5", "9.87", "14", "out_of_order"),
        ("9.87", "14", "17.5", "out_of_order"),
        ("14", "9.87", "17.5", "out_of_order"),
        ("9.87", "17.5", "14", "out_of_order"),
        ("4.6", "4.5", "2.2", "unsure"),
        (OL, "14", "9.87", "over_limit"),
    ],
)
def test_taps_fall_as_speed_rises(low: str, medium: str, high: str, word: str) -> None:
    """Taps pass in one order only; two readings the meter cannot order are cannot tell."""
    rule = {"rule": "falls_in_order", "values": ["low", "medium", "high"]}
    known = {"low": low, "medium": medium, "high": high}
    assert word == outcome(rule, high, Unit.OHM, OHMS, **known)[1]


def test_order_leaves_out_taps_that_are_not_there() -> None:
    """A two-speed motor is judged by the taps it has."""
    rule = {"rule": "falls_in_order", "values": ["low", "medium_low", "medium", "high"]}
    assert ("pass", "falls") == outcome(rule, "2.3", Unit.OHM, OHMS, low="4.7", high="2.3")


def test_over_limit_to_frame_is_not_grounded() -> None:
    """OL to the frame passes; any ohms fail (common practice, no source)."""
    assert ("pass", "over_limit") == outcome({"rule": "is_over_limit"}, OL, Unit.OHM)
    assert ("fail", "reads") == outcome({"rule": "is_over_limit"}, "0.4", Unit.OHM)
    assert ("fail", "reads") == outcome({"rule": "is_over_limit"}, "500000", Unit.OHM)


def test_winding_must_show_a_number() -> None:
    """A winding that reads OL is open; common to capacitor lead of 20.5 ohms is a path."""
    assert ("fail", "over_limit") == outcome({"rule": "not_over_limit"}, OL, Unit.OHM)
    assert ("pass", "reads") == outcome({"rule": "not_over_limit"}, "20.5", Unit.OHM)


def test_capacitor_return_about_zero_allows_for_the_leads() -> None:
    """About zero passes with the leads' own ohms in it (common practice, no source)."""
    rule = {"rule": "near_zero"}
    assert ("pass", "zero") == outcome(rule, "0", Unit.OHM, OHMS)
    assert ("pass", "zero") == outcome(rule, "0.3", Unit.OHM, OHMS)
    assert ("pass", "zero") == outcome(rule, "0.5", Unit.OHM, OHMS)
    assert ("cannot_tell", "unsure") == outcome(rule, "0.9", Unit.OHM, OHMS)
    assert ("fail", "reads") == outcome(rule, "2.2", Unit.OHM, OHMS)
    assert ("fail", "over_limit") == outcome(rule, OL, Unit.OHM, OHMS)


@pytest.mark.parametrize(
    ("label", "upper", "value", "kind", "word"),
    [
        # NEMA MG 1-12.44: plus or minus 10 percent
        ("115", None, "103.5", "pass", "in_band"),
        ("115", None, "103.4", "fail", "low"),
        ("115", None, "126.5", "pass", "in_band"),
        ("115", None, "126.6", "fail", "high"),
        ("230", None, "207", "pass", "in_band"),
        ("230", None, "254", "fail", "high"),
        ("208", "230", "187.2", "pass", "in_band"),
        ("208", "230", "187.1", "fail", "low"),
        ("208", "230", "253", "pass", "in_band"),
        ("208", "230", "253.1", "fail", "high"),
        ("460", None, "413.9", "fail", "low"),
        ("230", None, "3", "fail", "near_zero"),
    ],
)
def test_voltage_window(label: str, upper: str | None, value: str, kind: str, word: str) -> None:
    """Volts at the motor pass within 10 percent of the label, both ends of a two-voltage label."""
    rule: dict[str, object] = {"rule": "within_voltage", "rating": "label"}
    known = {"label": label}
    if upper is not None:
        rule["upper"] = "upper"
        known["upper"] = upper
    assert (kind, word) == outcome(rule, value, Unit.VOLT, EXACT, **known)


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        # 370 may become 370, 370/440 (said as 440) or 440; a 440 never becomes a 370
        ("370", "370", "allowed"),
        ("370", "440", "allowed"),
        ("440", "440", "allowed"),
        ("440", "370", "low"),
    ],
)
def test_replacement_volts(old: str, new: str, word: str) -> None:
    """A capacitor's new voltage rating is equal or higher (common practice, no source)."""
    rule = {"rule": "replacement_allowed", "rating": "old", "kind": "equal_or_higher"}
    assert word == outcome(rule, new, Unit.VOLT, old=old)[1]


@pytest.mark.parametrize(("new", "word"), [("10", "allowed"), ("7.5", "low"), ("12.5", "high")])
def test_replacement_microfarads_are_the_same(new: str, word: str) -> None:
    """A run capacitor is replaced by the same microfarads, not fewer and not more."""
    rule = {"rule": "replacement_allowed", "rating": "old", "kind": "equal"}
    assert word == outcome(rule, new, Unit.MICROFARAD, old="10")[1]


def test_sum_of_parts() -> None:
    """Common to capacitor lead is common to high plus high to capacitor lead (T winding)."""
    rule = {"rule": "sum_of_parts", "parts": ["to_high", "high_to_cap"]}
    parts = {"to_high": "2.25", "high_to_cap": "20.0"}
    assert ("pass", "agrees") == outcome(rule, "22.3", Unit.OHM, OHMS, **parts)
    assert ("fail", "low") == outcome(rule, "11.1", Unit.OHM, OHMS, **parts)
    assert ("fail", "high") == outcome(rule, "30", Unit.OHM, OHMS, **parts)


def test_same_as_another() -> None:
    """A reading agrees with another within five percent and the meter's error."""
    rule = {"rule": "same_as", "other": "before"}
    assert ("pass", "same") == outcome(rule, "24.2", Unit.VOLT, before="24.0")
    assert ("fail", "low") == outcome(rule, "12", Unit.VOLT, before="24.0")


def test_leads_add_ohms_in_the_unit_of_the_reading() -> None:
    """Lead ohms are ohms: on a reading in kilohms they are thousandths, on volts nothing."""
    rule = {"rule": "same_as", "other": "before", "percent": Decimal(0)}
    assert ("pass", "same") == outcome(rule, "1.002", Unit.KILOHM, OHMS, before="1.000")
    assert ("fail", "high") == outcome(rule, "1.1", Unit.KILOHM, OHMS, before="1.000")
    rule = {"rule": "sum_of_parts", "parts": ["a", "b"], "percent": Decimal(0)}
    assert ("fail", "high") == outcome(rule, "2.1", Unit.KILOHM, OHMS, a="1.000", b="1.000")
    assert Decimal("0.074") == meter_error(OHMS, Quantity(Decimal("8.000"), Unit.VOLT))


@pytest.mark.parametrize("rating", ["0", "-5"])
@pytest.mark.parametrize("name", ["within_percent", "within_voltage"])
def test_a_rating_of_nothing_judges_nothing(name: str, rating: str) -> None:
    """A rating of zero or less, believed by mistake, gives cannot tell and no failure."""
    rule = {"rule": name, "rating": "rated"}
    for value in ("0", "10", "-5", OL):
        assert ("cannot_tell", "unsure") == outcome(rule, value, Unit.VOLT, rated=rating)


def test_one_tap_alone_has_no_order() -> None:
    """A single tap passes, and the reason does not call it falling."""
    rule = RULE.validate_python({"rule": "falls_in_order", "values": ["low", "high"]})
    high = Quantity(Decimal("9.87"), Unit.OHM)
    verdict = judge(rule, Evidence(high, {"high": high}, OHMS))
    assert verdict.outcome == "falls"
    assert "no other tap" in verdict.reason


def test_amps_at_most_full_load() -> None:
    """Amps above the full-load amps of the label fail; at them they pass."""
    rule = {"rule": "at_most", "limit": "fla"}
    assert ("pass", "low_enough") == outcome(rule, "5.6", Unit.AMPERE, fla="5.6")
    assert ("fail", "high") == outcome(rule, "5.61", Unit.AMPERE, fla="5.6")
    clamp = Meter(say="clamp", percent=Decimal(2), counts=Decimal(5))
    assert ("cannot_tell", "unsure") == outcome(rule, "5.61", Unit.AMPERE, clamp, fla="5.6")


def test_value_not_taken_is_cannot_tell() -> None:
    """A rule whose rating was never taken says that it cannot tell, and names what is missing."""
    rule = RULE.validate_python({"rule": "at_most", "limit": "full_load_amps"})
    verdict = judge(rule, Evidence(Quantity(Decimal(3), Unit.AMPERE)))
    assert verdict.kind.value == "cannot_tell"
    assert "full load amps" in verdict.reason


def test_units_are_converted_before_judging() -> None:
    """A limit in kilohms judges a reading in ohms."""
    rule = RULE.validate_python({"rule": "at_least", "limit": "least"})
    known = {"least": Quantity(Decimal(1), Unit.KILOHM)}
    verdict = judge(rule, Evidence(Quantity(Decimal(999), Unit.OHM), known))
    assert verdict.outcome == "low"
    verdict = judge(rule, Evidence(Quantity(Decimal(1000), Unit.OHM), known))
    assert verdict.outcome == "enough"


@pytest.mark.parametrize("declared", TypeAdapter(Rule).json_schema()["discriminator"]["mapping"])
def test_every_declared_rule_has_a_judge(declared: str) -> None:
    """A rule that a flow may write can be judged, and its outcomes are the ones it declares."""
    fields: dict[str, dict[str, object]] = {
        "within_percent": {"rating": Decimal(10)},
        "within": {"low": Decimal(1), "high": Decimal(2)},
        "within_voltage": {"rating": Decimal(115)},
        "at_least": {"limit": Decimal(1)},
        "at_most": {"limit": Decimal(1)},
        "falls_in_order": {"values": ["a", "b"]},
        "sum_of_parts": {"parts": ["a", "b"]},
        "same_as": {"other": "a"},
        "replacement_allowed": {"rating": Decimal(10), "kind": "equal"},
    }
    rule = RULE.validate_python({"rule": declared, **fields.get(declared, {})})
    known = {name: Quantity(Decimal(5), Unit.OHM) for name in ("a", "b")}
    for value in ("0", "0.5", "5", "10", "1000000", OL):
        verdict = judge(rule, Evidence(reading(value, Unit.OHM), known, OHMS))
        assert verdict.outcome in rule.outcomes
        assert verdict.kind is rule.outcomes[verdict.outcome]
        assert verdict.reason.endswith(".")


def beyond(rule: Mapping[str, object], value: str, unit: Unit, high: str) -> tuple[str, str]:
    """Judge a reading where nothing above a limit can be."""
    plausible = (Decimal(0), Decimal(high))
    evidence = Evidence(reading(value, unit), plausible=plausible)
    verdict = judge(RULE.validate_python(rule), evidence)
    return verdict.kind.value, verdict.outcome


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ("600", ("pass", "enough")),
        ("601", ("cannot_tell", "unsure")),
        ("2200", ("cannot_tell", "unsure")),
        ("89", ("fail", "low")),
    ],
)
def test_what_cannot_be_there_proves_nothing(value: str, found: tuple[str, str]) -> None:
    """A tester that shows 2200 on a house's live source is no proven tester, confirmed or not."""
    rule = {"rule": "at_least", "limit": 90}
    assert found == beyond(rule, value, Unit.VOLT, "600")


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ("200", ("pass", "reads")),
        ("200.1", ("fail", "over_limit")),
        ("9000", ("fail", "over_limit")),
        (OL, ("fail", "over_limit")),
    ],
)
def test_a_winding_far_above_any_winding_is_open(value: str, found: tuple[str, str]) -> None:
    """Nine kilohms through a motor's main winding is a burnt path, common practice, no source."""
    assert found == beyond({"rule": "not_over_limit"}, value, Unit.OHM, "200")
