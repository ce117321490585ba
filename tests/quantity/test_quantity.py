"""What a meter shows: digits kept, units converted, written for the eye, said for the ear."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantity import (
    FORMS,
    RESISTANCE_UNITS,
    OverLimit,
    Quantity,
    QuantityError,
    Unit,
    _scale,
    _scale_by_pint,
    digit_words,
    format_for_ear,
    format_for_eye,
    number_words,
    quantity,
    with_one_stop,
)


@pytest.mark.parametrize(
    ("digits", "unit", "eye", "ear"),
    [
        ("17.5", "ohm", "17.5 Ω", "seventeen point five ohms"),
        ("17.50", "ohm", "17.50 Ω", "seventeen point five zero ohms"),
        ("15.05", "microfarad", "15.05 µF", "fifteen point zero five microfarads"),
        ("2.2", "megohm", "2.2 MΩ", "two point two megohms"),
        ("1800000", "ohm", "1.8 MΩ", "one million eight hundred thousand ohms"),
        ("1000000", "ohm", "1 MΩ", "one million ohms"),
        (
            "999999",
            "ohm",
            "999.999 kΩ",
            "nine hundred ninety nine thousand nine hundred ninety nine ohms",
        ),
        ("10000", "ohm", "10 kΩ", "ten thousand ohms"),
        ("9999", "ohm", "9999 Ω", "nine thousand nine hundred ninety nine ohms"),
        ("2200", "kilohm", "2.2 MΩ", "two thousand two hundred kilohms"),
        ("47.0", "kilohm", "47.0 kΩ", "forty seven point zero kilohms"),
        ("5000", "megohm", "5000 MΩ", "five thousand megohms"),
        ("240", "volt", "240 V", "two hundred forty volts"),
        ("0.83", "ampere", "0.83 A", "zero point eight three amps"),
        ("-0.34", "in_wc", "\N{MINUS SIGN}0.34 in. w.c.", "minus zero point three four inches"),
        ("1", "ohm", "1 Ω", "one ohm"),
        ("1075", "rpm", "1075 rpm", "one thousand seventy five r p m"),
        ("5", "count", "5", "five"),
    ],
)
def test_formats(digits: str, unit: str, eye: str, ear: str) -> None:
    """A quantity keeps the digits as said, for the eye and for the ear."""
    made = quantity(digits, unit)
    assert eye == format_for_eye(made)
    assert ear == format_for_ear(made)


@pytest.mark.parametrize(
    ("text", "one_stop"),
    [
        ("It is 0.8 in. w.c.. Clean it.", "It is 0.8 in. w.c. Clean it."),
        ("0.8 in. w.c..", "0.8 in. w.c."),
        ("A 6 in..", "A 6 in."),
        ("0.8 in. w.c. is much.", "0.8 in. w.c. is much."),
        ("Wait 0.8 in. w.c... then.", "Wait 0.8 in. w.c... then."),
        ("Go on..", "Go on.."),
        ("17.5 Ω.", "17.5 Ω."),
    ],
)
def test_a_unit_s_full_stop_ends_the_sentence(text: str, one_stop: str) -> None:
    """A unit that ends in a full stop takes no second one; nothing else is touched."""
    assert one_stop == with_one_stop(text)


def test_over_limit() -> None:
    """OL is written OL and said in words that cannot be taken for a number."""
    assert format_for_eye(OverLimit(Unit.OHM)) == "OL"
    assert format_for_ear(OverLimit(Unit.OHM)) == "over limit"
    assert OverLimit(Unit.OHM).is_over_limit
    assert not quantity("0", "ohm").is_over_limit


@pytest.mark.parametrize(
    ("digits", "unit", "target", "expected"),
    [
        ("2.2", "megohm", "ohm", "2200000"),
        ("2200", "ohm", "kilohm", "2.2"),
        ("77", "deg_f", "deg_c", "25"),
        ("25", "deg_c", "deg_f", "77"),
        # 1 in. w.c. is 249.089 Pa (conventional water; NIST SP 811 table, from memory)
        ("1", "in_wc", "pascal", "249.08891"),
        # 1 hp is 745.700 W (NIST SP 811, from memory)
        ("1", "horsepower", "watt", "745.699871582270"),
        # 12 000 Btu/h with the Btu of pint's definition file
        ("1", "ton", "watt", "3516.85333333333"),
    ],
)
def test_conversions(digits: str, unit: str, target: str, expected: str) -> None:
    """Conversions keep exact numbers exact."""
    assert Decimal(expected) == quantity(digits, unit).to(Unit(target)).value


@pytest.mark.parametrize("source", RESISTANCE_UNITS)
@pytest.mark.parametrize("target", RESISTANCE_UNITS)
def test_ohms_agree_with_pint(source: Unit, target: Unit) -> None:
    """The powers of ten that are known without pint are pint's."""
    factor, offset = _scale_by_pint(source, target)
    assert (factor, offset) == _scale(source, target)


@pytest.mark.parametrize(
    ("value", "unit"), [("nan", "ohm"), ("inf", "volt"), ("x", "ohm"), ("5", "ohmz"), ("", "ohm")]
)
def test_what_no_meter_shows(value: str, unit: str) -> None:
    """What is no number or no unit is refused in one sentence."""
    with pytest.raises(QuantityError) as caught:
        quantity(value, unit)
    assert caught.value.message.endswith(".")


def test_unlike_units_do_not_convert() -> None:
    """Ohms do not become volts."""
    with pytest.raises(QuantityError, match="cannot be turned into"):
        quantity("5", "ohm").to(Unit.VOLT)


@given(st.decimals(min_value=0, max_value=999999, places=3))
def test_number_words_are_only_words(value: Decimal) -> None:
    """Whatever the number, it is said in words, without a symbol or a digit."""
    said = f"{number_words(value)} {digit_words(value)}"
    assert all(part.isalpha() for part in said.split())


def test_every_unit_has_its_forms() -> None:
    """Each unit can be written, said and converted to itself."""
    for unit in Unit:
        assert unit in FORMS
        assert Quantity(Decimal(1), unit).to(unit).value == 1
