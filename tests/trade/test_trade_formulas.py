"""The table of formulas: every one worked out, units converted, misuse refused."""

import math
from decimal import Decimal
from inspect import signature

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantity import Quantity, Unit, quantity
from assistant.trade.bounds import TradeError
from assistant.trade.formulas import FORMULAS, check_units, find_formula, work_out

# Values worked by hand or taken from check_values.csv, where their sources stand.
WORKED: list[tuple[str, str, str]] = [
    ("capacitor_low_limit", "7.5 microfarad, 6 percent", "7.05 microfarad"),
    ("capacitor_high_limit", "7.5 microfarad, 6 percent", "7.95 microfarad"),
    ("capacitor_deviation", "6.62 microfarad, 7.5 microfarad", "-11.73 percent"),
    ("capacitance_under_load", "1.03 ampere, 364.3 volt, 60 hertz", "7.5 microfarad"),
    ("capacitor_current", "10 microfarad, 370 volt, 60 hertz", "1.395 ampere"),
    ("capacitors_in_parallel", "45 microfarad, 5 microfarad", "50 microfarad"),
    ("capacitors_in_series", "45 microfarad, 5 microfarad", "4.5 microfarad"),
    ("peak_voltage", "370 volt", "523.3 volt"),
    ("capacitor_bleed_time", "10 microfarad, 20 kilohm", "1 second"),
    (
        "capacitor_discharge_time",
        "45 microfarad, 15 kilohm, 622.25 volt, 50 volt",
        "1.702 second",
    ),
    (
        "bleed_resistance_limit",
        "10 microfarad, 523.26 volt, 50 volt, 60 second",
        "2555000 ohm",
    ),
    ("winding_resistance", "2.2 ohm, 25 deg_c, 95 deg_c", "2.792 ohm"),
    ("winding_resistance_at_25c", "2.792308 ohm, 203 deg_f", "2.2 ohm"),
    ("winding_temperature", "2.25 ohm, 22 deg_c, 2.93 ohm", "99.67 deg_c"),
    ("insulation_at_40c", "20 megohm, 20 deg_c", "5 megohm"),
    ("tap_difference", "14 ohm, 9.87 ohm", "4.13 ohm"),
    ("joined_resistance", "2.25 ohm, 20.0 ohm", "22.25 ohm"),
    ("sum_error", "5.3 ohm, 3.1 ohm, 1.8 ohm", "0.4 ohm"),
    # C072 of the check values: S-R highest, C-S middle, C-R lowest (S)
    ("compressor_common_terminal", "4.9 ohm, 3.1 ohm, 1.8 ohm", "3 count"),
    ("compressor_start_terminal", "4.9 ohm, 3.1 ohm, 1.8 ohm", "1 count"),
    ("compressor_run_terminal", "4.9 ohm, 3.1 ohm, 1.8 ohm", "2 count"),
    ("compressor_common_start", "4.9 ohm, 3.1 ohm, 1.8 ohm", "3.1 ohm"),
    ("compressor_common_run", "4.9 ohm, 3.1 ohm, 1.8 ohm", "1.8 ohm"),
    ("compressor_start_run", "4.9 ohm, 3.1 ohm, 1.8 ohm", "4.9 ohm"),
    ("winding_shortfall", "4.4 ohm, 2.64 ohm", "1.76 ohm"),
    ("winding_shortfall_share", "4.4 ohm, 2.64 ohm", "40 percent"),
    ("voltage_low_limit", "208 volt, 10 percent", "187.2 volt"),
    ("voltage_high_limit", "230 volt, 10 percent", "253 volt"),
    ("voltage_drop", "241 volt, 233.5 volt", "3.112 percent"),
    ("joint_resistance", "2.8 volt, 5.6 ampere", "0.5 ohm"),
    ("wire_loss", "5.6 ampere, 1.6 ohm", "50.18 watt"),
    ("synchronous_speed", "6 count, 60 hertz", "1200 rpm"),
    ("poles", "1075 rpm, 60 hertz", "6 count"),
    ("slip", "6 count, 60 hertz, 1075 rpm", "10.42 percent"),
    ("torque_at_voltage", "207 volt, 230 volt", "81 percent"),
    ("apparent_power", "115 volt, 5.19 ampere", "596.9 volt_ampere"),
    ("power_factor", "361 watt, 115 volt, 5.19 ampere", "0.6048 count"),
    ("motor_amps", "1 horsepower, 100 volt, 74.57 percent, 1 count", "10 ampere"),
    ("motor_load", "2.8 ampere, 5.6 ampere", "50 percent"),
    ("transformer_amps", "40 volt_ampere, 24 volt", "1.667 ampere"),
    ("class_2_fuse", "24 volt", "4.167 ampere"),
    ("control_wire_drop", "7.77 ohm, 100 foot, 0.5 ampere", "0.777 volt"),
    ("air_density_share", "5000 foot", "83.21 percent"),
    ("temperature_rise", "118.5 deg_f, 70.2 deg_f", "48.3 deg_f"),
    ("electric_heat", "240 volt, 40 ampere", "9600 watt"),
    ("heater_at_voltage", "10000 watt, 240 volt, 208 volt", "7511 watt"),
    (
        "electric_heat_airflow",
        "240 volt, 40 ampere, 112 deg_f, 70 deg_f, 0 foot",
        "722.1 cfm",
    ),
    (
        "gas_heat_airflow",
        "45 second, 1000 count, 80 percent, 120 deg_f, 70 deg_f, 0 foot",
        "1185 cfm",
    ),
    (
        "furnace_airflow",
        "60 count, 80 percent, 119.4 deg_f, 75 deg_f, 0 foot",
        "1001 cfm",
    ),
    ("total_external_static", "0.28 in_wc, -0.34 in_wc", "0.62 in_wc"),
    ("component_drop", "-0.12 in_wc, -0.34 in_wc", "0.22 in_wc"),
    ("pressure_share", "0.10 in_wc, 0.50 in_wc", "20 percent"),
    ("system_pressure", "1250 cfm, 0.5 in_wc, 1000 cfm", "0.32 in_wc"),
    ("system_airflow", "1250 cfm, 0.5 in_wc, 0.32 in_wc", "1000 cfm"),
    ("fan_airflow", "1000 cfm, 1000 rpm, 1100 rpm", "1100 cfm"),
    ("fan_pressure", "0.5 in_wc, 1075 rpm, 900 rpm", "0.3505 in_wc"),
    ("fan_power", "0.33 horsepower, 1075 rpm, 1150 rpm", "0.404 horsepower"),
    ("fan_speed", "1000 cfm, 1000 rpm, 1100 cfm", "1100 rpm"),
    ("equivalent_diameter", "12 inch, 8 inch", "10.66 inch"),
    ("duct_friction", "1200 cfm, 16.8 inch", "0.05063 in_wc"),
    ("round_duct", "1200 cfm, 0.08 in_wc", "15.3 inch"),
    ("face_airflow", "24 inch, 18 inch, 400 count", "1200 cfm"),
    ("airflow_per_ton", "1050 cfm, 3 ton", "350 cfm"),
    ("nominal_airflow", "3 ton, 400 cfm", "1200 cfm"),
    ("ladder_base", "16 foot", "4 foot"),
]


def _quantity(text: str) -> Quantity:
    digits, unit = text.split()
    return quantity(digits, unit)


def _arguments(name: str, given_text: str) -> dict[str, Quantity]:
    values = (_quantity(part) for part in given_text.split(", "))
    return dict(zip(FORMULAS[name].parameters, values, strict=True))


@pytest.mark.parametrize(("name", "given_text", "expected"), WORKED)
def test_each_formula_is_worked_out_in_quantities(
    name: str, given_text: str, expected: str
) -> None:
    """The result has the stated unit, rounding and digits."""
    assert _quantity(expected) == work_out(name, _arguments(name, given_text))


def test_no_formula_is_left_unworked() -> None:
    """Each formula of the table is worked out above, once."""
    assert sorted(FORMULAS) == sorted(name for name, _, _ in WORKED)


@pytest.mark.parametrize("name", FORMULAS)
def test_each_row_fits_its_function(name: str) -> None:
    """A row names itself, only parameters of its function, all that have no default."""
    formula = FORMULAS[name]
    taken = signature(formula.function).parameters
    needed = {key for key, parameter in taken.items() if parameter.default is parameter.empty}
    assert name == formula.name
    assert needed <= set(formula.parameters) <= set(taken)
    assert formula.summary
    assert formula.result is check_units(name, formula.parameters)


@pytest.mark.parametrize(
    ("name", "given_text", "expected"),
    [
        ("total_external_static", "69.74 pascal, -84.69 pascal", Decimal("0.62")),
        ("winding_resistance", "2.2 ohm, 77 deg_f, 203 deg_f", Decimal("2.792")),
        ("equivalent_diameter", "1 foot, 8 inch", Decimal("10.66")),
        ("electric_heat_airflow", "240 volt, 40 ampere, 112 deg_f, 21.1111 deg_c, 0 foot", 722),
        ("joined_resistance", "2.25 kilohm, 20 ohm", Decimal(2270)),
    ],
)
def test_units_of_the_same_kind_are_converted(
    name: str, given_text: str, expected: Decimal | int
) -> None:
    """Pascals, Fahrenheit, feet and kilohms give what the parameter's own unit gives."""
    result = work_out(name, _arguments(name, given_text))
    assert float(result.value) == pytest.approx(float(expected), rel=3e-4)


def test_altitude_counts_in_heat_airflow() -> None:
    """At 5000 ft thin air at the same rise means 1 / 0.832 of the airflow (psychrolib)."""
    low, high = (
        float(
            work_out(
                "electric_heat_airflow",
                _arguments(
                    "electric_heat_airflow", f"240 volt, 40 ampere, 112 deg_f, 70 deg_f, {feet}"
                ),
            ).value
        )
        for feet in ("0 foot", "5000 foot")
    )
    assert high / low == pytest.approx(1 / 0.832, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "given_text", "parameter"),
    [
        ("synchronous_speed", "6 count, 1200 rpm", "hz"),
        ("slip", "6 count, 60 hertz, 17 hertz", "rpm"),
        ("transformer_amps", "40 watt, 24 volt", "va"),
        ("power_factor", "361 volt_ampere, 115 volt, 5 ampere", "watts"),
        ("slip", "600 percent, 60 hertz, 1075 rpm", "poles"),
        ("peak_voltage", "370 microfarad", "rms_volts"),
        ("ladder_base", "16 second", "working_length_ft"),
        ("capacitor_low_limit", "7.5 ohm, 6 percent", "rated_uf"),
    ],
)
def test_a_unit_of_another_kind_is_refused(name: str, given_text: str, parameter: str) -> None:
    """Also where the dimensions agree: hertz are no rpm, volt amps no watts, percent no count."""
    given_units = {key: given.unit for key, given in _arguments(name, given_text).items()}
    for attempt in (
        lambda: work_out(name, _arguments(name, given_text)),
        lambda: check_units(name, given_units),
    ):
        with pytest.raises(TradeError) as caught:
            attempt()
        assert f"as {parameter}." in caught.value.message
        assert FORMULAS[name].parameters[parameter].value in caught.value.hint


def test_a_bare_number_counts_in_the_parameters_unit() -> None:
    """A number without a unit passes the check of units."""
    assert Unit.VOLT is check_units("peak_voltage", {"rms_volts": None})


def test_an_unknown_formula_names_the_nearest() -> None:
    """A misspelt name is answered with the one that is meant; nonsense with the table."""
    with pytest.raises(TradeError) as caught:
        find_formula("capacitance_under_lode")
    assert "capacitance_under_load" in caught.value.hint
    with pytest.raises(TradeError, match="There is no formula"):
        work_out("xyzzy", {})


def test_missing_and_extra_arguments_are_named() -> None:
    """The message names what is missing or too much, the hint what is taken."""
    with pytest.raises(TradeError, match="was not given volts, hz"):
        work_out("capacitance_under_load", {"amps": quantity("1", "ampere")})
    with pytest.raises(TradeError, match="does not take ohms") as caught:
        work_out("peak_voltage", {"rms_volts": quantity("1", "volt"), "ohms": quantity("1", "ohm")})
    assert "rms_volts" in caught.value.hint


@given(st.data())
def test_whatever_is_given_ends_in_a_number_or_a_sentence(data: st.DataObject) -> None:
    """Every formula on every finite value: a finite result or one `TradeError`, never else."""
    formula = FORMULAS[data.draw(st.sampled_from(sorted(FORMULAS)))]
    numbers = st.one_of(
        st.decimals(allow_nan=False, allow_infinity=False),
        st.decimals(-1000, 1000, places=2),
        st.sampled_from([Decimal(0), Decimal("-0"), Decimal("1E-320"), Decimal("1E+400")]),
    )
    arguments = {
        key: Quantity(data.draw(numbers), unit) for key, unit in formula.parameters.items()
    }
    outcome = _outcome(formula.name, arguments)
    if isinstance(outcome, TradeError):
        assert outcome.message.endswith(".")
        assert ". " not in outcome.message
        assert outcome.hint.endswith(".")
    else:
        assert formula.result is outcome.unit
        assert math.isfinite(float(outcome.value))
        assert len(outcome.value.normalize().as_tuple().digits) <= formula.digits


def _outcome(name: str, arguments: dict[str, Quantity]) -> Quantity | TradeError:
    try:
        return work_out(name, arguments)
    except TradeError as error:
        return error


@pytest.mark.parametrize("digits", ["15.05", "9.87", "0.1", "100", "22.47"])
def test_a_difference_of_readings_keeps_its_digits(digits: str) -> None:
    """Sums and differences are exact in the digits a meter shows, not rounded to four."""
    reading = quantity(digits, "ohm")
    joined = work_out(
        "joined_resistance", {"first_ohms": reading, "second_ohms": quantity("1000", "ohm")}
    )
    assert Decimal(digits) + 1000 == joined.value
