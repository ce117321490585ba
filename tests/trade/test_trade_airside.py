"""Static pressure, fan laws, ducts and the ladder; friction against the library fluids."""

import importlib
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import duct, fan, ladder, static_pressure
from assistant.trade.bounds import TradeError

fluids: Any = importlib.import_module("fluids")

CFM = st.floats(100, 3000)
RPM = st.floats(300, 1800)
INWC = st.floats(0.05, 2)
FOOT_M, INCH_M, INWC_PA, LB_FT3 = 0.3048, 0.0254, 249.08891, 16.01846337
AIR_VISCOSITY_PA_S = 1.826e-5


def _fluids_friction(cfm: float, diameter_in: float, roughness_ft: float) -> float:
    """Friction of 100 ft of duct by fluids, in SI units throughout, in inches of water."""
    diameter, roughness = diameter_in * INCH_M, roughness_ft * FOOT_M
    velocity = cfm * FOOT_M**3 / 60 / (math.pi * diameter**2 / 4)
    density = 0.075 * LB_FT3
    reynolds = density * velocity * diameter / AIR_VISCOSITY_PA_S
    factor = fluids.friction_factor(reynolds, roughness / diameter, Method="Colebrook")
    pascals = factor * 100 * FOOT_M / diameter * density * velocity**2 / 2
    return float(pascals / INWC_PA)


@pytest.mark.parametrize("diameter_in", [4, 6, 10, 14, 24])
@pytest.mark.parametrize("roughness_ft", [0.0, duct.GALVANIZED_FT, duct.FLEX_STRETCHED_FT])
@pytest.mark.parametrize("fpm", [200, 600, 900, 2000])
def test_friction_agrees_with_fluids(diameter_in: float, roughness_ft: float, fpm: float) -> None:
    """Friction is that of fluids' exact Colebrook within 1 in 100 000."""
    cfm = fpm * math.pi * (diameter_in / 12) ** 2 / 4
    expected = _fluids_friction(cfm, diameter_in, roughness_ft)
    ours = duct.friction_inwc_per_100ft(cfm, diameter_in, roughness_ft)
    assert pytest.approx(expected, rel=1e-5) == ours


@pytest.mark.parametrize(("a_in", "b_in"), [(12, 8), (20, 8), (24, 8), (14, 14)])
def test_equivalent_duct_has_the_friction_of_the_rectangular_one(a_in: float, b_in: float) -> None:
    """Huebscher's round duct loses as much as the rectangle by hydraulic diameter, within 4 %."""
    hydraulic_in = 2 * a_in * b_in / (a_in + b_in)
    fpm = duct.face_velocity_fpm(800, a_in, b_in)
    same_speed_cfm = fpm * math.pi * (hydraulic_in / 12) ** 2 / 4
    rectangular = _fluids_friction(same_speed_cfm, hydraulic_in, duct.GALVANIZED_FT)
    round_in = duct.equivalent_diameter_in(a_in, b_in)
    assert pytest.approx(rectangular, rel=0.04) == duct.friction_inwc_per_100ft(800, round_in)


@given(st.floats(1e-3, 2299))
def test_slow_flow_is_laminar_whatever_the_roughness(reynolds: float) -> None:
    """Below Reynolds 2300 the factor is 64 / Re (textbook)."""
    assert duct.friction_factor(reynolds, 0.001) == 64 / reynolds


@given(CFM, st.floats(6, 20), st.floats(1.01, 1.5))
def test_friction_grows_with_air_and_falls_with_width(
    cfm: float, diameter_in: float, more: float
) -> None:
    """More air loses more, a wider duct less, a rougher one more."""
    here = duct.friction_inwc_per_100ft(cfm, diameter_in)
    assert here < duct.friction_inwc_per_100ft(cfm * more, diameter_in)
    assert here > duct.friction_inwc_per_100ft(cfm, diameter_in * more)
    assert here < duct.friction_inwc_per_100ft(cfm, diameter_in, duct.FLEX_STRETCHED_FT)


@given(st.floats(4, 40), st.floats(4, 40))
def test_equivalent_diameter_is_below_the_round_duct_of_equal_area(
    a_in: float, b_in: float
) -> None:
    """A rectangle loses more than a round duct of its area, in either order of its sides."""
    round_in = duct.equivalent_diameter_in(a_in, b_in)
    assert pytest.approx(round_in) == duct.equivalent_diameter_in(b_in, a_in)
    assert round_in < math.sqrt(4 * a_in * b_in / math.pi)


@given(CFM, st.floats(100, 900))
def test_a_face_of_the_area_given_has_the_velocity_asked_for(cfm: float, fpm: float) -> None:
    """Area and face velocity are each other's inverse."""
    square_feet = duct.face_area_ft2(cfm, fpm)
    assert pytest.approx(fpm) == duct.face_velocity_fpm(cfm, 12, 12 * square_feet)


@given(st.floats(1, 10))
def test_nominal_airflow_is_four_hundred_a_ton(tons: float) -> None:
    """400 cfm a ton lies in the usual range (common practice, no source)."""
    per_ton = duct.airflow_per_ton_cfm(duct.nominal_airflow_cfm(tons), tons)
    low, high = duct.CFM_PER_TON
    assert pytest.approx(400) == per_ton
    assert low < per_ton < high


@given(CFM, RPM, RPM)
def test_fan_laws_agree_with_each_other(cfm: float, rpm: float, new_rpm: float) -> None:
    """Air power follows the cube of speed when air and pressure follow their own laws."""
    power = fan.air_power_hp(
        fan.airflow_at_rpm_cfm(cfm, rpm, new_rpm), fan.pressure_at_rpm_inwc(0.5, rpm, new_rpm)
    )
    assert pytest.approx(fan.power_at_rpm_hp(fan.air_power_hp(cfm, 0.5), rpm, new_rpm)) == power
    new_cfm = fan.airflow_at_rpm_cfm(cfm, rpm, new_rpm)
    assert pytest.approx(new_rpm) == fan.rpm_for_airflow(cfm, rpm, new_cfm)
    on_curve = static_pressure.system_curve_inwc(cfm, 0.5, new_cfm)
    assert pytest.approx(on_curve) == fan.pressure_at_rpm_inwc(0.5, rpm, new_rpm)


@given(st.floats(50, 4000), st.floats(0.05, 0.09))
def test_velocity_and_its_pressure_are_a_round_trip(fpm: float, density: float) -> None:
    """Velocity pressure tells the velocity again."""
    pressure = fan.velocity_pressure_inwc(fpm, density)
    assert pytest.approx(fpm) == fan.velocity_fpm(pressure, density)


def test_velocity_factor_is_bernoulli_in_inch_pound_units() -> None:
    """1096.7 is 60 sqrt(2 g w / 12), w = 62.30 lb/ft3 of water at 70 F (textbook), to 0.02 %."""
    feet_a_minute = 60 * math.sqrt(2 * 32.174 * 62.30 / 12)
    assert pytest.approx(feet_a_minute, rel=2e-4) == fan.velocity_fpm(0.1, 0.1)


@given(CFM, INWC, INWC)
def test_system_curve_is_a_round_trip(cfm: float, inwc: float, new_inwc: float) -> None:
    """The airflow at another pressure gives that pressure back."""
    new_cfm = static_pressure.system_curve_cfm(cfm, inwc, new_inwc)
    assert pytest.approx(new_inwc) == static_pressure.system_curve_inwc(cfm, inwc, new_cfm)


@given(INWC, INWC)
def test_total_static_does_not_care_how_signs_were_said(supply: float, back: float) -> None:
    """The return reads below zero; said with or without its minus, the total is the same."""
    total = static_pressure.total_external_inwc(supply, -back)
    assert supply + back == total
    assert total == static_pressure.total_external_inwc(supply, back)


def test_pressure_falls_across_a_part() -> None:
    """Readings in the wrong order are refused; equal ones are no drop."""
    assert static_pressure.component_drop_inwc(-0.2, -0.2) == 0
    with pytest.raises(TradeError, match="rises"):
        static_pressure.component_drop_inwc(-0.34, -0.12)


@pytest.mark.parametrize(
    ("part", "drop_inwc", "is_suspect"),
    [
        ("filter", 0.125, False),
        ("filter", 0.126, True),
        ("coil", 0.25, False),
        ("coil", 0.251, True),
    ],
)
def test_first_suspects_at_their_share(part: str, drop_inwc: float, is_suspect: bool) -> None:
    """Filter over 20, coil over 40 percent of the total (common practice, no source)."""
    assert is_suspect is static_pressure.is_suspect(part, drop_inwc, 0.625)


def test_a_part_without_a_share_is_refused() -> None:
    """No share is guessed for another part."""
    with pytest.raises(TradeError, match="no share"):
        static_pressure.is_suspect("damper", 0.1, 0.5)


def test_budget_parts_make_up_the_total() -> None:
    """The shares of the budget bracket 0.50 in. w.c. (common practice, no source)."""
    least, most = (
        sum(limits[side] for limits in static_pressure.BUDGET_INWC.values()) for side in (0, 1)
    )
    assert least < static_pressure.BUDGET_TOTAL_INWC < most


@given(st.floats(6, 60))
def test_a_ladder_stands_a_quarter_of_its_length_out(feet: float) -> None:
    """29 CFR 1926.1053(b)(5)(i)."""
    assert feet == 4 * ladder.base_ft(feet)
