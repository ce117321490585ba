"""A control system in one state of power and call: what meter, eyes and ears find on it."""

from collections.abc import Callable, Iterator
from functools import cached_property

from assistant.bench.control_system import ControlSystem
from assistant.bench.control_system_circuit import (
    CALLS,
    Low,
    Mode,
    Pull,
    is_fuse_blown,
    line_potentials,
    low_side,
    pull,
)
from assistant.bench.control_system_ohms import ohms_between
from assistant.bench.errors import BenchError
from assistant.bench.looking import first_of, look
from assistant.bench.stand import KNOWN_LIVE_VOLTS
from assistant.flow.model import QuantityKind

WAKES_VOLTS = 18.0
"""Below this a thermostat that lives on R and C is blank (common practice, no source)."""
HEATS_VOLTS = 18.0
"""Below this a gas valve or heat relay does not pull (common practice, no source)."""
_HEATING_PLACES = frozenset({"control_w", "thermostat_w", "limit_in", "limit_out"})
"""What is read with heat called; all else with cooling called."""
_AT_C = frozenset({"control_c", "transformer_secondary_2", "relay_coil_2"})
_ALIASES = {"contactor_coil_2": "outdoor_c"}
_CALL = "thermostat_call"
_NOT_ALWAYS: dict[str, Callable[[ControlSystem], bool]] = {
    "door_in": lambda unit: unit.door.is_fitted,
    "door_out": lambda unit: unit.door.is_fitted,
    "float_in": lambda unit: unit.float_switch.cuts != "none",
    "float_out": lambda unit: unit.float_switch.cuts != "none",
    "pressure_in": lambda unit: unit.outdoor.has_pressure_switch,
    "pressure_out": lambda unit: unit.outdoor.has_pressure_switch,
    "limit_in": lambda unit: unit.heat.kind != "none",
    "limit_out": lambda unit: unit.heat.kind != "none",
    "heat_lead": lambda unit: unit.heat.kind != "none",
    "safety_lead": lambda unit: unit.float_switch.cuts == "r",
}
"""Places that only some units have."""


class ControlStand:
    """A control system in one state; each circuit is worked out once.

    Args:
        unit: the unit, with its faults.
        is_calling: whether the thermostat asks.
        is_powered: whether the disconnect is closed.
    """

    def __init__(
        self, unit: ControlSystem, *, is_calling: bool = True, is_powered: bool = True
    ) -> None:
        dead = unit.line.model_copy(update={"is_live": False})
        self.unit = unit if is_powered else unit.model_copy(update={"line": dead})
        self.is_calling, self.is_powered = is_calling, is_powered

    @cached_property
    def cooling(self) -> Low:
        """Give the 24 volt side, set to cooling."""
        return low_side(self.unit, "cooling", is_calling=self.is_calling)

    @cached_property
    def heating(self) -> Low:
        """Give the 24 volt side, set to heating."""
        return low_side(self.unit, "heating", is_calling=self.is_calling)

    @property
    def fan(self) -> Pull:
        """Give what the fan relay does."""
        return Pull.RESTS if self.unit.fan_relay.coil.is_open else pull(self.fan_volts)

    @property
    def fan_volts(self) -> float:
        """Give the volts of the fan relay's coil."""
        return self.cooling.at("relay_coil_1")

    @property
    def contactor(self) -> Pull:
        """Give what the contactor does."""
        is_open = self.unit.contactor.coil.is_open
        return Pull.RESTS if is_open else pull(self.contactor_volts)

    @property
    def contactor_volts(self) -> float:
        """Give the volts of the contactor's coil."""
        return abs(self.cooling.at("contactor_coil_1") - self.cooling.at("outdoor_c"))

    @cached_property
    def _line(self) -> dict[str, float]:
        return line_potentials(
            self.unit,
            is_fan_on=self.fan is not Pull.RESTS,
            is_contactor_in=self.contactor is not Pull.RESTS,
        )

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places, in the base unit of the meters; None: over limit.

        Raises:
            BenchError: for a quantity that the bench does not have here.
        """
        if quantity is QuantityKind.VOLTAGE:
            return self.volts(first, second)
        if quantity is QuantityKind.RESISTANCE:
            return ohms_between(self.unit, first, second)
        if quantity is QuantityKind.CURRENT:
            return self.cooling.amps
        if quantity is QuantityKind.STORED_VOLTAGE:
            return 0.0
        raise BenchError(f"A control on the bench has no {quantity.value} to read.")

    def volts(self, first: str, second: str) -> float:
        """Give the ac volts between two places; a place of no circuit is at C."""
        if "known_live" in (first, second):
            return KNOWN_LIVE_VOLTS
        if first in self._line and second in self._line:
            return abs(self._line[first] - self._line[second])
        if _CALL in (first, second):
            return self._across_thermostat()
        low = self.heating if {first, second} & _HEATING_PLACES else self.cooling
        return abs(_at(low, first) - _at(low, second))

    def _across_thermostat(self) -> float:
        """Give the most volts from R to a call's terminal, each called in turn."""
        sides: dict[Mode, Low] = {"cooling": self.cooling, "heating": self.heating}
        return max(
            abs(sides[mode].at("thermostat_r") - sides[mode].at(f"thermostat_{call}"))
            for mode, calls in CALLS.items()
            for call in calls
            if mode == "cooling" or self.unit.heat.kind != "none"
        )

    def has_place(self, place: str) -> bool:
        """Whether the unit has a place: not each one has a door, float or pressure switch."""
        return place not in _NOT_ALWAYS or _NOT_ALWAYS[place](self.unit)

    def observe(self, observation: str) -> str:
        """Give the value of an observation; the unit's own `looks` come first.

        Raises:
            BenchError: for an observation the bench does not know.
        """
        return look(self, observation, OBSERVERS)

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say, the plainest first; empty when nothing is noticed."""
        asked = ControlStand(self.unit, is_calling=True, is_powered=self.is_powered)
        resting = ControlStand(self.unit, is_calling=False, is_powered=self.is_powered)
        return tuple(dict.fromkeys(_complaints(asked, resting)))

    @property
    def is_fan_running(self) -> bool:
        """Whether the fan has its volts."""
        return self._is_fed("relay_contact_out")

    @property
    def is_outdoor_running(self) -> bool:
        """Whether the outdoor unit has its volts."""
        return self._is_fed("contactor_out")

    def _is_fed(self, place: str) -> bool:
        across = abs(self._line[place] - self._line["line_2"])
        return across > _RUNS_SHARE * self.unit.line.nominal_volts

    @property
    def is_heating(self) -> bool:
        """Whether the heat answers its call."""
        heat = self.unit.heat
        is_fed = self.heating.at("limit_out") >= HEATS_VOLTS
        return heat.kind != "none" and not heat.is_dead and is_fed

    @property
    def is_blank(self) -> bool:
        """Whether the thermostat shows nothing."""
        part = self.unit.thermostat
        if part.has_batteries:
            return part.are_batteries_flat
        fed = abs(self.cooling.at("thermostat_r") - self.cooling.at("thermostat_c"))
        return fed < WAKES_VOLTS


_RUNS_SHARE = 0.85
"""What a motor behind a contact needs of its volts to run (common practice, no source)."""


def _at(low: Low, place: str) -> float:
    return 0.0 if place in _AT_C else low.at(_ALIASES.get(place, place))


def _complaints(asked: ControlStand, resting: ControlStand) -> Iterator[str]:
    answers = (asked.is_fan_running, asked.is_outdoor_running, asked.is_heating)
    has_heat = asked.unit.heat.kind != "none"
    if asked.is_blank:
        yield "blank"
    if not any(answers):
        yield "dead"
    if is_fuse_blown(asked.unit):
        yield "fuse_blows"
    if Pull.CHATTERS in (asked.fan, asked.contactor):
        yield "chatters"
    for is_there, complaint in zip(answers, ("no_fan", "no_cooling", "no_heat"), strict=True):
        if not is_there and (complaint != "no_heat" or has_heat):
            yield complaint
    if resting.is_fan_running or resting.is_outdoor_running:
        yield "never_stops"


def _complaint(stand: ControlStand) -> str:
    return next(iter(stand.complaints()), "")


def _thermostat_look(stand: ControlStand) -> str:
    if not stand.is_blank:
        return "stat_shows"
    return "blank_batteries" if stand.unit.thermostat.has_batteries else "blank_wired"


def _battery_try(stand: ControlStand) -> str:
    return "lights_up" if stand.unit.thermostat.are_batteries_flat else "stays_blank"


def _pan_and_door(stand: ControlStand) -> str:
    unit = stand.unit
    is_loose = unit.door.is_fitted and unit.door.is_open
    return first_of(
        (unit.float_switch.is_pan_full, "pan_full"), (is_loose, "door_loose"), healthy="both_good"
    )


def _breaker(stand: ControlStand) -> str:
    return "breaker_on" if stand.unit.line.is_live else "breaker_tripped"


def _control_fuse(stand: ControlStand) -> str:
    return "fuse_blown" if is_fuse_blown(stand.unit) else "fuse_good"


def _wire_look(stand: ControlStand) -> str:
    shorts = stand.unit.shorts
    return first_of(
        (shorts.safety_wire is not None, "unit_wire_rubbed"),
        (shorts.outdoor_cable is not None, "outdoor_damaged"),
        healthy="wires_good",
    )


def _clicks(state: Pull, pulls: str, rests: str) -> str:
    return {Pull.PULLED_IN: pulls, Pull.RESTS: rests, Pull.CHATTERS: "chatters"}[state]


def _what_runs(stand: ControlStand) -> str:
    return first_of(
        (stand.is_outdoor_running, "outdoor_runs"),
        (stand.is_fan_running, "fan_runs"),
        healthy="nothing_runs",
    )


def _off_base(stand: ControlStand) -> str:
    """What runs without being asked stops where the thermostat itself made the call."""
    return "it_stops" if stand.unit.thermostat.stuck else "it_runs_on"


def _jumper(stand: ControlStand) -> str:
    """A jumper at the thermostat's base shows whether the cable carries its calls."""
    is_broken = bool({"r", "g", "y", "w"} & set(stand.unit.cable.open))
    return "stays_off" if is_broken else "it_answers"


def _missing(stand: ControlStand) -> list[str]:
    """Give the calls that are not answered, of those that the unit has."""
    answers = {
        "fan_missing": stand.is_fan_running,
        "cooling_missing": stand.is_outdoor_running,
        "heat_missing": stand.is_heating or stand.unit.heat.kind == "none",
    }
    return [name for name, is_there in answers.items() if not is_there]


def _each_call(stand: ControlStand) -> str:
    missing = _missing(stand)
    has_none = not (stand.is_fan_running or stand.is_outdoor_running or stand.is_heating)
    return first_of(
        (is_fuse_blown(stand.unit), "fuse_opens"),
        (has_none, "none_answer"),
        (bool(missing), "one_missing"),
        healthy="all_answer",
    )


def _missing_call(stand: ControlStand) -> str:
    return next(iter(_missing(stand)), "fan_missing")


def _heat_kind(stand: ControlStand) -> str:
    return {"gas": "gas_heat", "electric": "electric_heat", "none": "no_heat_here"}[
        stand.unit.heat.kind
    ]


OBSERVERS: dict[str, Callable[[ControlStand], str]] = {
    "complaint": _complaint,
    "thermostat_look": _thermostat_look,
    "battery_try": _battery_try,
    "pan_and_door": _pan_and_door,
    "breaker": _breaker,
    "control_fuse": _control_fuse,
    "wire_look": _wire_look,
    "relay_click": lambda stand: _clicks(stand.fan, "clicks", "no_click"),
    "contactor_look": lambda stand: _clicks(stand.contactor, "pulls_in", "stays_out"),
    "what_runs": _what_runs,
    "off_base": _off_base,
    "jumper_try": _jumper,
    "each_call": _each_call,
    "missing_call": _missing_call,
    "heat_kind": _heat_kind,
    "heat_answers": lambda stand: "heat_on" if stand.is_heating else "heat_off",
    "voltage_tap": lambda stand: (
        "tap_volts_right" if stand.unit.is_tap_right else "tap_volts_wrong"
    ),
}
"""The observations of the vocabulary that tell of a control system."""
