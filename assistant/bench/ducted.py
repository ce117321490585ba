"""A blower with its whole air side as a kind of unit on the bench.

It is a kind of its own, not a larger blower: the faults of a blower are all found by one flow, and
what its air side lacks here (altitude, grille, trunk, heat, ice) would change none of them.
"""

from collections.abc import Callable
from dataclasses import replace

from assistant.bench.blower import BLOWER
from assistant.bench.ducted_looks import OBSERVERS, DuctedStand
from assistant.bench.ducted_unit import DuctedUnit, thawed
from assistant.bench.nameplates import NAMEPLATE

PLATE: dict[str, Callable[[DuctedUnit], float | None]] = {
    **NAMEPLATE,
    "tons": lambda unit: unit.cooling.tons,
    "grille_tons": lambda unit: unit.cooling.tons,
    "trunk_tons": lambda unit: unit.cooling.tons,
    "altitude": lambda unit: unit.altitude_ft,
    "furnace_input": lambda unit: unit.heater.input_kbtuh or None,
    "furnace_efficiency": lambda unit: unit.heater.efficiency_percent,
    "rise_least": lambda unit: unit.heater.rise_min_f or None,
    "rise_most": lambda unit: unit.heater.rise_max_f or None,
    "trunk_width": lambda unit: unit.trunk.width_in,
    "trunk_height": lambda unit: unit.trunk.height_in,
    "grille_width": lambda unit: unit.return_grille.width_in,
    "grille_height": lambda unit: unit.return_grille.height_in,
}
"""What is printed, or measured with a rule, by the name that flows give the value."""


def _features(unit: DuctedUnit) -> frozenset[str]:
    return BLOWER.features(unit) | {f"{unit.heater.kind}_heat"}


DUCTED = replace(
    BLOWER,
    name="ducted",
    record=DuctedUnit,
    stand=DuctedStand,
    observers=frozenset(OBSERVERS),
    plate=PLATE,
    features=_features,
    alters={"thaw": thawed},
)
