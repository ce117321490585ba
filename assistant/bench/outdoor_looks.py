"""What eyes, ears and hands tell about an outdoor unit, from the same state as its readings."""

from collections.abc import Callable, Iterator

from assistant.bench import observations as blower
from assistant.bench.control import Relay
from assistant.bench.looking import first_of, look
from assistant.bench.machine import NO_CURRENT
from assistant.bench.observations import DRAGS_NM, SLOW_SHARE
from assistant.bench.outdoor_stand import OutdoorStand
from assistant.bench.stand import Stand
from assistant.bench.thermal import HOT_TO_HOLD_C

WEAK_SHARE = 0.85
"""Flow over design that feels weak above the fan (common practice, no source)."""
DIRTY_SHARE = 2.0
"""Drop over a clean coil's above which it is seen to be dirty (common practice, no source)."""
HEAD_PRESSURE_SHARE = 0.7
"""Flow over design below which the compressor cuts out on its pressure switch (common practice, no
source)."""
_CLEAN_DROP = 0.12
"""What a clean coil holds back at the design flow, inches of water (common practice, no source)."""
_PITTED_OHMS = 0.05
"""Ohms of a closed contact above which it is seen to be pitted (common practice, no source)."""


class OutdoorLooks(OutdoorStand):
    """An outdoor unit in one state, which answers eyes, ears and hands as well."""

    def observe(self, observation: str) -> str:
        """Give the value of an observation; the unit's own `looks` come first.

        Raises:
            BenchError: for an observation that tells nothing of an outdoor unit.
        """
        return look(self, observation, OBSERVERS)

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say, the plainest first; empty when nothing is noticed."""
        return tuple(dict.fromkeys(_complaints(self)))


def _complaints(stand: OutdoorLooks) -> Iterator[str]:
    state = run_state(stand)
    if state == "trips_breaker":
        yield "trips"
    if stand.poles.both and stand.unit.contactor.pole_1 == "welded":
        yield "never_stops"
    if state == "dead_still":
        yield "fan_dead" if stand.does_compressor_run else "dead"
    if state == "hums_only" or (stand.has_compressor_volts and not stand.does_compressor_run):
        yield "hums"
    if state == "hums_only" and stand.does_compressor_run:
        yield "fan_dead"
    if does_cut_out(stand) or stand.unit.motor.overload.state == "tripped":
        yield "cuts_out"
    yield from _complaints_while_running(stand, state)


def _complaints_while_running(stand: OutdoorLooks, state: str) -> Iterator[str]:
    if stand.contactor is Relay.CHATTERS:
        yield "noisy"
    if not stand.fan.running.rpm:
        return
    if state == "runs_slow":
        yield "slow"
    if _is_noisy(stand):
        yield "noisy"
    if flow(stand) < WEAK_SHARE:
        yield "weak_air"


def _is_noisy(stand: OutdoorLooks) -> bool:
    bearings, blade = stand.unit.motor.bearings, stand.unit.blade
    is_worn = bearings.has_play or bearings.extra > DRAGS_NM or blade.rubs > DRAGS_NM
    return is_worn or blade.is_unbalanced or blade.is_loose or stand.fan.running.is_backwards


def flow(stand: OutdoorLooks) -> float:
    """Give what the fan moves as a share of the design flow; a loose or backward blade is none."""
    running = stand.fan.running
    if stand.unit.blade.is_loose or running.is_backwards:
        return 0.0
    return running.cfm / stand.unit.blade.cfm


def does_cut_out(stand: OutdoorLooks) -> bool:
    """Tell whether the fan's overload, or the compressor for want of air, stops what runs."""
    if not stand.is_live or not stand.poles.both:
        return False
    is_hot = stand.fan.warming.seconds_to(stand.unit.motor.overload.opens_c) is not None
    is_starved = bool(stand.fan.running.rpm) and flow(stand) < HEAD_PRESSURE_SHARE
    return is_hot or is_starved


def run_state(stand: OutdoorLooks) -> str:
    """Tell what the fan does in this state."""
    running = stand.fan.running
    if stand.does_breaker_trip:
        return "trips_breaker"
    if not running.rpm:
        return "hums_only" if running.amps > NO_CURRENT else "dead_still"
    if not stand.is_calling:
        return "will_not_stop"
    is_slow = running.rpm < SLOW_SHARE * stand.unit.label.fan_rpm
    is_slow = is_slow and stand.unit.live_tap == "tap_high"
    return "runs_slow" if is_slow or stand.unit.blade.is_loose else "runs"


def _blade(stand: OutdoorLooks) -> str:
    blade = stand.unit.blade
    return first_of(
        (blade.is_loose, "blade_loose"),
        (blade.rubs > DRAGS_NM, "blade_rubs"),
        (blade.is_unbalanced, "blade_bent"),
        healthy="blade_good",
    )


def _coil_look(stand: OutdoorLooks) -> str:
    return "coil_dirty" if stand.unit.coil_drop > DIRTY_SHARE * _CLEAN_DROP else "coil_clean"


def _motor_look(stand: OutdoorLooks) -> str:
    plate, label = stand.unit.motor.plate, stand.unit.label
    is_burnt = any(branch.role == "fault" for branch in stand.unit.motor.branches)
    is_wrong = plate.hp != label.fan_hp or plate.volts != label.fan_volts
    return first_of((is_wrong, "wrong_motor"), (is_burnt, "burnt"), healthy="looks_good")


def _capacitor_look(stand: OutdoorLooks) -> str:
    part = stand.unit.capacitor
    return first_of(
        (part.has_burnt_terminal, "cap_burnt"),
        (part.has_lead_off or part.has_herm_lead_off, "cap_lead_off"),
        (part.fan_on == "herm", "dual_crossed"),
        (part.is_bulged, "bulged"),
        healthy="cap_sound",
    )


def _capacitor_type(stand: OutdoorLooks) -> str:
    return "dual" if stand.unit.capacitor.is_dual else "single"


def _capacitor_duty(stand: OutdoorLooks) -> str:
    return "start_duty" if stand.unit.capacitor.is_start_type else "run_duty"


def _contactor_poles(stand: OutdoorLooks) -> str:
    return "one_pole" if stand.unit.contactor.poles == 1 else "two_poles"


def _contactor_look(stand: OutdoorLooks) -> str:
    return first_of(
        (stand.contactor is Relay.CHATTERS, "chatters"),
        (stand.contactor is Relay.PULLED_IN, "pulls_in"),
        (stand.unit.contactor.pole_1 == "welded", "pulls_in"),
        healthy="stays_out",
    )


def _contacts_look(stand: OutdoorLooks) -> str:
    part = stand.unit.contactor
    is_bad = part.pole_1 != "works" or part.pole_2 != "works" or part.contact_ohms > _PITTED_OHMS
    return "contacts_burnt" if is_bad else "contacts_good"


def _breaker(stand: OutdoorLooks) -> str:
    is_off = stand.does_breaker_trip or not stand.unit.supply.is_live
    return "breaker_tripped" if is_off else "breaker_on"


def _compressor(stand: OutdoorLooks) -> str:
    if not stand.has_compressor_volts:
        return "compressor_dead"
    return "compressor_runs" if stand.does_compressor_run else "compressor_hums"


def _run_watch(stand: OutdoorLooks) -> str:
    if not does_cut_out(stand):
        return "keeps_going"
    return "quits_hot" if stand.fan.shell_c > HOT_TO_HOLD_C else "quits_cool"


def _outdoor_stops(stand: OutdoorLooks) -> str:
    resting = OutdoorStand(stand.unit, is_calling=False, is_powered=stand.is_powered)
    return "keeps_running" if resting.fan.running.rpm else "shuts_off"


def _complaint(stand: OutdoorLooks) -> str:
    return next(iter(stand.complaints()), "")


def _on_fan(observe: Callable[[Stand], str]) -> Callable[[OutdoorLooks], str]:
    """Give what a blower's observer tells of the fan."""
    return lambda stand: observe(stand.fan)


_OF_FAN = ("shaft", "shaft_play", "shell_heat", "rotation", "lead_flex")
"""What the fan shows as a blower does: it is the same motor with another load."""

OBSERVERS: dict[str, Callable[[OutdoorLooks], str]] = {
    **{name: _on_fan(blower.OBSERVERS[name]) for name in _OF_FAN},
    "complaint": _complaint,
    "run_state": run_state,
    "compressor": _compressor,
    "contactor_look": _contactor_look,
    "contactor_poles": _contactor_poles,
    "contacts_look": _contacts_look,
    "blade": _blade,
    "coil_look": _coil_look,
    "motor_look": _motor_look,
    "capacitor_look": _capacitor_look,
    "capacitor_type": _capacitor_type,
    "capacitor_duty": _capacitor_duty,
    "breaker": _breaker,
    "run_watch": _run_watch,
    "outdoor_stops": _outdoor_stops,
}
"""The observations that tell of an outdoor unit; the complaint is empty when nothing is noticed."""
