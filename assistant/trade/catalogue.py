"""The formulas that a flow's "work out" step can name, one row each.

Temperature differences are never taken, only the two temperatures, because a difference does not
convert like a temperature; windings count as copper (k 235). To add a formula, add one row.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.quantity import Unit
from assistant.trade import (
    air,
    capacitor,
    compressor,
    control,
    duct,
    fan,
    heat,
    ladder,
    static_pressure,
    supply,
    windings,
)

DIGITS = 4
"""Significant digits of a result: more than a meter's error leaves standing."""
DIGITS_OF_SUMS = 8
"""Sums and differences of readings keep all the digits that a meter shows."""

_UF, _VOLT, _AMP, _OHM, _MEGOHM = (
    Unit.MICROFARAD,
    Unit.VOLT,
    Unit.AMPERE,
    Unit.OHM,
    Unit.MEGOHM,
)
_WATT, _VA, _HP, _HZ, _RPM = Unit.WATT, Unit.VOLT_AMPERE, Unit.HORSEPOWER, Unit.HERTZ, Unit.RPM
_INWC, _CFM, _FOOT, _INCH, _C, _F = (
    Unit.IN_WC,
    Unit.CFM,
    Unit.FOOT,
    Unit.INCH,
    Unit.DEG_C,
    Unit.DEG_F,
)
_PERCENT, _SECOND, _COUNT = Unit.PERCENT, Unit.SECOND, Unit.COUNT

_UNIT_BY_LAST_WORD = {
    "uf": _UF,
    "volts": _VOLT,
    "amps": _AMP,
    "ohms": _OHM,
    "kft": _OHM,
    "megohms": _MEGOHM,
    "watts": _WATT,
    "va": _VA,
    "hp": _HP,
    "hz": _HZ,
    "rpm": _RPM,
    "inwc": _INWC,
    "cfm": _CFM,
    "ft": _FOOT,
    "in": _INCH,
    "c": _C,
    "f": _F,
    "percent": _PERCENT,
    "seconds": _SECOND,
    "tons": Unit.TON,
    "poles": _COUNT,
    "factor": _COUNT,
    "ft3": _COUNT,
    "kbtuh": _COUNT,
    "fpm": _COUNT,
}


@dataclass(frozen=True, slots=True)
class Formula:
    """One formula as a flow sees it.

    Args:
        name: its name in flow files.
        function: takes the parameters by name as floats, gives a float.
        parameters: each parameter's unit; a given quantity is converted to it.
        result: the result's unit.
        summary: what it gives and in which unit, half a sentence for the eye.
        digits: significant digits the result is rounded to.
    """

    name: str
    function: Callable[..., float]
    parameters: Mapping[str, Unit]
    result: Unit
    summary: str
    digits: int = DIGITS


def _row(
    name: str,
    function: Callable[..., float],
    parameters: str,
    result: Unit,
    digits: int = DIGITS,
) -> Formula:
    """Make a formula: units by the parameters' last words, summary from the docstring."""
    units = {name: _UNIT_BY_LAST_WORD[name.rpartition("_")[2]] for name in parameters.split()}
    summary, _, _ = (function.__doc__ or "").partition("\n")
    return Formula(name, function, units, result, summary.removeprefix("Give ").rstrip("."), digits)


def _resistance_at_25c(ohms: float, temp_c: float) -> float:
    """Give what a copper winding reads at 25 C, in ohms."""
    return windings.resistance_at_temperature_ohms(ohms, temp_c, windings.REFERENCE_C)


def _two_in_parallel(first_uf: float, second_uf: float) -> float:
    """Give two capacitors side by side, in microfarads."""
    return capacitor.parallel_uf((first_uf, second_uf))


def _two_in_series(first_uf: float, second_uf: float) -> float:
    """Give two capacitors in a row, as HERM to FAN of a dual, in microfarads."""
    return capacitor.series_uf((first_uf, second_uf))


def _electric_heat_watts(volts: float, amps: float) -> float:
    """Give the heat of single-phase resistance elements, in watts."""
    return 1000 * heat.heater_kw(volts, amps)


def _heater_at_voltage_watts(rated_watts: float, rated_volts: float, volts: float) -> float:
    """Give what a heater makes at other volts, in watts."""
    return 1000 * heat.kw_at_voltage(rated_watts / 1000, rated_volts, volts)


def _electric_heat_cfm(
    volts: float, amps: float, supply_f: float, return_f: float, altitude_ft: float
) -> float:
    """Give the airflow from electric heat, in cfm."""
    factor = air.STANDARD_FACTOR * air.pressure_ratio(altitude_ft)
    kw = heat.heater_kw(volts, amps)
    return heat.electric_heat_cfm(kw, heat.rise_f(supply_f, return_f), factor)


def _gas_heat_cfm(
    seconds: float,
    btu_per_ft3: float,
    efficiency_percent: float,
    supply_f: float,
    return_f: float,
    altitude_ft: float,
) -> float:
    """Give the airflow from gas heat and the seconds of one cubic foot on the meter, in cfm."""
    factor = air.STANDARD_FACTOR * air.pressure_ratio(altitude_ft)
    input_btuh = heat.gas_input_btuh(seconds, btu_per_ft3)
    rise = heat.rise_f(supply_f, return_f)
    return heat.gas_heat_cfm(input_btuh, efficiency_percent / 100, rise, factor)


def _furnace_cfm(
    input_kbtuh: float,
    efficiency_percent: float,
    supply_f: float,
    return_f: float,
    altitude_ft: float,
) -> float:
    """Give the airflow from a furnace's input in thousands of Btu an hour, in cfm."""
    factor = air.STANDARD_FACTOR * air.pressure_ratio(altitude_ft)
    rise = heat.rise_f(supply_f, return_f)
    return heat.gas_heat_cfm(1000 * input_kbtuh, efficiency_percent / 100, rise, factor)


def _duct_friction(cfm: float, diameter_in: float) -> float:
    """Give the friction of a hundred feet of round galvanized duct, in inches of water."""
    return duct.friction_inwc_per_100ft(cfm, diameter_in)


def _round_duct(cfm: float, friction_inwc: float) -> float:
    """Give the round galvanized duct of a friction a hundred feet, in inches."""
    return duct.round_diameter_in(cfm, friction_inwc)


def _density_share_percent(altitude_ft: float) -> float:
    """Give the air's density at an altitude, in percent of sea level's."""
    return 100 * air.pressure_ratio(altitude_ft)


_CAPACITOR = (
    _row("capacitor_low_limit", capacitor.band_min_uf, "rated_uf minus_percent", _UF),
    _row("capacitor_high_limit", capacitor.band_max_uf, "rated_uf plus_percent", _UF),
    _row("capacitor_deviation", capacitor.deviation_percent, "measured_uf rated_uf", _PERCENT),
    _row("capacitance_under_load", capacitor.under_load_uf, "amps volts hz", _UF),
    _row("capacitor_current", capacitor.current_amps, "microfarads_uf volts hz", _AMP),
    _row("capacitors_in_parallel", _two_in_parallel, "first_uf second_uf", _UF, DIGITS_OF_SUMS),
    _row("capacitors_in_series", _two_in_series, "first_uf second_uf", _UF),
    _row("peak_voltage", capacitor.peak_volts, "rms_volts", _VOLT),
    _row("capacitor_bleed_time", capacitor.bleed_seconds, "microfarads_uf bleed_ohms", _SECOND),
    _row(
        "capacitor_discharge_time",
        capacitor.discharge_seconds,
        "microfarads_uf bleed_ohms start_volts end_volts",
        _SECOND,
    ),
    _row(
        "bleed_resistance_limit",
        capacitor.max_bleed_ohms,
        "microfarads_uf start_volts end_volts seconds",
        _OHM,
    ),
)

_WINDINGS = (
    _row(
        "winding_resistance", windings.resistance_at_temperature_ohms, "ohms temp_c to_temp_c", _OHM
    ),
    _row("winding_resistance_at_25c", _resistance_at_25c, "ohms temp_c", _OHM),
    _row(
        "winding_temperature",
        windings.temperature_by_resistance_c,
        "cold_ohms cold_temp_c hot_ohms",
        _C,
    ),
    _row(
        "insulation_at_40c", windings.insulation_at_40c_halving_megohms, "megohms temp_c", _MEGOHM
    ),
    _row(
        "tap_difference",
        windings.tap_difference_ohms,
        "first_ohms second_ohms",
        _OHM,
        DIGITS_OF_SUMS,
    ),
    _row("joined_resistance", windings.joined_ohms, "first_ohms second_ohms", _OHM, DIGITS_OF_SUMS),
    _row(
        "sum_error",
        windings.sum_error_ohms,
        "whole_ohms first_ohms second_ohms",
        _OHM,
        DIGITS_OF_SUMS,
    ),
)

_THREE = "first_second_ohms first_third_ohms second_third_ohms"
_COMPRESSOR = (
    _row("compressor_common_terminal", compressor.common_terminal, _THREE, _COUNT),
    _row("compressor_start_terminal", compressor.start_terminal, _THREE, _COUNT),
    _row("compressor_run_terminal", compressor.run_terminal, _THREE, _COUNT),
    _row("compressor_common_start", compressor.common_start_ohms, _THREE, _OHM, DIGITS_OF_SUMS),
    _row("compressor_common_run", compressor.common_run_ohms, _THREE, _OHM, DIGITS_OF_SUMS),
    _row("compressor_start_run", compressor.start_run_ohms, _THREE, _OHM, DIGITS_OF_SUMS),
    _row("winding_shortfall", compressor.shortfall_ohms, "table_ohms measured_ohms", _OHM),
    _row(
        "winding_shortfall_share",
        compressor.shortfall_percent,
        "table_ohms measured_ohms",
        _PERCENT,
    ),
)

_SUPPLY = (
    _row("voltage_low_limit", supply.window_min_volts, "rated_volts tolerance_percent", _VOLT),
    _row("voltage_high_limit", supply.window_max_volts, "rated_volts tolerance_percent", _VOLT),
    _row("voltage_drop", supply.drop_percent, "no_load_volts loaded_volts", _PERCENT),
    _row("joint_resistance", supply.joint_ohms, "drop_volts amps", _OHM),
    _row("wire_loss", supply.wire_loss_watts, "amps ohms", _WATT),
    _row("synchronous_speed", supply.synchronous_rpm, "poles hz", _RPM),
    _row("poles", supply.poles_at_rpm, "rpm hz", _COUNT),
    _row("slip", supply.slip_percent, "poles hz rpm", _PERCENT),
    _row("torque_at_voltage", supply.torque_at_voltage_percent, "volts rated_volts", _PERCENT),
    _row("apparent_power", supply.apparent_power_va, "volts amps", _VA),
    _row("power_factor", supply.power_factor, "watts volts amps", _COUNT),
    _row("motor_amps", supply.motor_amps, "hp volts efficiency_percent power_factor", _AMP),
    _row("motor_load", supply.load_percent, "amps full_load_amps", _PERCENT),
    _row("transformer_amps", control.transformer_amps, "va volts", _AMP),
    _row("class_2_fuse", control.class2_fuse_amps, "max_volts", _AMP),
    _row("control_wire_drop", control.wire_drop_volts, "ohms_per_kft one_way_ft amps", _VOLT),
)

_AIR = (
    _row("air_density_share", _density_share_percent, "altitude_ft", _PERCENT),
    _row("temperature_rise", heat.rise_f, "supply_f return_f", _F, DIGITS_OF_SUMS),
    _row("electric_heat", _electric_heat_watts, "volts amps", _WATT),
    _row("heater_at_voltage", _heater_at_voltage_watts, "rated_watts rated_volts volts", _WATT),
    _row(
        "electric_heat_airflow",
        _electric_heat_cfm,
        "volts amps supply_f return_f altitude_ft",
        _CFM,
    ),
    _row(
        "gas_heat_airflow",
        _gas_heat_cfm,
        "seconds btu_per_ft3 efficiency_percent supply_f return_f altitude_ft",
        _CFM,
    ),
    _row(
        "furnace_airflow",
        _furnace_cfm,
        "input_kbtuh efficiency_percent supply_f return_f altitude_ft",
        _CFM,
    ),
    _row(
        "total_external_static",
        static_pressure.total_external_inwc,
        "supply_inwc return_inwc",
        _INWC,
        DIGITS_OF_SUMS,
    ),
    _row(
        "component_drop",
        static_pressure.component_drop_inwc,
        "upstream_inwc downstream_inwc",
        _INWC,
        DIGITS_OF_SUMS,
    ),
    _row("pressure_share", static_pressure.share_percent, "drop_inwc total_inwc", _PERCENT),
    _row("system_pressure", static_pressure.system_curve_inwc, "cfm static_inwc new_cfm", _INWC),
    _row(
        "system_airflow", static_pressure.system_curve_cfm, "cfm static_inwc new_static_inwc", _CFM
    ),
    _row("fan_airflow", fan.airflow_at_rpm_cfm, "cfm rpm new_rpm", _CFM),
    _row("fan_pressure", fan.pressure_at_rpm_inwc, "static_inwc rpm new_rpm", _INWC),
    _row("fan_power", fan.power_at_rpm_hp, "brake_hp rpm new_rpm", _HP),
    _row("fan_speed", fan.rpm_for_airflow, "cfm rpm new_cfm", _RPM),
    _row("equivalent_diameter", duct.equivalent_diameter_in, "width_in height_in", _INCH),
    _row("duct_friction", _duct_friction, "cfm diameter_in", _INWC),
    _row("round_duct", _round_duct, "cfm friction_inwc", _INCH),
    _row("face_airflow", duct.face_airflow_cfm, "width_in height_in face_fpm", _CFM),
    _row("airflow_per_ton", duct.airflow_per_ton_cfm, "cfm tons", _CFM),
    _row("nominal_airflow", duct.nominal_airflow_cfm, "tons per_ton_cfm", _CFM),
    _row("ladder_base", ladder.base_ft, "working_length_ft", _FOOT),
)

FORMULAS: dict[str, Formula] = {
    formula.name: formula for formula in (*_CAPACITOR, *_WINDINGS, *_COMPRESSOR, *_SUPPLY, *_AIR)
}
"""Every formula by its name in flow files."""
