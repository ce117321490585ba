"""What eyes, ears and hands tell about a compressor, from the same state as its readings."""

from collections.abc import Callable, Iterator

from assistant.bench.compressor_stand import CompressorStand
from assistant.bench.compressor_unit import CompressorUnit
from assistant.bench.looking import first_of

CUT_OUT_SHARE, STARVED_SHARE = 1.1, 0.6
"""Running amps over rated load amps at which the overload opens: too much current, or too little
suction gas to cool the windings (common practice, no source)."""


def complaints(stand: CompressorStand) -> tuple[str, ...]:
    """Give what the customer would say, the plainest first; empty when nothing is noticed."""
    return tuple(dict.fromkeys(_complaints(stand)))


def _complaints(stand: CompressorStand) -> Iterator[str]:
    state = run_state(stand)
    if state == "trips_breaker":
        yield "trips"
    if state == "dead_still":
        yield "dead"
    if state == "hums_only":
        yield "hums"
    if does_cut_out(stand):
        yield "cuts_out"


def run_state(stand: CompressorStand) -> str:
    """Tell what the compressor does when it is called."""
    running = stand.running
    if running.does_trip_breaker:
        return "trips_breaker"
    return {"off": "dead_still", "locked": "hums_only", "runs": "runs"}[running.motion]


def does_cut_out(stand: CompressorStand) -> bool:
    """Tell whether the internal overload opens when this state lasts."""
    running, plate = stand.running, stand.unit.compressor.plate
    if running.motion == "locked":
        return True
    share = running.amps / plate.rated_load_amps
    return running.motion == "runs" and not STARVED_SHARE <= share <= CUT_OUT_SHARE


def _contactor(stand: CompressorStand) -> str:
    if stand.does_chatter:
        return "chatters"
    return "pulls_in" if stand.is_pulled_in else "stays_out"


def _capacitor_look(stand: CompressorStand) -> str:
    part = stand.unit.capacitor
    return first_of(
        (part.has_lead_off, "cap_lead_off"), (part.is_bulged, "bulged"), healthy="cap_sound"
    )


def _start_gear(stand: CompressorStand) -> str:
    gear = stand.unit.start_gear
    if gear is None:
        return "gear_none"
    return "gear_bulged" if gear.is_bulged else "gear_good"


def _terminals(stand: CompressorStand) -> str:
    unit = stand.unit
    return first_of(
        (unit.compressor.has_oily_pin, "pin_damaged"),
        (unit.wires.is_burnt_off, "wire_burnt"),
        healthy="terminals_good",
    )


def _outdoor_air(stand: CompressorStand) -> str:
    load = stand.unit.load
    return first_of(
        (load.is_fan_still, "outdoor_still"),
        (load.is_coil_dirty, "outdoor_dirty"),
        healthy="outdoor_good",
    )


def _run_watch(stand: CompressorStand) -> str:
    return "quits_hot" if does_cut_out(stand) else "keeps_going"


def _is(is_so: Callable[[CompressorUnit], bool], yes: str, no: str) -> "Look":
    """Give an observer of one thing that is or is not."""
    return lambda stand: yes if is_so(stand.unit) else no


Look = Callable[[CompressorStand], str]
COMPRESSOR_OBSERVERS: dict[str, Look] = {
    "complaint": lambda stand: next(iter(complaints(stand)), ""),
    "run_state": run_state,
    "run_watch": _run_watch,
    "contactor_look": _contactor,
    "capacitor_look": _capacitor_look,
    "start_gear": _start_gear,
    "comp_cover": _is(lambda u: u.compressor.has_oily_pin, "cover_oily", "cover_clean"),
    "comp_terminals": _terminals,
    "comp_letters": _is(lambda u: u.compressor.is_marked, "letters_there", "no_letters"),
    "comp_wiring": _is(lambda u: u.wires.are_crossed, "wires_crossed", "wires_right"),
    "outdoor_air": _outdoor_air,
    "breaker": lambda stand: "breaker_tripped" if stand.running.does_trip_breaker else "breaker_on",
    "call_off": lambda _stand: "call_is_off",
}
"""The observations of the vocabulary that tell of a compressor."""
