"""An outdoor unit on the bench in one state: what every meter shows on it, by place name."""

from functools import cached_property

from assistant.bench.control import DROPS_OUT_VOLTS, Relay
from assistant.bench.outdoor_capacitor import capacitor_ohms, capacitor_uf
from assistant.bench.outdoor_fan import (
    Poles,
    compressor_currents,
    does_compressor_run,
    fan_unit,
)
from assistant.bench.outdoor_unit import OutdoorUnit
from assistant.bench.stand import KNOWN_LIVE_VOLTS, TRIP_SHARE, Stand
from assistant.flow.model import QuantityKind
from assistant.trade.capacitor import under_load_factor
from assistant.trade.control import CHATTER_VOLTS

GROUNDS_OHMS = 20.0
"""A path from a live terminal to the case below this trips a breaker (common practice)."""
_CONTROL = frozenset({"outdoor_y", "outdoor_c", "contactor_coil_1", "contactor_coil_2"})
_SAFETY = frozenset({"safety_in", "safety_out"})
_COIL = frozenset({"contactor_coil_1", "contactor_coil_2"})
_HERM = frozenset({"dual_herm", "dual_common"})
_FAN_SIDE = {"dual_fan": "capacitor_1", "dual_common": "capacitor_2"}


class OutdoorStand:
    """An outdoor unit in one state; each answer is worked out once.

    Args:
        unit: the unit, with its faults.
        is_calling: whether the thermostat calls for cooling.
        is_powered: whether the disconnect is closed.
    """

    def __init__(
        self, unit: OutdoorUnit, *, is_calling: bool = True, is_powered: bool = True
    ) -> None:
        self.unit = unit
        self.is_calling, self.is_powered = is_calling, is_powered

    @cached_property
    def call_volts(self) -> float:
        """Give the volts between Y and C at the outdoor unit."""
        call, contactor = self.unit.call, self.unit.contactor
        if call.is_missing or not self.is_calling:
            return 0.0
        if call.is_safety_open or contactor.is_coil_open:
            return call.open_volts
        return (
            call.open_volts
            * contactor.coil_impedance
            / (contactor.coil_impedance + call.source_ohms)
        )

    @property
    def coil_volts(self) -> float:
        """Give the volts across the contactor's coil."""
        return 0.0 if self.unit.call.is_safety_open else self.call_volts

    @property
    def contactor(self) -> Relay:
        """Give what the contactor does."""
        if self.unit.contactor.is_coil_open or self.coil_volts < DROPS_OUT_VOLTS:
            return Relay.RESTS
        return Relay.CHATTERS if self.coil_volts < CHATTER_VOLTS else Relay.PULLED_IN

    @cached_property
    def poles(self) -> Poles:
        """Give which poles carry; a contactor that chatters counts as closed."""
        part, is_in = self.unit.contactor, self.contactor is not Relay.RESTS
        first = part.pole_1 == "welded" or (part.pole_1 == "works" and is_in)
        second = part.pole_2 == "welded" or (part.pole_2 == "works" and is_in)
        return Poles(first, second or part.poles == 1)

    def _fan_with(self, *, is_powered: bool) -> Stand:
        inner = fan_unit(self.unit, self.poles)
        return Stand(inner, is_calling=self.poles.first, is_powered=is_powered)

    @cached_property
    def does_breaker_trip(self) -> bool:
        """Tell whether fan and compressor together, or a path to ground, trip the breaker."""
        if not self.is_powered or not self.unit.supply.is_live:
            return False
        part = self.unit.capacitor
        if self.poles.first and part.case_ohms is not None and part.case_ohms < GROUNDS_OHMS:
            return True
        amps = self._fan_with(is_powered=True).running.amps
        if does_compressor_run(self.unit):
            amps += self._compressor_currents[0]
        return amps > TRIP_SHARE * self.unit.supply.breaker_amps

    @cached_property
    def fan(self) -> Stand:
        """Give the fan as a blower's stand."""
        return self._fan_with(is_powered=self.is_live)

    @property
    def is_live(self) -> bool:
        """Whether there is power at the line side of the contactor."""
        return self.is_powered and self.unit.supply.is_live and not self.does_breaker_trip

    @cached_property
    def _compressor_currents(self) -> tuple[float, float]:
        supply = self.unit.supply
        return compressor_currents(self.unit, 0.0 if supply.has_leg_open else supply.volts)

    @property
    def has_compressor_volts(self) -> bool:
        """Whether the compressor is fed."""
        return self.is_live and self.poles.both and not self.unit.supply.has_leg_open

    @property
    def does_compressor_run(self) -> bool:
        """Whether the compressor turns."""
        return self.has_compressor_volts and does_compressor_run(self.unit)

    @property
    def compressor_amps(self) -> tuple[float, float]:
        """Give the compressor's line amps and those of its start winding."""
        return self._compressor_currents if self.has_compressor_volts else (0.0, 0.0)

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places, in the base unit of the meters; None: over limit."""
        match quantity:
            case QuantityKind.RESISTANCE:
                return self.ohms(first, second)
            case QuantityKind.CAPACITANCE:
                return capacitor_uf(self.unit.capacitor, first, second)
            case QuantityKind.VOLTAGE:
                return self.volts(first, second)
            case QuantityKind.CURRENT:
                return self.amps(first)
            case QuantityKind.STORED_VOLTAGE:
                return 0.0
            case _:
                return self.fan.read(quantity, first, second)

    def has_place(self, place: str) -> bool:
        """Whether the unit has a place: a dual has C, fan and herm, and its motor three leads."""
        if place in {"dual_fan", "dual_herm", "dual_common"}:
            return self.unit.capacitor.is_dual
        if place == "cap_return":
            return not self.unit.capacitor.is_dual
        return self.fan.has_place(place)

    def ohms(self, first: str, second: str) -> float | None:
        """Give the resistance between two places, power off and leads apart; None: no path."""
        if frozenset({first, second}) == _COIL:
            contactor = self.unit.contactor
            return None if contactor.is_coil_open else contactor.coil_ohms
        if "cap_case" in (first, second):
            return 0.0 if first == second else self.unit.capacitor.case_ohms
        found, is_known = capacitor_ohms(self.unit.capacitor, first, second)
        return found if is_known else self.fan.ohms(first, second)

    def volts(self, first: str, second: str) -> float:
        """Give the ac volts between two places, as the state has it; a floating place shows 0."""
        pair = frozenset({first, second})
        if "known_live" in pair:
            return KNOWN_LIVE_VOLTS
        if pair == _SAFETY:
            return self.call_volts if self.unit.call.is_safety_open else 0.0
        if pair & _CONTROL:
            return self.coil_volts if pair & _COIL else self.call_volts
        if pair == _HERM:
            return self._herm_volts()
        phasors = [self._potential(place) for place in (first, second)]
        if phasors[0] is None or phasors[1] is None:
            return 0.0
        return abs(phasors[0] - phasors[1])

    def _herm_volts(self) -> float:
        """Give the volts across the compressor's capacitor, running."""
        part, supply = self.unit.capacitor, self.unit.supply
        amps = self.compressor_amps[1]
        if part.herm_short_ohms is not None:
            return amps * part.herm_short_ohms
        uf = part.herm_wired_uf
        return amps * under_load_factor(supply.hz) / uf if amps and uf else 0.0

    def _potential(self, place: str) -> complex | None:
        """Give a place's volts to ground; None where nothing feeds it."""
        if place in {"ground", "frame"}:
            return 0j
        if place == "line_1":
            return self._node(place)
        if place == "line_2":
            return self._node(place) if self.poles.second else self._second_leg()
        is_fed = self.poles.first or self.poles.second
        return self._node(place) if is_fed else None

    def _second_leg(self) -> complex | None:
        """Give the second leg's volts where the contactor parts it from the motors."""
        supply = self.unit.supply
        if not self.is_live or supply.has_leg_open:
            return None
        return complex(0.0 if supply.legs == "neutral" else -supply.volts / 2)

    def _node(self, place: str) -> complex:
        leads = self.unit.motor.leads
        aliases = {
            "load_1": "relay_contact_out",
            "load_2": "line_2",
            "dual_fan": "capacitor_1",
            "dual_common": "capacitor_2",
            "motor_supply_1": leads[self.unit.live_tap],
            "motor_supply_2": leads["common"],
        }
        return self.fan.running.volts.get(aliases.get(place) or leads.get(place, place), 0j)

    def amps(self, place: str) -> float:
        """Give the current in a lead: of the compressor, of a capacitor section, of the fan."""
        if place == "comp_common_wire":
            return self.compressor_amps[0]
        if place in {"herm_lead", "dual_herm"}:
            return self.compressor_amps[1]
        return self.fan.amps({"dual_fan": "cap_lead"}.get(place, place))
