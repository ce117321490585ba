"""A compressor on the bench in one state of power: everything that can be read on it, by place."""

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property

from assistant.bench.compressor_running import CompressorRunning, open_volts, run_compressor
from assistant.bench.compressor_unit import NUMBERED, CompressorUnit
from assistant.bench.network import ResistiveNetwork, Resistor
from assistant.bench.stand import KNOWN_LIVE_VOLTS
from assistant.bench.windings import RATED_C
from assistant.flow.model import QuantityKind
from assistant.trade.control import CHATTER_VOLTS
from assistant.trade.windings import resistance_at_temperature_ohms

DROPS_OUT_VOLTS = 10.0
"""Below this a contactor lets go (common practice, no source)."""
SHELL_SHARE = 0.7
"""Rise of the shell for each kelvin of the winding (common practice, no source)."""
_OVERLOAD_OHMS = 0.02
_CONTACT_OHMS = 0.05
_SHELL = "comp_shell"
_ALL = "comp_terminals"
_LETTERS = ("comp_c", "comp_s", "comp_r")
_CAPACITOR = frozenset({"capacitor_1", "capacitor_2"})
_START_CAPACITOR = frozenset({"start_cap_1", "start_cap_2"})
_RELAY_CONTACT = frozenset({"start_relay_contact_1", "start_relay_contact_2"})
_RELAY_COIL = frozenset({"start_relay_coil_1", "start_relay_coil_2"})
_COIL = frozenset({"contactor_coil_1", "contactor_coil_2"})
_SAFETY = frozenset({"pressure_in", "pressure_out"})
_LINE = frozenset({"line_1", "line_2"})
_LOAD = frozenset({"load_1", "load_2"})
_CONTACT = frozenset({"contactor_in", "contactor_out"})


class CompressorStand:
    """A compressor in one state; each answer is worked out once.

    Args:
        unit: the unit, with its faults.
        is_calling: whether the thermostat asks for cooling.
        is_powered: whether the disconnect is closed.
    """

    def __init__(
        self, unit: CompressorUnit, *, is_calling: bool = True, is_powered: bool = True
    ) -> None:
        self.unit = unit
        self.is_calling = is_calling
        self.is_powered = is_powered

    @cached_property
    def _as_fed(self) -> CompressorUnit:
        if self.is_powered:
            return self.unit
        supply = self.unit.supply.model_copy(update={"is_live": False})
        return self.unit.model_copy(update={"supply": supply})

    @cached_property
    def coil_volts(self) -> float:
        """Give the volts at the contactor's coil."""
        call = self.unit.call
        is_closed = self.is_calling and not call.is_missing and not call.is_pressure_switch_open
        return call.volts if self.is_powered and is_closed else 0.0

    @property
    def does_chatter(self) -> bool:
        """Tell whether the contactor has too few volts to hold."""
        is_whole = not self.unit.contactor.is_coil_open
        return is_whole and DROPS_OUT_VOLTS <= self.coil_volts < CHATTER_VOLTS

    @property
    def is_pulled_in(self) -> bool:
        """Tell whether the contactor holds."""
        return not self.unit.contactor.is_coil_open and self.coil_volts >= CHATTER_VOLTS

    @cached_property
    def running(self) -> CompressorRunning:
        """Give what the compressor does."""
        return run_compressor(self._as_fed, is_called=self.is_pulled_in)

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places; None where there is no path: over limit."""
        return _READ[quantity](self, first, second)

    def has_place(self, place: str) -> bool:
        """Whether this unit has the place: letters on the terminals, start gear."""
        if place in _LETTERS:
            return self.unit.compressor.is_marked
        return not place.startswith("start_") or self.unit.start_gear is not None

    @cached_property
    def _network(self) -> ResistiveNetwork:
        return ResistiveNetwork(_resistors(self.unit))

    def ohms(self, first: str, second: str) -> float | None:
        """Give the resistance between two places, power off and wires pulled."""
        if _ALL in (first, second):
            return self._least_ohms(second if first == _ALL else first)
        pair, gear = frozenset({first, second}), self.unit.start_gear
        if pair == _COIL:
            return None if self.unit.contactor.is_coil_open else self.unit.contactor.coil_ohms
        if pair == _CAPACITOR:
            return self.unit.capacitor.short_ohms
        if gear is not None and pair == _RELAY_CONTACT:
            return None if gear.is_contact_open else gear.contact_ohms
        if gear is not None and pair == _RELAY_COIL:
            return None if gear.is_coil_open else gear.coil_ohms
        return self._network.ohms(self._node(first), self._node(second))

    def _least_ohms(self, place: str) -> float | None:
        seen = [self.ohms(letter, place) for letter in _LETTERS]
        return min((ohms for ohms in seen if ohms is not None), default=None)

    def _node(self, place: str) -> str:
        if place in NUMBERED:
            return self.unit.compressor.letters[NUMBERED.index(place)]
        return _SHELL if place in {"frame", "ground"} else place

    def microfarads(self, first: str, second: str) -> float | None:
        """Give the capacitance between two terminals, wires off; None: over limit."""
        pair, gear, part = frozenset({first, second}), self.unit.start_gear, self.unit.capacitor
        if pair == _CAPACITOR:
            return None if part.short_ohms is not None else part.uf
        return gear.uf if gear is not None and pair == _START_CAPACITOR else 0.0

    def volts(self, first: str, second: str) -> float:
        """Give the ac volts between two places."""
        pair = frozenset({first, second})
        if "known_live" in pair:
            return KNOWN_LIVE_VOLTS
        if "ground" in pair:
            return self._volts_to_ground(first if second == "ground" else second)
        shown = {
            _COIL: self.coil_volts,
            _SAFETY: self._volts_across_safety(),
            _LINE: self.running.line_volts,
            _LOAD: self.running.load_volts,
            _CONTACT: self.running.line_volts - self.running.load_volts,
        }
        return shown.get(pair, 0.0)

    def _volts_across_safety(self) -> float:
        call = self.unit.call
        is_asked = self.is_powered and self.is_calling and not call.is_missing
        return call.volts if is_asked and call.is_pressure_switch_open else 0.0

    def _volts_to_ground(self, place: str) -> float:
        line = 0.0 if self.running.does_trip_breaker else open_volts(self._as_fed)
        if self.unit.supply.legs == "two":
            return line / 2
        return line if place == "line_1" else 0.0

    def amps(self, place: str) -> float:
        """Give the current in the compressor's common wire, or in the line."""
        return self.running.amps if place in {"comp_common_wire", "line_lead"} else 0.0

    def temperature_f(self, place: str) -> float:
        """Give the temperature of the shell, or of the air around it, degrees F."""
        air = self.unit.surroundings_c
        rise = SHELL_SHARE * (self.unit.winding_c - air) if place == _SHELL else 0.0
        return (air + rise) * 9 / 5 + 32

    def megohms(self) -> float:
        """Give what an insulation tester shows from the joined terminals to the shell."""
        ohms, held = self.ohms(_ALL, _SHELL), self.unit.compressor.insulation_megohms
        return held if ohms is None else min(held, ohms / 1e6)


def _resistors(unit: CompressorUnit) -> Iterator[Resistor]:
    """Give the windings as they are now: warm, with what is open left out.

    Both windings begin behind the overload and are cut in their middles, where they may touch each
    other or the shell.
    """
    motor = unit.compressor
    warm = resistance_at_temperature_ohms(1.0, RATED_C, unit.winding_c)
    if motor.overload == "closed":
        yield Resistor("comp_c", "inside", _OVERLOAD_OHMS)
    for end, middle, ohms, is_open in (
        ("comp_r", "run_middle", motor.run_ohms * (1 - motor.run_short), motor.is_run_open),
        ("comp_s", "start_middle", motor.start_ohms * (1 - motor.start_short), motor.is_start_open),
    ):
        yield Resistor("inside", middle, ohms * warm / 2)
        if not is_open:
            yield Resistor(middle, end, ohms * warm / 2)
    if motor.touching_ohms is not None:
        yield Resistor("run_middle", "start_middle", motor.touching_ohms)
    if motor.shell_ohms is not None:
        yield Resistor("run_middle", _SHELL, motor.shell_ohms)


_READ: Mapping[QuantityKind, Callable[[CompressorStand, str, str], float | None]] = {
    QuantityKind.RESISTANCE: CompressorStand.ohms,
    QuantityKind.CAPACITANCE: CompressorStand.microfarads,
    QuantityKind.VOLTAGE: CompressorStand.volts,
    QuantityKind.STORED_VOLTAGE: lambda _stand, _first, _second: 0.0,
    QuantityKind.CURRENT: lambda stand, first, _second: stand.amps(first),
    QuantityKind.TEMPERATURE: lambda stand, first, _second: stand.temperature_f(first),
    QuantityKind.INSULATION: lambda stand, _first, _second: stand.megohms(),
}
"""One row a quantity, in the base unit of its meters: ohms, microfarads, volts, amps, degrees F,
megohms. Speed, watts and pressures are not read on a sealed compressor."""
