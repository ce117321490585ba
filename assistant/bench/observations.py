"""What eyes, ears and hands tell about a unit, from the same state as its readings.

One function an observation of the vocabulary; each gives the id of a value.
"""

from collections.abc import Callable, Iterator

from assistant.bench.control import Relay
from assistant.bench.looking import first_of, look
from assistant.bench.machine import NO_CURRENT
from assistant.bench.stand import Stand
from assistant.bench.thermal import HOT_TO_HOLD_C

DRAGS_NM = 0.1
"""Drag a hand feels (common practice, no source)."""
SLOW_SHARE = 0.93
"""Speed over the plate's below which it is called slow (common practice, no source)."""
WEAK_SHARE, STRONG_SHARE, LOW_TAP_SHARE = 0.95, 1.15, 0.8
"""Flow over design that feels weak, strong, weak on a lower tap (common practice, no source)."""
HOT_WINDING_C = 110.0
"""Windings above this smell hot (common practice, no source)."""
_DIRTY_FILTER, _DIRTY_COIL, _SHUT_SUPPLY, _SMALL_RETURN = 0.5, 0.8, 0.8, 0.6
_GAP_SHARE, _PANEL_SHARE = 0.2, 0.5


def observe(stand: Stand, observation: str) -> str:
    """Give the value of an observation; the unit's own `looks` come first.

    Raises:
        BenchError: for an observation the bench does not know.
    """
    return look(stand, observation, OBSERVERS)


def complaints(stand: Stand) -> tuple[str, ...]:
    """Give what the customer would say, the plainest first; empty when nothing is noticed."""
    return tuple(dict.fromkeys(_complaints(stand)))


def _complaints(stand: Stand) -> Iterator[str]:
    state = run_state(stand)
    if state == "trips_breaker":
        yield "trips"
    if state == "dead_still":
        yield "dead"
    if state == "hums_only":
        yield "hums"
    if stand.unit.control.contact == "welded":
        yield "never_stops"
    if does_cut_out(stand):
        yield "cuts_out"
    yield from _complaints_while_running(stand, state)


def _complaints_while_running(stand: Stand, state: str) -> Iterator[str]:
    running = stand.running
    if not running.rpm:
        return
    if state == "runs_slow":
        yield "slow"
    if stand.warming.steady_c > HOT_WINDING_C:
        yield "hot"
    if _is_noisy(stand):
        yield "noisy"
    if air_at_grilles(stand) in {"air_weak", "air_none"}:
        yield "weak_air"


def _is_noisy(stand: Stand) -> bool:
    bearings, blower = stand.unit.motor.bearings, stand.unit.blower
    is_worn = bearings.has_play or bearings.extra > DRAGS_NM or blower.rubs > DRAGS_NM
    return is_worn or blower.is_unbalanced or stand.controls.relay is Relay.CHATTERS


def does_cut_out(stand: Stand) -> bool:
    """Tell whether the overload opens when this state lasts."""
    return stand.warming.seconds_to(stand.unit.motor.overload.opens_c) is not None


def run_state(stand: Stand) -> str:
    """Tell what the motor does when the thermostat calls."""
    running = stand.running
    if stand.does_breaker_trip:
        return "trips_breaker"
    if not running.rpm:
        return "hums_only" if running.amps > NO_CURRENT else "dead_still"
    if not stand.is_calling:
        return "will_not_stop"
    is_slow = running.rpm < SLOW_SHARE * _expected_rpm(stand)
    return "runs_slow" if is_slow else "runs"


def _is_on_high(stand: Stand) -> bool:
    return stand.unit.label.taps.get(stand.mode) == "tap_high"


def _expected_rpm(stand: Stand) -> float:
    share = 1.0 if _is_on_high(stand) else LOW_TAP_SHARE
    return stand.unit.label.motor_rpm * share


def air_at_grilles(stand: Stand) -> str:
    """Tell how the air feels in the rooms."""
    duct, design = stand.unit.duct, stand.unit.blower.cfm
    reaches = stand.running.cfm * (1 - duct.leak)
    if not reaches:
        return "air_none"
    weak = WEAK_SHARE if _is_on_high(stand) else LOW_TAP_SHARE
    if reaches < weak * design or duct.share < _PANEL_SHARE:
        return "air_weak"
    return "air_strong" if reaches > STRONG_SHARE * design else "air_good"


def _complaint(stand: Stand) -> str:
    return next(iter(complaints(stand)), "")


def _shaft(stand: Stand) -> str:
    bearings = stand.unit.motor.bearings
    if bearings.is_seized:
        return "stuck"
    is_dragging = bearings.extra + stand.unit.blower.rubs > DRAGS_NM
    return "drags" if is_dragging else "turns_free"


def _shaft_play(stand: Stand) -> str:
    return "side_play" if stand.unit.motor.bearings.has_play else "no_play"


def _wheel(stand: Stand) -> str:
    blower = stand.unit.blower
    return first_of(
        (blower.is_loose, "wheel_loose"),
        (blower.rubs > DRAGS_NM, "wheel_rubs"),
        (blower.head < 1, "wheel_dirty"),
        (blower.is_unbalanced, "wheel_unbalanced"),
        healthy="wheel_good",
    )


def _motor_look(stand: Stand) -> str:
    unit = stand.unit
    wiring, plate, label = unit.wiring, unit.motor.plate, unit.label
    is_burnt = any(b.role == "fault" for b in unit.motor.branches) or unit.supply.joint_ohms > 1
    return first_of(
        (wiring.common_to != "line_2", "leads_swapped"),
        (any(len(taps) > 1 for taps in wiring.modes.values()), "two_taps"),
        (wiring.has_bare_tap, "bare_tap"),
        (plate.hp != label.motor_hp or plate.volts != label.motor_volts, "wrong_motor"),
        (is_burnt, "burnt"),
        healthy="looks_good",
    )


def _capacitor_look(stand: Stand) -> str:
    part = stand.unit.capacitor
    return first_of(
        (part.has_lead_off, "cap_lead_off"),
        (part.fan_on == "herm", "dual_crossed"),
        (part.is_bulged, "bulged"),
        healthy="cap_sound",
    )


def _shell_heat(stand: Stand) -> str:
    return "shell_hot" if stand.shell_c > HOT_TO_HOLD_C else "shell_cool"


def _relay_click(stand: Stand) -> str:
    return first_of(
        (stand.controls.relay is Relay.CHATTERS, "chatters"),
        (stand.controls.relay is Relay.PULLED_IN, "clicks"),
        healthy="no_click",
    )


def _rotation(stand: Stand) -> str:
    return "wrong_way" if stand.running.is_backwards else "right_way"


def _filter_look(stand: Stand) -> str:
    share = stand.unit.duct.filter / stand.unit.blower.static
    return "filter_dirty" if share > _DIRTY_FILTER else "filter_clean"


def _coil_look(stand: Stand) -> str:
    share = stand.unit.duct.coil / stand.unit.blower.static
    return "coil_dirty" if share > _DIRTY_COIL else "coil_clean"


def _ducts_look(stand: Stand) -> str:
    duct, static = stand.unit.duct, stand.unit.blower.static
    return first_of(
        (duct.leak > _GAP_SHARE, "duct_off"),
        (duct.supply > _SHUT_SUPPLY * static, "supply_shut"),
        (duct.return_duct > _SMALL_RETURN * static, "return_small"),
        healthy="ducts_good",
    )


def _panels_on(stand: Stand) -> str:
    return "panel_missing" if stand.unit.duct.share < _PANEL_SHARE else "panels_fitted"


def _breaker(stand: Stand) -> str:
    is_off = stand.does_breaker_trip or not stand.unit.supply.is_live
    return "breaker_tripped" if is_off else "breaker_on"


def _trips_again(stand: Stand) -> str:
    return "trips_again" if stand.does_breaker_trip else "holds"


def _control_fuse(stand: Stand) -> str:
    return "fuse_blown" if stand.unit.control.is_fuse_blown else "fuse_good"


def _tap_fit(stand: Stand) -> str:
    label = stand.unit.label.taps
    is_right = all(
        taps[:1] == (label[mode],)
        for mode, taps in stand.unit.wiring.modes.items()
        if mode in label
    )
    return "tap_right" if is_right else "tap_wrong"


def _lead_flex(stand: Stand) -> str:
    return "jumps" if stand.unit.motor.broken_leads else "steady"


def _voltage_tap(stand: Stand) -> str:
    is_right = stand.unit.supply.tap_ratio == 1
    return "tap_volts_right" if is_right else "tap_volts_wrong"


def _blower_stops(stand: Stand) -> str:
    resting = Stand(stand.unit, stand.mode, is_calling=False, is_powered=stand.is_powered)
    return "keeps_running" if resting.running.rpm else "shuts_off"


def _run_watch(stand: Stand) -> str:
    if not does_cut_out(stand):
        return "keeps_going"
    return "quits_hot" if stand.shell_c > HOT_TO_HOLD_C else "quits_cool"


def _complaint_now(stand: Stand) -> str:
    return "still_there" if complaints(stand) else "gone"


OBSERVERS: dict[str, Callable[[Stand], str]] = {
    "complaint": _complaint,
    "shaft": _shaft,
    "shaft_play": _shaft_play,
    "wheel": _wheel,
    "motor_look": _motor_look,
    "lead_flex": _lead_flex,
    "capacitor_look": _capacitor_look,
    "run_state": run_state,
    "shell_heat": _shell_heat,
    "relay_click": _relay_click,
    "rotation": _rotation,
    "air_at_grilles": air_at_grilles,
    "filter_look": _filter_look,
    "coil_look": _coil_look,
    "ducts_look": _ducts_look,
    "panels_on": _panels_on,
    "breaker": _breaker,
    "trips_again": _trips_again,
    "control_fuse": _control_fuse,
    "tap_fit": _tap_fit,
    "voltage_tap": _voltage_tap,
    "blower_stops": _blower_stops,
    "run_watch": _run_watch,
    "complaint_now": _complaint_now,
}
"""The observations of the vocabulary that tell of the unit; the complaint is empty when nothing is
noticed. What tells of the site or the technician is not the bench's to answer."""
