"""Stated ranges at their ends, and the figures of the trade that rules and flows rely on."""

from collections.abc import Callable

import pytest

from assistant.trade import (
    air,
    bounds,
    capacitor,
    control,
    duct,
    fan,
    heat,
    static_pressure,
    supply,
    windings,
)
from assistant.trade.bounds import TradeError

CloseCall = tuple[Callable[[float], object], float, float]

RANGES: dict[str, CloseCall] = {
    "altitude, ft": (air.pressure_ratio, -1500, 35_000),
    "air temperature, F": (air.dry_density, -100, 400),
    "air density, lb/ft3": (air.sensible_factor, 0.01, 0.2),
    "density at a pitot tube, lb/ft3": (lambda x: fan.velocity_fpm(0.1, x), 0.01, 0.2),
    "density from a velocity, lb/ft3": (lambda x: fan.velocity_pressure_inwc(900, x), 0.01, 0.2),
    "density in a duct, lb/ft3": (
        lambda x: duct.friction_inwc_per_100ft(400, 10, density=x),
        0.01,
        0.2,
    ),
    "humidity ratio": (air.moist_factor, 0, 0.1),
    "minus tolerance, percent": (lambda x: capacitor.band_min_uf(10, x), 0, 100),
    "plus tolerance, percent": (lambda x: capacitor.band_max_uf(10, x), 0, 100),
    "voltage tolerance below, percent": (lambda x: supply.window_min_volts(115, x), 0, 100),
    "voltage tolerance above, percent": (lambda x: supply.window_max_volts(115, x), 0, 100),
    "efficiency of a motor, percent": (lambda x: supply.motor_amps(1, 115, x, 1), 1e-9, 100),
    "power factor of a motor": (lambda x: supply.motor_amps(1, 115, 70, x), 1e-9, 1),
    "efficiency of a furnace": (lambda x: heat.gas_heat_cfm(80_000, x, 50), 0, 1),
    "supply air, F": (lambda x: heat.rise_f(x, -459.67), -459.67, 1000),
    "return air, F": (lambda x: heat.rise_f(1000, x), -459.67, 1000),
    "winding, C": (lambda x: windings.resistance_at_temperature_ohms(2, x, 25), -234, 500),
    "winding to, C": (lambda x: windings.resistance_at_temperature_ohms(2, 25, x), -234, 500),
    "metal": (lambda x: windings.resistance_at_temperature_ohms(2, 25, 95, x), 200, 300),
    "hot winding, ohms": (lambda x: windings.temperature_by_resistance_c(235, 0, x), 1e-9, 735),
    "ambient, C": (lambda x: windings.rise_by_resistance_kelvin(2, 25, 2.5, x), -273.15, 500),
    "halving, C": (lambda x: windings.insulation_at_40c_halving_megohms(5, x), -40, 155),
    "thermoset, C": (lambda x: windings.insulation_at_40c_thermoset_megohms(5, x), 10, 85),
    "shorted turns, percent": (lambda x: windings.shorted_turns_ohms(2, x), 0, 100),
    "class 2, volts": (control.class2_fuse_amps, 1e-9, 30),
    "supply static": (lambda x: static_pressure.total_external_inwc(x, 0), -20, 20),
    "return static": (lambda x: static_pressure.total_external_inwc(0, x), -20, 20),
    "upstream": (lambda x: static_pressure.component_drop_inwc(x, -20), -20, 20),
    "downstream": (lambda x: static_pressure.component_drop_inwc(20, x), -20, 20),
    "diameter, in": (lambda x: duct.friction_inwc_per_100ft(400, x), 1, 120),
    "roughness, ft": (lambda x: duct.friction_inwc_per_100ft(400, 10, x), 0, 0.01),
    "relative roughness": (lambda x: duct.friction_factor(1e5, x), 0, 0.2),
}


@pytest.mark.parametrize("call_low_high", RANGES.values(), ids=RANGES.keys())
def test_each_stated_range_ends_where_it_says(call_low_high: CloseCall) -> None:
    """Both ends are taken, a thousandth of the range outside either is refused."""
    call, low, high = call_low_high
    step = (high - low) / 1000
    call(low)
    call(high)
    for outside in (low - step, high + step):
        with pytest.raises(TradeError):
            call(outside)


FIGURES = [
    (6, capacitor.DEFAULT_TOLERANCE_PERCENT, "common practice, no source"),
    (50, capacitor.SAFE_VOLTS, "NEC 460.6, number seen second-hand"),
    (60, capacitor.SAFE_WITHIN_SECONDS, "NEC 460.6, number seen second-hand"),
    (5, capacitor.BLEED_TIME_CONSTANTS, "common practice, no source"),
    (235, windings.COPPER_K, "IEC 60034-1, from memory"),
    (225, windings.ALUMINIUM_K, "IEC 60034-1, from memory"),
    (25, windings.REFERENCE_C, "common practice, no source"),
    (10, supply.MOTOR_TOLERANCE_PERCENT, "NEMA MG 1-12.44"),
    (3, supply.DROP_LIMIT_PERCENT, "NEC 210.19 note, from memory"),
    (100, control.CLASS_2_MAX_VA, "NEC chapter 9 table 11(A), seen second-hand"),
    (7.77, control.OHMS_PER_KFT_18_AWG, "NEC chapter 9 table 8"),
    (0.5, static_pressure.BUDGET_TOTAL_INWC, "common practice, no source"),
    ((0.20, 0.25), static_pressure.BUDGET_INWC["coil"], "common practice, no source"),
    ((0.0, 0.10), static_pressure.BUDGET_INWC["filter"], "common practice, no source"),
    ((0.08, 0.10), static_pressure.BUDGET_INWC["supply"], "common practice, no source"),
    ((0.08, 0.10), static_pressure.BUDGET_INWC["return"], "common practice, no source"),
    ((350, 450), duct.CFM_PER_TON, "common practice; 350: California Title 24 150.0(m)13"),
    (300, duct.FILTER_FPM, "common practice, no source"),
    ((300, 500), duct.FACE_VELOCITY_FPM["return_grille"], "common practice, no source"),
    ((350, 500), duct.FACE_VELOCITY_FPM["coil"], "common practice, no source"),
    ((700, 900), duct.FACE_VELOCITY_FPM["supply_trunk"], "common practice, no source"),
    ((500, 700), duct.FACE_VELOCITY_FPM["return_trunk"], "common practice, no source"),
    ((0, 800), duct.FACE_VELOCITY_FPM["branch"], "common practice, no source"),
    (0.0003, duct.GALVANIZED_FT, "ASHRAE roughness table, seen second-hand"),
    (0.003, duct.FLEX_STRETCHED_FT, "ASHRAE roughness table, seen second-hand"),
    (126, supply.C84_LIMITS_VOLTS["utilization_A_max"], "ANSI C84.1, from memory"),
    (127, supply.C84_LIMITS_VOLTS["utilization_B_max"], "ANSI C84.1, from memory"),
    (-273.15, bounds.ABSOLUTE_ZERO_C, "definition of the degree Celsius"),
    (-459.67, bounds.ABSOLUTE_ZERO_F, "definition of the degree Fahrenheit"),
]


@pytest.mark.parametrize(("expected", "figure", "source"), FIGURES)
def test_a_figure_of_the_trade_stands_as_its_source_says(
    expected: object, figure: object, source: str
) -> None:
    """A figure that verdicts rest on cannot change unseen."""
    assert expected == figure, source


def test_formulas_use_their_stated_defaults() -> None:
    """Where nothing is given, a formula counts with the figure that its docstring states."""
    assert capacitor.band_min_uf(10, 6) == capacitor.band_min_uf(10)
    assert capacitor.band_max_uf(10, 6) == capacitor.band_max_uf(10)
    assert capacitor.max_bleed_ohms(10, 500, 50, 60) == capacitor.max_bleed_ohms(10, 500)
    assert air.dry_density(70, 0) == air.dry_density(70)
    assert heat.gas_input_btuh(36, 1000, 1) == heat.gas_input_btuh(36, 1000)
    assert duct.face_area_ft2(900, 300) == duct.face_area_ft2(900)
    assert windings.resistance_at_temperature_ohms(
        2, 25, 95, 235
    ) == windings.resistance_at_temperature_ohms(2, 25, 95)
