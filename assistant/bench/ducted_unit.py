"""A blower with its whole air side as data: grille, trunk, heater, cooling coil, altitude."""

from typing import Literal

from pydantic import Field

from assistant.bench.record import Above, AtLeastZero, Record
from assistant.bench.unit import Unit


class Heater(Record):
    """What heats the air.

    Args:
        kind: `electric` elements, a `gas` burner, or `none`.
        amps: of the elements.
        input_kbtuh: of the burner, thousands of Btu an hour.
        efficiency_percent: share of the input that reaches the air.
        rise_min_f: least rise on the plate.
        rise_max_f: most rise on the plate.
    """

    kind: Literal["electric", "gas", "none"]
    amps: AtLeastZero = 0.0
    input_kbtuh: AtLeastZero = 0.0
    efficiency_percent: float = Field(default=100.0, gt=0, le=100)
    rise_min_f: AtLeastZero = 0.0
    rise_max_f: AtLeastZero = 0.0


class Cooling(Record):
    """The evaporator coil with what cools it.

    Args:
        tons: nominal capacity.
        is_iced: ice stands on the coil.
        charge: refrigerant side as a share of what it should cool.
    """

    tons: Above
    is_iced: bool = False
    charge: Above = 1.0


class Opening(Record):
    """A rectangle that air passes.

    Args:
        width_in: inches.
        height_in: inches.
        is_covered: something stands before it.
    """

    width_in: Above
    height_in: Above
    is_covered: bool = False


class Sight(Record):
    """What an eye tells where pressures alone do not.

    Args:
        is_filter_dirty: the filter is loaded.
        is_coil_dirty: the coil is matted.
        are_dampers_shut: registers or dampers are closed.
        is_supply_crushed: a run is pinched.
    """

    is_filter_dirty: bool = False
    is_coil_dirty: bool = False
    are_dampers_shut: bool = False
    is_supply_crushed: bool = False


class DuctedUnit(Unit):
    """A blower unit with its ducts, heater and coil.

    Args:
        heater: what heats.
        cooling: what cools.
        trunk: the supply trunk's inside.
        return_grille: the grilles of the return together.
        sight: what an eye tells.
        room_f: air in the rooms.
    """

    kind: Literal["ducted"] = "ducted"
    heater: Heater
    cooling: Cooling
    trunk: Opening
    return_grille: Opening
    sight: Sight = Sight()
    room_f: Above = 75.0

    @property
    def nominal_cfm(self) -> float:
        """Give the airflow that the coil asks for, 400 cfm a ton (common practice, no source)."""
        return 400.0 * self.cooling.tons


def thawed(unit: DuctedUnit) -> DuctedUnit:
    """Give the unit with the ice gone from its coil."""
    cooling = unit.cooling.model_copy(update={"is_iced": False})
    return unit.model_copy(update={"cooling": cooling})
