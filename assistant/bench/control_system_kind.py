"""A 24 volt control system as a kind of unit on the bench."""

from collections.abc import Callable, Mapping

from assistant.bench.control_system import ControlSystem
from assistant.bench.control_system_stand import OBSERVERS, ControlStand
from assistant.bench.kind import Kind

_PLATE: Mapping[str, Callable[[ControlSystem], float]] = {
    "unit_volts": lambda unit: unit.plate.volts,
    "unit_volts_high": lambda unit: unit.plate.upper_volts or 0.0,
    "transformer_va": lambda unit: unit.plate.va,
    "new_va": lambda unit: unit.plate.va,
    "board_fuse_amps": lambda unit: unit.plate.fuse_amps,
    "new_fuse_amps": lambda unit: unit.plate.fuse_amps,
}


def _features(unit: ControlSystem) -> frozenset[str]:
    """Give what a unit has, for faults that need it."""
    heat = unit.heat.kind
    has = {
        "door": unit.door.is_fitted,
        "float_in_r": unit.float_switch.cuts == "r",
        "float_in_y": unit.float_switch.cuts == "y",
        "pressure_switch": unit.outdoor.has_pressure_switch,
        "batteries": unit.thermostat.has_batteries,
        "no_batteries": not unit.thermostat.has_batteries,
        "gas": heat == "gas",
        "electric_heat": heat == "electric",
        "heat": heat != "none",
        "low_line_tap": unit.transformer.tap < max(unit.transformer.taps),
    }
    return frozenset(name for name, is_there in has.items() if is_there)


CONTROL = Kind(
    name="control",
    record=ControlSystem,
    stand=ControlStand,
    observers=frozenset(OBSERVERS),
    calls=frozenset(
        {"relay_click", "contactor_look", "each_call", "heat_answers", "jumper_try", "missing_call"}
    ),
    uncalls=frozenset({"what_runs", "off_base"}),
    plate=_PLATE,
    features=_features,
    whole_parts=frozenset({"transformer"}),
)
