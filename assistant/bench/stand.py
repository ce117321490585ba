"""A unit on the bench in one state of power: everything that can be read on it, by place name."""

from collections.abc import Callable, Mapping
from functools import cached_property

from assistant.bench import thermal
from assistant.bench.air import static_pressures
from assistant.bench.control import Controls, control_state
from assistant.bench.machine import Machine, Running
from assistant.bench.motor import FRAME
from assistant.bench.network import ResistiveNetwork, Resistor
from assistant.bench.unit import Mode, Unit
from assistant.bench.windings import present_branches
from assistant.flow.model import QuantityKind
from assistant.trade.capacitor import series_uf

KNOWN_LIVE_VOLTS = 120.0
"""What the source that a tester is proven on gives; it is not this unit's."""
TRIP_SHARE = 1.3
"""Line current over breaker rating that trips it at once (common practice, no source)."""
_CAPACITOR = frozenset({"capacitor_1", "capacitor_2"})
_DUAL_FAN = frozenset({"dual_common", "dual_fan"})
_DUAL_HERM = frozenset({"dual_common", "dual_herm"})
_DUAL_BOTH = frozenset({"dual_fan", "dual_herm"})
_SECONDARY_OHMS = 0.8
_SECONDARY = frozenset({"transformer_secondary_1", "transformer_secondary_2"})
_ALL = "motor_leads"
_COIL = frozenset({"relay_coil_1", "relay_coil_2"})
_LEADS = frozenset(
    {
        "common",
        "tap_high",
        "tap_medium_high",
        "tap_medium",
        "tap_medium_low",
        "tap_low",
        "cap_lead",
        "cap_return",
    }
)


class Stand:
    """A unit in one state; each answer is worked out once.

    Args:
        unit: the unit, with its faults.
        mode: what the thermostat is set to.
        is_calling: whether it asks for the fan.
        is_powered: whether the disconnect is closed.
    """

    def __init__(
        self,
        unit: Unit,
        mode: Mode = "cooling",
        *,
        is_calling: bool = True,
        is_powered: bool = True,
    ) -> None:
        self.unit = unit
        self.mode = mode
        self.is_calling = is_calling
        self.is_powered = is_powered

    @cached_property
    def _closed(self) -> tuple[Controls, Machine]:
        """Give controls and machine at the moment the power is put on."""
        unit = self.unit if self.is_powered else without_line(self.unit)
        return self._stood(unit)

    def _stood(self, unit: Unit) -> tuple[Controls, Machine]:
        controls = control_state(unit, self.mode, is_calling=self.is_calling)
        taps = unit.wiring.modes.get(self.mode, ())
        return controls, Machine(unit, taps, controls.is_contact_closed)

    @cached_property
    def does_breaker_trip(self) -> bool:
        """Tell whether the line current trips the breaker at once."""
        amps = self._closed[1].running.amps
        return amps > TRIP_SHARE * self.unit.supply.breaker_amps

    @cached_property
    def _settled(self) -> tuple[Controls, Machine]:
        return self._stood(without_line(self.unit)) if self.does_breaker_trip else self._closed

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places; None where there is no path: over limit."""
        return READ[quantity](self, first, second)

    def has_place(self, place: str) -> bool:
        """Whether the motor has this lead; any other place is there."""
        return place not in _LEADS or place in self.unit.motor.leads

    @property
    def controls(self) -> Controls:
        """Give the 24 V circuit."""
        return self._settled[0]

    @property
    def running(self) -> Running:
        """Give what the motor does."""
        return self._settled[1].running

    @property
    def pushed(self) -> Running:
        """Give what the motor does when it is spun by hand with power on."""
        return self._settled[1].pushed

    @cached_property
    def _network(self) -> ResistiveNetwork:
        branches = present_branches(self.unit)
        return ResistiveNetwork(Resistor(*b.between, b.ohms) for b in branches)

    def ohms(self, first: str, second: str) -> float | None:
        """Give the resistance between two places, power off and leads apart.

        Returns:
            Ohms, or None where there is no path: over limit.
        """
        if _ALL in (first, second):
            return self._least_ohms(second if first == _ALL else first)
        pair, control, part = frozenset({first, second}), self.unit.control, self.unit.capacitor
        if pair == _COIL:
            return None if control.is_coil_open else control.coil_ohms
        if pair == _SECONDARY:
            return None if control.is_transformer_dead else _SECONDARY_OHMS
        if pair in (_CAPACITOR, _DUAL_FAN):
            return part.short_ohms
        return self._network.ohms(self._node(first), self._node(second))

    def _least_ohms(self, place: str) -> float | None:
        """Give the lowest reading of every motor lead to a place."""
        seen = [self.ohms(lead, place) for lead in self.unit.motor.leads]
        return min((ohms for ohms in seen if ohms is not None), default=None)

    def megohms(self) -> float:
        """Give what an insulation tester shows from the joined motor leads to the frame."""
        ohms = self.ohms(_ALL, "frame")
        held = self.unit.motor.insulation_megohms
        return held if ohms is None else min(held, ohms / 1e6)

    def _node(self, place: str) -> str:
        return FRAME if place in {"frame", "ground"} else self.unit.motor.leads.get(place, place)

    def microfarads(self, first: str, second: str) -> float | None:
        """Give the capacitance between two terminals, power off, wires off; None: over limit.

        A shorted part gives no reading. Measured at the motor's end of its wires, a part whose
        wire is off reads nothing.
        """
        part, pair = self.unit.capacitor, frozenset({first, second})
        herm = part.herm_uf or 0.0
        if pair == _DUAL_HERM:
            return herm
        if part.short_ohms is not None:
            return None
        if pair == _DUAL_BOTH:
            return series_uf((part.uf, herm)) if part.uf and herm else 0.0
        if pair in (_CAPACITOR, _DUAL_FAN):
            return part.uf
        is_through_leads = pair == frozenset({"cap_lead", "cap_return"})
        return part.uf if is_through_leads and not part.has_lead_off else 0.0

    def volts(self, first: str, second: str) -> float:
        """Give the ac volts between two places, as the state has it.

        Places of the 24 V circuit are read against each other, the rest against the rest.
        """
        if "known_live" in (first, second):
            return KNOWN_LIVE_VOLTS
        if first in self.controls.volts or second in self.controls.volts:
            return self.controls.volts_between(first, second)
        return self.running.volts_between(self._live_node(first), self._live_node(second))

    def _live_node(self, place: str) -> str:
        leads = self.unit.motor.leads
        aliases = {"frame": "ground", "motor_supply_2": leads["common"]}
        taps = self.unit.wiring.modes.get(self.mode, ())
        if place == "motor_supply_1" and taps:
            return leads.get(taps[0], place)
        return aliases.get(place) or leads.get(place, place)

    def amps(self, place: str) -> float:
        """Give the current in a lead: a tap, the common, a capacitor lead; elsewhere the line."""
        currents = self.running.currents
        element = {
            "common": "wire_common",
            "cap_lead": "wire_cap_lead",
            "cap_return": "wire_cap_return",
            "capacitor_1": "capacitor",
            "capacitor_2": "capacitor",
        }.get(place, f"wire_{place}" if place.startswith("tap_") else "joint")
        return currents.get(element, 0.0)

    def static(self, first: str, second: str = "room") -> float:
        """Give static pressure at a port against another, inches of water."""
        ports = static_pressures(self.unit, self.running.cfm)
        return ports.get(first, 0.0) - ports.get(second, 0.0)

    @cached_property
    def warming(self) -> thermal.Warming:
        """Give how the windings warm in this state."""
        return thermal.warming(self.unit, self.running)

    @cached_property
    def shell_c(self) -> float:
        """Give the temperature of the shell after this state has lasted, or as found when hot, C.

        An overload that opens keeps the windings from going beyond its opening point.
        """
        held = self.unit.motor.overload.opens_c
        warmest = max(self.unit.winding_c, min(self.warming.steady_c, held))
        return thermal.shell_c(self.unit, warmest)

    def temperature_f(self, place: str) -> float:
        """Give the temperature of a place, degrees F."""
        celsius = self.shell_c if place == "motor_shell" else self.unit.surroundings_c
        return celsius * 9 / 5 + 32


READ: Mapping[QuantityKind, Callable[[Stand, str, str], float | None]] = {
    QuantityKind.RESISTANCE: Stand.ohms,
    QuantityKind.CAPACITANCE: Stand.microfarads,
    QuantityKind.VOLTAGE: Stand.volts,
    QuantityKind.STORED_VOLTAGE: lambda _stand, _first, _second: 0.0,
    QuantityKind.CURRENT: lambda stand, first, _second: stand.amps(first),
    QuantityKind.POWER: lambda stand, _first, _second: stand.running.watts,
    QuantityKind.SPEED: lambda stand, _first, _second: stand.running.rpm,
    QuantityKind.STATIC_PRESSURE: Stand.static,
    QuantityKind.TEMPERATURE: lambda stand, first, _second: stand.temperature_f(first),
    QuantityKind.INSULATION: lambda stand, _first, _second: stand.megohms(),
}
"""One row a quantity, in the base unit of its meters: ohms, microfarads, volts, amps, watts, rpm,
inches of water, degrees F, megohms."""


def without_line(unit: Unit) -> Unit:
    """Give the unit with the disconnect or the breaker open."""
    supply = unit.supply.model_copy(update={"is_live": False})
    return unit.model_copy(update={"supply": supply})
