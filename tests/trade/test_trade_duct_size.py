"""The size of a duct from its friction, the air of a grille, the air of a furnace."""

import importlib
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import duct
from assistant.trade.bounds import TradeError
from assistant.trade.catalogue import FORMULAS

fluids: Any = importlib.import_module("fluids")
psychrolib: Any = importlib.import_module("psychrolib")

FOOT_M, INCH_M, INWC_PA, LB_FT3 = 0.3048, 0.0254, 249.08891, 16.01846337
VISCOSITY_PA_S = 1.826e-5
"""Air at 70 F (property library, as in the room's own figure)."""


@pytest.mark.parametrize("cfm", [200, 800, 1200, 2000])
@pytest.mark.parametrize("friction", [0.05, 0.08, 0.1])
def test_the_size_has_the_friction_that_was_asked_for(cfm: float, friction: float) -> None:
    """A hundred feet of that size lose what was asked for, by fluids' own pipe drop.

    Source: fluids, one_phase_dP (library), in SI units throughout.
    """
    diameter = duct.round_diameter_in(cfm, friction) * INCH_M
    density = 0.075 * LB_FT3
    lost = fluids.one_phase_dP(
        m=cfm * FOOT_M**3 / 60 * density,
        rho=density,
        mu=VISCOSITY_PA_S,
        D=diameter,
        roughness=duct.GALVANIZED_FT * FOOT_M,
        L=100 * FOOT_M,
        Method="Colebrook",
    )
    assert pytest.approx(friction * INWC_PA, rel=1e-4) == lost


@pytest.mark.parametrize(("cfm", "inches"), [(400, 9.8), (1000, 13.8), (2000, 18.0)])
def test_the_size_is_the_friction_chart_s(cfm: float, inches: float) -> None:
    """At 0.1 in. w.c. a hundred feet the chart of a handbook gives these, within 3 %.

    Source: friction chart for round galvanized duct, handbook, read from memory.
    """
    assert pytest.approx(inches, rel=0.03) == duct.round_diameter_in(cfm, 0.1)


@given(st.floats(100, 4000), st.floats(0.02, 0.5))
def test_more_air_or_less_friction_wants_a_larger_duct(cfm: float, friction: float) -> None:
    """The size rises with the air and falls with the friction allowed."""
    size = duct.round_diameter_in(cfm, friction)
    assert duct.round_diameter_in(cfm * 1.1, friction) > size
    assert duct.round_diameter_in(cfm, friction * 1.1) < size


@pytest.mark.parametrize(("cfm", "friction"), [(0, 0.1), (100, 0), (1, 0.5), (1e9, 0.01)])
def test_a_size_that_cannot_be_is_refused(cfm: float, friction: float) -> None:
    """No air, no friction, or a duct under one inch or over ten feet is no size."""
    with pytest.raises(TradeError):
        duct.round_diameter_in(cfm, friction)


def test_a_grille_s_air() -> None:
    """24 by 18 inches is three square feet: 1500 cfm at 500 fpm, the most at a return grille.

    300 to 500 fpm: common practice, no source.
    """
    assert pytest.approx(1500) == duct.face_airflow_cfm(24, 18, 500)
    low, high = duct.FACE_VELOCITY_FPM["return_grille"]
    assert (300, 500) == (low, high)
    assert pytest.approx(high) == duct.face_velocity_fpm(1500, 24, 18)


@pytest.mark.parametrize("altitude", [0.0, 2500.0, 5000.0, 7500.0])
def test_a_furnace_s_air_carries_its_heat(altitude: float) -> None:
    """What goes in comes out as dry air's enthalpy, within 1 %.

    Source: psychrolib, dry air enthalpy and density at the altitude's pressure.
    """
    psychrolib.SetUnitSystem(psychrolib.IP)
    cfm = FORMULAS["furnace_airflow"].function(60, 80, 115.0, 70.0, altitude)
    pressure = psychrolib.GetStandardAtmPressure(altitude)
    density = psychrolib.GetDryAirDensity(70.0, pressure)
    gained = psychrolib.GetDryAirEnthalpy(115.0) - psychrolib.GetDryAirEnthalpy(70.0)
    assert pytest.approx(48_000, rel=0.01) == 60 * cfm * density * gained


def test_a_furnace_s_air_by_hand() -> None:
    """100 000 Btu an hour at 80 % over 60 degrees is 80 000 / 64.8 (q = 1.08 cfm dT, handbook)."""
    cfm = FORMULAS["furnace_airflow"].function(100, 80, 130.0, 70.0, 0.0)
    assert math.isclose(80_000 / 64.8, cfm)
