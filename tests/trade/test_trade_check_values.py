"""Check values with their sources, each worked out by our own formula.

`check_values.csv` and `more_check_values.csv` give inputs, expected value, tolerance, source and
mark; a test's id shows id, quantity, mark and source.
"""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from assistant.trade import (
    air,
    capacitor,
    control,
    duct,
    fan,
    heat,
    ladder,
    static_pressure,
    supply,
    windings,
)

HERE = Path(__file__).parent
LEAST_OF_OUR_OWN = 40
COVERED_BY_THE_BENCH = {
    "lead_pair_ohm",
    "bench_line_amps",
    "bench_cap_volts",
    "bench_cap_amps",
    "textbook_single_phase_amps",
}
MARKS = {
    "common_practice",
    "government",
    "handbook",
    "identity",
    "library",
    "memory",
    "ngspice",
    "standard",
    "textbook",
}


def _compressor(readings: dict[str, float]) -> windings.CompressorTerminals:
    return windings.identify_compressor(readings["12"], readings["13"], readings["23"])


FORMULAS: dict[str, Callable[..., float]] = {
    "capacitance_under_load_uF": capacitor.under_load_uf,
    "capacitance_factor": capacitor.under_load_factor,
    "capacitor_current_A": capacitor.current_amps,
    "capacitor_band_min_uF": lambda rated, minus, _plus: capacitor.band_min_uf(rated, minus),
    "capacitor_band_max_uF": lambda rated, _minus, plus: capacitor.band_max_uf(rated, plus),
    "capacitor_deviation_pct": capacitor.deviation_percent,
    "capacitor_letter_tolerance_pct": capacitor.letter_tolerance_percent,
    "capacitor_parallel_uF": capacitor.parallel_uf,
    "capacitor_series_uF": capacitor.series_uf,
    "peak_volts": capacitor.peak_volts,
    "stored_energy_J": capacitor.stored_energy_joules,
    "bleed_time_s": capacitor.bleed_seconds,
    "discharge_time_s": capacitor.discharge_seconds,
    "max_bleed_ohms": capacitor.max_bleed_ohms,
    "winding_resistance_at_temp_ohm": windings.resistance_at_temperature_ohms,
    "winding_temp_by_resistance_c": windings.temperature_by_resistance_c,
    "winding_rise_by_resistance_K": lambda cold_ohms, cold_c, hot_ohms, k, ambient_c: (
        windings.rise_by_resistance_kelvin(cold_ohms, cold_c, hot_ohms, ambient_c, k)
    ),
    "insulation_resistance_40c_megohm_halving": windings.insulation_at_40c_halving_megohms,
    "insulation_resistance_40c_megohm_thermoset": windings.insulation_at_40c_thermoset_megohms,
    "compressor_common_start_ohm": lambda readings: _compressor(readings).common_start_ohms,
    "compressor_common_terminal": lambda readings: _compressor(readings).common,
    "compressor_start_terminal": lambda readings: _compressor(readings).start,
    "compressor_sum_error_ohm": lambda readings: _compressor(readings).sum_error_ohms,
    "shorted_turns_ohm": windings.shorted_turns_ohms,
    "voltage_window_min_V": supply.window_min_volts,
    "voltage_window_max_V": supply.window_max_volts,
    "dual_label_min_V": lambda lower, upper: supply.window_volts(lower, upper)[0],
    "dual_label_max_V": lambda lower, upper: supply.window_volts(lower, upper)[1],
    "ansi_c84_1_120V_limit": supply.c84_limit_volts,
    "ansi_c84_1_limit": supply.c84_limit_volts,
    "voltage_drop_pct": supply.drop_percent,
    "synchronous_speed_rpm": supply.synchronous_rpm,
    "poles_at_rpm": supply.poles_at_rpm,
    "slip_pct": supply.slip_percent,
    "shaft_torque_Nm": supply.shaft_torque_nm,
    "torque_at_voltage_pct": supply.torque_at_voltage_percent,
    "power_factor": supply.power_factor,
    "wire_loss_W": supply.wire_loss_watts,
    "transformer_full_load_amps": control.transformer_amps,
    "class2_max_fuse_amps": control.class2_fuse_amps,
    "control_wire_drop_V": lambda _awg, *given: control.wire_drop_volts(*given),
    "ghost_volts": control.ghost_volts,
    "dry_air_density_lb_ft3": air.dry_density,
    "pressure_ratio": air.pressure_ratio,
    "sensible_factor_btuh_per_cfm_F": lambda temp_f, altitude_ft, heat_of_air: air.sensible_factor(
        air.dry_density(temp_f, altitude_ft), heat_of_air
    ),
    "sensible_factor_moist_std": lambda rho, _dry, _vapor, w: air.moist_factor(w, rho),
    "sensible_btuh": heat.sensible_btuh,
    "cfm_electric_heat": heat.electric_heat_cfm,
    "kw_at_voltage": heat.kw_at_voltage,
    "cfm_gas_heat": heat.gas_heat_cfm,
    "gas_input_btuh": heat.gas_input_btuh,
    "gas_input_by_dial_btuh": heat.gas_input_btuh,
    "tesp_inwc": static_pressure.total_external_inwc,
    "component_drop_inwc": static_pressure.component_drop_inwc,
    "pressure_share_pct": static_pressure.share_percent,
    "system_curve_sp_inwc": static_pressure.system_curve_inwc,
    "fan_law_cfm": fan.airflow_at_rpm_cfm,
    "fan_law_sp_inwc": fan.pressure_at_rpm_inwc,
    "fan_law_bhp": fan.power_at_rpm_hp,
    "velocity_fpm": fan.velocity_fpm,
    "velocity_pressure_inwc": fan.velocity_pressure_inwc,
    "air_power_hp": fan.air_power_hp,
    "duct_friction_inwc_per_100ft": duct.friction_inwc_per_100ft,
    "equivalent_diameter_in": duct.equivalent_diameter_in,
    "face_velocity_fpm": duct.face_velocity_fpm,
    "filter_area_ft2": duct.face_area_ft2,
    "cfm_per_ton": duct.airflow_per_ton_cfm,
    "ladder_base_ft": ladder.base_ft,
}
"""Each takes a row's inputs in the row's order."""

Row = dict[str, str]


def _rows(file: str) -> list[Row]:
    with (HERE / file).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


GIVEN, OWN = _rows("check_values.csv"), _rows("more_check_values.csv")
ROWS = [*GIVEN, *OWN]


HERE_ROWS = [row for row in ROWS if row["quantity"] not in COVERED_BY_THE_BENCH]


def _label(row: Row) -> str:
    return f"{row['id']} {row['quantity']} [{row['source_kind']}] {row['source']}"


@pytest.mark.parametrize("row", HERE_ROWS, ids=_label)
def test_formula_gives_the_check_value(row: Row) -> None:
    """Our formula gives the expected value within the row's own tolerance."""
    result = FORMULAS[row["quantity"]](*json.loads(row["inputs_json"]).values())
    assert pytest.approx(float(row["expected"]), rel=float(row["rel_tol"]), abs=0) == result


def test_every_row_is_covered() -> None:
    """Each quantity is worked out here or named as the bench's; no name is left over."""
    quantities = {row["quantity"] for row in ROWS}
    assert quantities == set(FORMULAS) | COVERED_BY_THE_BENCH
    assert set() == set(FORMULAS) & COVERED_BY_THE_BENCH


def test_every_row_says_its_source_and_mark() -> None:
    """No check value stands without its source and a known mark, and no id is used twice."""
    assert all(row["source"].strip() for row in ROWS)
    assert set() == {row["source_kind"] for row in ROWS} - MARKS
    assert len(ROWS) == len({row["id"] for row in ROWS})


def test_there_are_enough_check_values() -> None:
    """The given rows are all here, and at least forty of our own beside them."""
    assert len(GIVEN) == 129
    assert len(OWN) >= LEAST_OF_OUR_OWN
