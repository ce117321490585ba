"""A hermetic compressor as a kind of unit on the bench."""

import math
from collections.abc import Callable

from assistant.bench.compressor_looks import COMPRESSOR_OBSERVERS, complaints
from assistant.bench.compressor_stand import CompressorStand
from assistant.bench.compressor_unit import CompressorUnit
from assistant.bench.kind import Kind
from assistant.bench.looking import look

STILL_WARM_K = 10.0
"""Above its surroundings by this much, a compressor was not off for hours (common practice)."""

MANY_AMPS = 8.0
"""Rated load amps from which a bad contact or joint keeps it from starting (common practice)."""

MANY_OHMS = 2.5
"""Ohms of the run winding from which touching windings show in the sum of three readings."""


class CompressorOnBench(CompressorStand):
    """A compressor in one state, which answers eyes, ears and hands as well."""

    def observe(self, observation: str) -> str:
        """Give the value of an observation."""
        return look(self, observation, COMPRESSOR_OBSERVERS)

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say."""
        return complaints(self)


def _features(unit: CompressorUnit) -> frozenset[str]:
    compressor = unit.compressor
    had = {
        "start_gear": unit.start_gear is not None,
        "dual": unit.capacitor.fan_uf is not None,
        "letters": compressor.is_marked,
        "no_letters": not compressor.is_marked,
        "many_amps": compressor.plate.rated_load_amps >= MANY_AMPS,
        "many_ohms": compressor.run_ohms >= MANY_OHMS,
        "table": compressor.plate.table_run_ohms is not None,
    }
    return frozenset(name for name, is_so in had.items() if is_so)


def _is_hot(unit: CompressorUnit) -> bool:
    return unit.compressor.heat.winding_c is not None


def cooled(unit: CompressorUnit, minutes: float) -> CompressorUnit:
    """Give the unit after standing without power; a tripped overload closes once it is cold.

    Args:
        unit: the unit as it was found.
        minutes: without power, since then.
    """
    if not _is_hot(unit) or minutes <= 0:
        return unit
    heat, compressor = unit.compressor.heat, unit.compressor
    constant_s = heat.joules_per_k / heat.watts_per_k
    rise = (unit.winding_c - unit.surroundings_c) * math.exp(-minutes * 60 / constant_s)
    winding_c = unit.surroundings_c + rise
    is_closing = compressor.overload == "tripped" and winding_c <= compressor.closes_c
    changed = compressor.model_copy(
        update={
            "heat": heat.model_copy(update={"winding_c": winding_c}),
            "overload": "closed" if is_closing else compressor.overload,
        }
    )
    return unit.model_copy(update={"compressor": changed})


def _is_warm(unit: CompressorUnit) -> bool:
    return unit.winding_c > unit.surroundings_c + STILL_WARM_K


def _has_recovered(faulted: CompressorUnit, now: CompressorUnit) -> bool:
    """An overload that has cooled needs no repair."""
    return faulted.compressor.overload == "tripped" and now.compressor.overload == "closed"


PLATE: dict[str, Callable[[CompressorUnit], float | None]] = {
    "unit_volts": lambda unit: unit.compressor.plate.volts,
    "unit_volts_high": lambda unit: unit.compressor.plate.upper_volts,
    "rated_load_amps": lambda unit: unit.compressor.plate.rated_load_amps,
    "locked_rotor_amps": lambda unit: unit.compressor.plate.locked_rotor_amps,
    "label_cap_uf": lambda unit: unit.compressor.plate.capacitor_uf,
    "label_cap_volts": lambda unit: unit.compressor.plate.capacitor_volts,
    "table_run": lambda unit: unit.compressor.plate.table_run_ohms,
    "table_start": lambda unit: unit.compressor.plate.table_start_ohms,
    "cap_uf": lambda unit: unit.capacitor.marked_uf,
    "cap_volts": lambda unit: unit.capacitor.marked_volts,
    "cap_tol": lambda unit: unit.capacitor.tolerance_percent,
    "new_cap_uf": lambda unit: unit.capacitor.marked_uf,
    "new_cap_volts": lambda unit: unit.capacitor.marked_volts,
    "start_low": lambda unit: None if unit.start_gear is None else unit.start_gear.low_uf,
    "start_high": lambda unit: None if unit.start_gear is None else unit.start_gear.high_uf,
}
"""What is printed on the unit, in its maker's table and on its capacitors, by value name."""


COMPRESSOR = Kind(
    name="compressor",
    record=CompressorUnit,
    stand=CompressorOnBench,
    observers=frozenset(COMPRESSOR_OBSERVERS),
    calls=frozenset({"run_state", "contactor_look", "run_watch"}),
    uncalls=frozenset({"call_off"}),
    plate=PLATE,
    features=_features,
    whole_parts=frozenset({"compressor", "capacitor", "start_gear", "contactor"}),
    is_hot=_is_hot,
    cooled=cooled,
    is_warm=_is_warm,
    has_recovered=_has_recovered,
)
