"""An outdoor unit with condenser fan, capacitors and contactor as a kind of unit on the bench."""

from collections.abc import Callable

from assistant.bench.kind import Kind
from assistant.bench.outdoor_fan import Poles, fan_unit
from assistant.bench.outdoor_looks import OBSERVERS, OutdoorLooks
from assistant.bench.outdoor_unit import OutdoorUnit
from assistant.bench.thermal import after_waiting

STILL_WARM_K = 15.0
"""Above its surroundings by this much, a fan motor was not off for an hour (common practice)."""
PLATE: dict[str, Callable[[OutdoorUnit], float]] = {
    "unit_volts": lambda unit: unit.label.volts,
    "unit_volts_high": lambda unit: unit.label.upper_volts or unit.label.volts,
    "motor_volts": lambda unit: unit.motor.plate.volts,
    "full_load_amps": lambda unit: unit.motor.plate.amps,
    "plate_rpm": lambda unit: unit.motor.plate.rpm,
    "speed_leads": lambda unit: len(unit.motor.taps),
    "line_hertz": lambda unit: unit.supply.hz,
    "label_cap_uf": lambda unit: unit.label.fan_uf,
    "label_herm_uf": lambda unit: unit.label.herm_uf,
    "label_cap_volts": lambda unit: unit.label.capacitor_volts,
    "cap_uf": lambda unit: unit.capacitor.marked_uf,
    "herm_uf": lambda unit: unit.capacitor.herm_marked_uf,
    "cap_volts": lambda unit: unit.capacitor.marked_volts,
    "cap_tol": lambda unit: unit.capacitor.tolerance_percent,
    "new_cap_uf": lambda unit: unit.capacitor.marked_uf,
    "new_herm_uf": lambda unit: unit.capacitor.herm_marked_uf,
    "new_cap_volts": lambda unit: unit.capacitor.marked_volts,
    "compressor_rla": lambda unit: unit.compressor.run_amps,
}
"""What is printed on unit, motor and capacitor, by the name that flows give the value."""


def _features(unit: OutdoorUnit) -> frozenset[str]:
    has = {
        "dual": unit.capacitor.is_dual,
        "singles": not unit.capacitor.is_dual,
        "two_speed": len(unit.motor.taps) > 1,
        "two_poles": unit.contactor.poles == 2,  # noqa: PLR2004 - the number of poles itself
        "one_pole": unit.contactor.poles == 1,
        "two_legs": unit.supply.legs == "two",
    }
    return frozenset(name for name, is_so in has.items() if is_so)


def _is_hot(unit: OutdoorUnit) -> bool:
    return unit.motor.heat.winding_c is not None


def _cooled(unit: OutdoorUnit, minutes: float) -> OutdoorUnit:
    if not _is_hot(unit) or minutes <= 0:
        return unit
    rested = after_waiting(fan_unit(unit, Poles(first=False, second=False)), minutes)
    return unit.model_copy(update={"motor": rested.motor})


def _is_warm(unit: OutdoorUnit) -> bool:
    held = unit.motor.heat.winding_c
    return held is not None and held > unit.surroundings_c + STILL_WARM_K


def _has_recovered(faulted: OutdoorUnit, now: OutdoorUnit) -> bool:
    """An overload that has cooled needs no repair."""
    return faulted.motor.overload.state == "tripped" and now.motor.overload.state == "closed"


OUTDOOR = Kind(
    name="outdoor",
    record=OutdoorUnit,
    stand=OutdoorLooks,
    observers=frozenset(OBSERVERS),
    calls=frozenset({"run_state", "contactor_look", "run_watch", "rotation", "compressor"}),
    uncalls=frozenset({"outdoor_stops"}),
    plate=PLATE,
    features=_features,
    whole_parts=frozenset({"motor", "capacitor", "contactor"}),
    is_hot=_is_hot,
    cooled=_cooled,
    is_warm=_is_warm,
    has_recovered=_has_recovered,
)
