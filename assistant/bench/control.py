"""The 24 V circuit: volts at named places, and what the fan relay makes of them.

Transformer, fuse, safety switch, R, thermostat, G, board, coil, C, in that order.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from assistant.bench.circuit import GROUND, Element, solve_circuit
from assistant.bench.unit import Mode, Unit
from assistant.trade.control import CHATTER_VOLTS

DROPS_OUT_VOLTS = 10.0
"""Below this a relay lets go (common practice, no source)."""
_NO_FIELD = np.zeros(2, dtype=complex)
_SWITCH_OHMS = 0.05
_BOARD_INPUT_OHMS = 10_000.0
_BY_BOARD: tuple[Mode, ...] = ("heating",)


class Relay(StrEnum):
    """What the fan relay does."""

    RESTS = "rests"
    PULLED_IN = "pulled_in"
    CHATTERS = "chatters"


@dataclass(frozen=True, slots=True)
class Controls:
    """The control circuit in one state.

    Args:
        volts: of each place, to C.
        relay: what its coil makes of them.
        is_contact_closed: whether the fan contact carries.
    """

    volts: dict[str, float]
    relay: Relay
    is_contact_closed: bool

    def volts_between(self, first: str, second: str) -> float:
        """Give what a voltmeter shows between two places; a place without any path is 0."""
        return abs(self.volts.get(first, 0.0) - self.volts.get(second, 0.0))


def control_state(unit: Unit, mode: Mode, *, is_calling: bool) -> Controls:
    """Give the control circuit's volts and its relay.

    Args:
        unit: the unit.
        mode: what the thermostat is set to.
        is_calling: whether it asks for the fan now.
    """
    solved = solve_circuit(tuple(_elements(unit, mode, is_calling)))
    volts = {node: abs(v) for node, v in solved.volts(_NO_FIELD).items() if node != GROUND}
    volts |= dict.fromkeys(("control_c", "relay_coil_2", "transformer_secondary_2"), 0.0)
    relay = _relay(unit, volts.get("relay_coil_1", 0.0))
    contact = unit.control.contact
    is_closed = contact == "welded" or (contact == "works" and relay is not Relay.RESTS)
    return Controls(volts, relay, is_closed)


def _relay(unit: Unit, coil_volts: float) -> Relay:
    if unit.control.is_coil_open or coil_volts < DROPS_OUT_VOLTS:
        return Relay.RESTS
    return Relay.CHATTERS if coil_volts < CHATTER_VOLTS else Relay.PULLED_IN


def line_share(unit: Unit) -> float:
    """Give the line at the transformer as a share of what it is made for."""
    supply = unit.supply
    if not supply.is_live or supply.has_leg_open:
        return 0.0
    return supply.volts * supply.tap_ratio / unit.label.motor_volts


def _elements(unit: Unit, mode: Mode, is_calling: bool) -> Iterator[Element]:
    part = unit.control
    source = "transformer_secondary_1"
    if not part.is_transformer_dead:
        volts = part.open_volts * line_share(unit)
        yield Element("secondary", GROUND, source, part.source_ohms, emf=volts)
    if not part.is_fuse_blown:
        yield Element("fuse", source, "fuse_out", _SWITCH_OHMS)
    yield Element("to_safety", "fuse_out", "safety_in", 0)
    if not part.is_safety_open:
        yield Element("safety", "safety_in", "safety_out", _SWITCH_OHMS)
    yield Element("to_r", "safety_out", "control_r", 0)
    yield Element("load", "control_r", GROUND, part.load_ohms)
    if is_calling and mode not in _BY_BOARD and not part.is_call_missing:
        yield Element("call", "control_r", "control_g", part.wire_ohms)
    yield Element("board_input", "control_g", GROUND, _BOARD_INPUT_OHMS)
    if is_calling and mode not in part.silent_modes:
        feed = "control_r" if mode in _BY_BOARD else "control_g"
        yield Element("board", feed, "relay_coil_1", _SWITCH_OHMS)
    if not part.is_coil_open:
        yield Element("coil", "relay_coil_1", GROUND, part.coil_impedance)
