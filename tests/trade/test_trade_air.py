"""Air and heat, against psychrolib and CoolProp."""

import importlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import air, heat
from assistant.trade.bounds import TradeError

psychrolib: Any = importlib.import_module("psychrolib")
coolprop: Any = importlib.import_module("CoolProp.CoolProp")

TEMPERATURES_F = (-20.0, 0.0, 32.0, 70.0, 95.0, 140.0)
ALTITUDES_FT = (-500.0, 0.0, 1000.0, 2500.0, 5000.0, 7500.0, 10000.0)
PASCALS_PER_PSI = 6894.757293168
KG_M3_PER_LB_FT3 = 16.01846337


@pytest.fixture(autouse=True)
def _inch_pound() -> None:
    psychrolib.SetUnitSystem(psychrolib.IP)


@pytest.mark.parametrize("temp_f", TEMPERATURES_F)
@pytest.mark.parametrize("altitude_ft", ALTITUDES_FT)
def test_dry_density_agrees_with_psychrolib(temp_f: float, altitude_ft: float) -> None:
    """Density is psychrolib's within 1 in 100 000 over temperature and altitude."""
    psi = psychrolib.GetStandardAtmPressure(altitude_ft)
    expected = psychrolib.GetDryAirDensity(temp_f, psi)
    assert pytest.approx(expected, rel=1e-5) == air.dry_density(temp_f, altitude_ft)


@pytest.mark.parametrize("temp_f", TEMPERATURES_F)
def test_dry_density_agrees_with_coolprop(temp_f: float) -> None:
    """Density is that of real air within 0.15 percent (CoolProp, equation of state)."""
    pascals = 14.696 * PASCALS_PER_PSI
    kelvin = (temp_f + 459.67) / 1.8
    expected = coolprop.PropsSI("D", "T", kelvin, "P", pascals, "Air") / KG_M3_PER_LB_FT3
    assert pytest.approx(expected, rel=0.0015) == air.dry_density(temp_f)


@pytest.mark.parametrize("humidity_ratio", [0.0, 0.005, 0.01, 0.02])
def test_moist_factor_agrees_with_psychrolib(humidity_ratio: float) -> None:
    """The factor is what one degree adds to psychrolib's enthalpy of moist air, within 0.2 %."""
    low, high = (psychrolib.GetMoistAirEnthalpy(t, humidity_ratio) for t in (70, 71))
    expected = 60 * air.STANDARD_DENSITY * (high - low)
    assert pytest.approx(expected, rel=0.002) == air.moist_factor(humidity_ratio)


def test_standard_factor_is_the_product_it_stands_for() -> None:
    """1.08 is 60 x 0.075 x 0.24 (handbook)."""
    assert pytest.approx(air.STANDARD_FACTOR) == air.sensible_factor()
    assert pytest.approx(air.sensible_factor()) == air.moist_factor(0)


@given(st.floats(-100, 380), st.floats(1, 20), st.floats(-1500, 34_000), st.floats(1, 1000))
def test_air_thins_with_heat_and_height(
    temp_f: float, warmer: float, altitude_ft: float, higher: float
) -> None:
    """Density and with it the sensible factor fall with temperature and with altitude."""
    here = air.sensible_factor_at(temp_f, altitude_ft)
    assert here > air.sensible_factor_at(temp_f + warmer, altitude_ft)
    assert here > air.sensible_factor_at(temp_f, altitude_ft + higher)


@given(st.floats(200, 3000), st.floats(5, 80), st.floats(0.7, 1.1))
def test_heat_and_airflow_are_a_round_trip(cfm: float, rise_f: float, factor: float) -> None:
    """The heat that air carries tells the airflow again."""
    btuh = heat.sensible_btuh(cfm, rise_f, factor)
    assert pytest.approx(cfm) == heat.airflow_cfm(btuh, rise_f, factor)


@given(st.floats(1, 30), st.floats(200, 3000))
def test_electric_rise_and_airflow_are_a_round_trip(kw: float, cfm: float) -> None:
    """The rise of a heater tells the airflow again."""
    assert pytest.approx(cfm) == heat.electric_heat_cfm(kw, heat.electric_heat_rise_f(kw, cfm))


@given(st.floats(1, 30), st.floats(200, 480))
def test_a_heater_makes_its_rating_at_its_rated_volts(kw: float, volts: float) -> None:
    """Rated volts give rated heat, half the volts a quarter."""
    assert pytest.approx(kw) == heat.kw_at_voltage(kw, volts, volts)
    assert pytest.approx(kw / 4) == heat.kw_at_voltage(kw, volts, volts / 2)


def test_rise_needs_the_warmer_air_on_the_supply() -> None:
    """Swapped temperatures are refused; equal ones rise by nothing."""
    assert heat.rise_f(118, 70) == 48
    assert heat.rise_f(70, 70) == 0
    with pytest.raises(TradeError, match="colder than return"):
        heat.rise_f(69.9, 70)


def test_no_rise_tells_no_airflow() -> None:
    """Without a rise the airflow is not infinite but refused."""
    with pytest.raises(TradeError, match="rise_f is 0"):
        heat.airflow_cfm(1000, 0)
