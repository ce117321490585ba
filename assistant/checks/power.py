"""The state of power at each step, over all paths that reach it, in words."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum

from assistant.flow.linked import Flow
from assistant.flow.ways import State, Ways


class Power(StrEnum):
    """What is known of the power on arrival at a step."""

    OFF = "off"
    """Proven off on every path."""
    ON = "on"
    """Live on every path."""
    UNPROVEN = "unproven"
    """Neither on any path: to be treated as live."""
    MIXED = "mixed"
    """One on some paths, another on others."""
    UNREACHED = "unreached"
    """No path comes here."""


@dataclass(frozen=True, slots=True)
class PowerMark:
    """The state of power at a step.

    Args:
        power: the state.
        words: the state with what else is proven of it, as `power: off, bled`.
    """

    power: Power
    words: str


_WORDS = {"off": "off", "on": "on"}
_STATES = {"off": Power.OFF, "on": Power.ON}


def power_marks(flow: Flow) -> Mapping[str, PowerMark]:
    """Give the state of power at every step of a flow."""
    states = Ways(flow).reached
    return {name: mark_of(states.get(name, ())) for name in flow.steps}


def mark_of(states: Collection[State]) -> PowerMark:
    """Give the mark of a step from all sets of conditions it can be reached with."""
    reached = [dict(state) for state in states]
    if not reached:
        return PowerMark(Power.UNREACHED, "power: no path comes here")
    seen = {state["power"] for state in reached}
    if len(seen) > 1:
        words = " or ".join(sorted(_WORDS.get(one, "not proven") for one in seen))
        return PowerMark(Power.MIXED, f"power: {words}, by the way taken")
    (power,) = seen
    state = _STATES.get(power, Power.UNPROVEN)
    words = _WORDS.get(power, "not proven")
    return PowerMark(state, f"power: {words}{_also(reached, state)}")


def _also(reached: list[dict[str, str]], power: Power) -> str:
    """Give what is proven beside it on every path: bled, or the live test agreed."""
    if power is Power.OFF:
        bled = {state["capacitor"] == "bled" for state in reached}
        if len(bled) > 1:
            return ", bled on some ways"
        return ", bled" if True in bled else ", not bled"
    agreed = all(state["live_work"] == "agreed" for state in reached)
    return ", live test agreed" if agreed else ""
