"""A ducted unit on the bench in one state: air, heat and cooling over what a blower gives."""

from collections.abc import Callable, Mapping
from functools import cached_property

from assistant.bench.ducted_unit import DuctedUnit
from assistant.bench.machine import Running
from assistant.bench.stand import Stand
from assistant.flow.model import QuantityKind
from assistant.trade.air import STANDARD_FACTOR, pressure_ratio
from assistant.trade.heat import BTUH_PER_KW, heater_kw

ICE_DROPS = 4.0
"""What ice makes of a coil's drop (common practice, no source)."""
COOLS_F = 19.0
"""Drop across a sound coil at 400 cfm a ton (common practice, no source)."""
MOST_COOLS_F = 32.0


class DuctedAir(Stand):
    """A ducted unit in one state; what the motor and the control show is the blower's.

    Args:
        unit: the unit, with its faults.
        is_calling: whether the thermostat asks for the fan.
        is_powered: whether the disconnect is closed.
    """

    def __init__(
        self, unit: DuctedUnit, *, is_calling: bool = True, is_powered: bool = True
    ) -> None:
        super().__init__(with_ice(unit), is_calling=is_calling, is_powered=is_powered)
        self.ducted = unit

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places; heater amps and air temperatures are its own."""
        if quantity is QuantityKind.CURRENT and first == "heater_lead":
            return self.heater_amps
        if quantity is QuantityKind.TEMPERATURE and first in _AIR:
            return _AIR[first](self)
        return super().read(quantity, first, second)

    def has_place(self, place: str) -> bool:
        """Whether the unit has a place."""
        if place == "heater_lead":
            return self.ducted.heater.kind == "electric"
        return super().has_place(place)

    @cached_property
    def heating(self) -> Running:
        """Give what the blower does while it heats: gas on its heating speed, else as it cools."""
        if self.ducted.heater.kind != "gas":
            return self.running
        return Stand(
            self.unit, "heating", is_calling=self.is_calling, is_powered=self.is_powered
        ).running

    @property
    def heater_amps(self) -> float:
        """Give the amps of the elements, as resistance has it at the line's volts."""
        heater, unit = self.ducted.heater, self.ducted
        if heater.kind != "electric" or not self.heating.rpm:
            return 0.0
        return heater.amps * self.volts("line_1", "line_2") / unit.label.motor_volts

    @property
    def heat_btuh(self) -> float:
        """Give the heat that goes into the air, Btu an hour; a burner is derated for altitude."""
        heater = self.ducted.heater
        if heater.kind == "electric":
            kw = heater_kw(self.volts("line_1", "line_2"), self.heater_amps)
            return kw * BTUH_PER_KW
        return heater.input_kbtuh * 1000 * heater.efficiency_percent / 100

    def _carried_f(self, btuh: float, cfm: float) -> float:
        """Give the degrees that heat makes in moving air."""
        factor = STANDARD_FACTOR * pressure_ratio(self.ducted.altitude_ft)
        return btuh / (factor * cfm) if cfm else 0.0

    @property
    def supply_f(self) -> float:
        """Give the supply air while it heats, degrees F."""
        return self.ducted.room_f + self._carried_f(self.heat_btuh, self.heating.cfm)

    @property
    def off_coil_f(self) -> float:
        """Give the air off the coil while it cools, degrees F."""
        unit = self.ducted
        if not self.running.cfm:
            return unit.room_f
        flow = self.running.cfm * pressure_ratio(unit.altitude_ft)
        drop = COOLS_F * unit.cooling.charge * unit.nominal_cfm / flow
        return unit.room_f - min(drop, MOST_COOLS_F)


_AIR: Mapping[str, Callable[[DuctedAir], float]] = {
    "return_air": lambda stand: stand.ducted.room_f,
    "supply_air": lambda stand: stand.supply_f,
    "coil_air_in": lambda stand: stand.ducted.room_f,
    "coil_air_out": lambda stand: stand.off_coil_f,
}
"""Air temperatures by place, degrees F."""


def with_ice(unit: DuctedUnit) -> DuctedUnit:
    """Give the unit with the drop that ice makes of its coil."""
    if not unit.cooling.is_iced:
        return unit
    duct = unit.duct.model_copy(update={"coil": unit.duct.coil * ICE_DROPS})
    return unit.model_copy(update={"duct": duct})
