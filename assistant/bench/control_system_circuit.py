"""The live circuits of a control system: volts of each place, and amps of the secondary.

Line side by its potentials to ground; 24 volt side by nodal analysis, C being the reference:
transformer, fuse, joint, float, R, thermostat, its calls, fan relay, contactor, heat.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

import numpy as np

from assistant.bench.circuit import GROUND, Element, solve_circuit
from assistant.bench.control_system import Call, Contact, ControlSystem
from assistant.trade.control import CHATTER_VOLTS

DROPS_OUT_VOLTS = 10.0
"""Below this a relay or contactor lets go (common practice, no source)."""
CLOSED_OHMS = 0.05
"""A closed switch or a good push-on terminal."""
_INPUT_OHMS = 10_000.0
_NO_FIELD = np.zeros(2, dtype=complex)
Mode = Literal["cooling", "heating"]
CALLS: dict[Mode, tuple[Call, ...]] = {"cooling": ("g", "y"), "heating": ("w",)}
"""What the thermostat closes to R in each mode."""


class Pull(StrEnum):
    """What a coil makes of its volts."""

    RESTS = "rests"
    PULLED_IN = "pulled_in"
    CHATTERS = "chatters"


@dataclass(frozen=True, slots=True)
class Low:
    """The 24 volt side in one state.

    Args:
        volts: of each place, to C.
        amps: of the secondary.
    """

    volts: dict[str, float]
    amps: float

    def at(self, place: str) -> float:
        """Give the volts of a place to C; a place without any path has none."""
        return self.volts.get(place, 0.0)


def primary_volts(unit: ControlSystem) -> float:
    """Give the volts at the transformer's primary."""
    line = unit.line
    is_fed = line.is_live and not line.has_leg_open and not unit.door.is_open
    return line.volts if is_fed else 0.0


def secondary_emf(unit: ControlSystem) -> float:
    """Give the secondary's volts without load, as the line and the tap have it."""
    part = unit.transformer
    if part.is_primary_open or part.is_secondary_open:
        return 0.0
    return part.open_volts * primary_volts(unit) / part.tap


def is_fuse_blown(unit: ControlSystem) -> bool:
    """Whether the fuse is found blown: of itself, or by the amps of any call."""
    if unit.fuse.is_blown:
        return True
    emf = unit.transformer.open_volts
    return any(
        solve_low(unit, mode, emf, is_calling=True, is_fuse_whole=True).amps > unit.fuse.amps
        for mode in CALLS
    )


def low_side(unit: ControlSystem, mode: Mode, *, is_calling: bool) -> Low:
    """Give the 24 volt side as it stands.

    Args:
        unit: the unit.
        mode: what the thermostat is set to.
        is_calling: whether it asks for it now.
    """
    is_whole = not is_fuse_blown(unit)
    emf = secondary_emf(unit)
    return solve_low(unit, mode, emf, is_calling=is_calling, is_fuse_whole=is_whole)


def solve_low(
    unit: ControlSystem, mode: Mode, emf: float, *, is_calling: bool, is_fuse_whole: bool
) -> Low:
    """Solve the 24 volt side.

    Args:
        unit: the unit.
        mode: what the thermostat is set to.
        emf: secondary volts without load.
        is_calling: whether the thermostat asks.
        is_fuse_whole: whether the fuse carries.
    """
    elements = [
        Element(
            "secondary", GROUND, "transformer_secondary_1", unit.transformer.source_ohms, emf=emf
        )
    ]
    if is_fuse_whole:
        elements.append(Element("fuse", "transformer_secondary_1", "fuse_out", CLOSED_OHMS))
    parts = (
        *_feed(unit),
        *_thermostat(unit, mode, is_calling),
        *_fan(unit),
        *_cooling(unit),
        *_heating(unit),
    )
    elements += [Element(f"part_{at}", *part) for at, part in enumerate(parts)]
    solved = solve_circuit(elements)
    volts = {node: abs(v) for node, v in solved.volts(_NO_FIELD).items() if node != GROUND}
    return Low(volts, abs(solved.currents(_NO_FIELD)["secondary"]))


_Part = tuple[str, str, float]


def _short(place: str, ohms: float | None) -> Iterator[_Part]:
    if ohms is not None:
        yield place, GROUND, ohms


def _feed(unit: ControlSystem) -> Iterator[_Part]:
    """From the fuse by joint and float to R, and what always hangs on R."""
    yield "fuse_out", "joint", unit.feed_ohms
    if unit.float_switch.cuts == "r":
        yield "joint", "float_in", CLOSED_OHMS
        if not unit.float_switch.is_open:
            yield "float_in", "float_out", CLOSED_OHMS
        yield "float_out", "control_r", CLOSED_OHMS
    else:
        yield "joint", "control_r", CLOSED_OHMS
    yield "control_r", GROUND, unit.board.load_ohms
    yield from _short("control_r", unit.accessory_ohms)
    yield from _short("control_r", unit.shorts.thermostat_cable)
    yield from _short("control_r", unit.shorts.board)
    yield from _short("joint", unit.shorts.safety_wire)


def _thermostat(unit: ControlSystem, mode: Mode, is_calling: bool) -> Iterator[_Part]:
    """The cable both ways, and the calls that the thermostat closes."""
    cable, part = unit.cable, unit.thermostat
    if "r" not in cable.open:
        yield "control_r", "thermostat_r", cable.ohms
    if "c" not in cable.open:
        yield "thermostat_c", GROUND, cable.ohms
    yield "thermostat_r", "thermostat_c", part.load_ohms
    for call in ("g", "y", "w"):
        is_asked = is_calling and call in CALLS[mode]
        if unit.is_thermostat_alive and (is_asked or call in part.stuck):
            yield "thermostat_r", f"thermostat_{call}", CLOSED_OHMS
        if call not in cable.open:
            yield f"thermostat_{call}", f"control_{call}", cable.ohms
        if call in cable.crossed:
            yield "control_r", f"control_{call}", cable.ohms


def _fan(unit: ControlSystem) -> Iterator[_Part]:
    """G, the board's fan output, the fan relay's coil."""
    board, coil = unit.board, unit.fan_relay.coil
    yield "control_g", GROUND, _INPUT_OHMS
    if board.is_fan_output_stuck or unit.heat.is_limit_open:
        yield "control_r", "relay_coil_1", CLOSED_OHMS
    elif not board.is_fan_output_dead:
        yield "control_g", "relay_coil_1", CLOSED_OHMS
    if not coil.is_open:
        yield "relay_coil_1", GROUND, coil.impedance


def _cooling(unit: ControlSystem) -> Iterator[_Part]:
    """Y, the float where it stands there, the outdoor cable, the pressure switch, the contactor."""
    way, coil = unit.outdoor, unit.contactor.coil
    begin = "control_y"
    if unit.float_switch.cuts == "y":
        yield begin, "float_in", CLOSED_OHMS
        if not unit.float_switch.is_open:
            yield "float_in", "float_out", CLOSED_OHMS
        begin = "float_out"
    if not way.is_wire_open:
        yield begin, "outdoor_y", way.cable_ohms + way.joint_ohms
    yield "outdoor_y", "pressure_in", CLOSED_OHMS
    if not way.is_pressure_open:
        yield "pressure_in", "pressure_out", CLOSED_OHMS
    yield "pressure_out", "contactor_coil_1", CLOSED_OHMS
    if not coil.is_open:
        yield "contactor_coil_1", "outdoor_c", coil.impedance
    if unit.shorts.outdoor_cable is not None:
        yield "outdoor_y", "outdoor_c", unit.shorts.outdoor_cable
    yield "outdoor_c", GROUND, unit.outdoor.cable_ohms


def _heating(unit: ControlSystem) -> Iterator[_Part]:
    """W, the limit, and what makes the heat."""
    heat = unit.heat
    if heat.kind == "none":
        return
    yield "control_w", "limit_in", CLOSED_OHMS
    if not heat.is_limit_open:
        yield "limit_in", "limit_out", CLOSED_OHMS
    yield "limit_out", GROUND, heat.impedance
    yield from _short("limit_out", unit.shorts.heat_circuit)


def pull(volts: float) -> Pull:
    """Give what a coil makes of its volts; one that is open is given none."""
    if volts < DROPS_OUT_VOLTS:
        return Pull.RESTS
    return Pull.CHATTERS if volts < CHATTER_VOLTS else Pull.PULLED_IN


def line_potentials(
    unit: ControlSystem, *, is_fan_on: bool, is_contactor_in: bool
) -> dict[str, float]:
    """Give the volts to ground of each place on the line side.

    Args:
        unit: the unit.
        is_fan_on: whether the fan relay is pulled in.
        is_contactor_in: whether the contactor is.
    """
    line = unit.line
    first, second = (line.volts, 0.0) if line.legs == "neutral" else (line.volts / 2,) * 2
    second = -second
    if not line.is_live:
        first = second = 0.0
    if line.has_leg_open:
        second = first  # the load ties the lost leg to the one that is left
    door_out = second if unit.door.is_open else first
    return {
        "line_1": first,
        "line_2": second,
        "ground": 0.0,
        "frame": 0.0,
        "door_in": first,
        "door_out": door_out,
        "transformer_primary_1": door_out,
        "transformer_primary_2": second,
        "relay_contact_in": first,
        "relay_contact_out": _behind(unit.fan_relay.contact, first, second, is_fan_on),
        "contactor_in": first,
        "contactor_out": _behind(unit.contactor.contact, first, second, is_contactor_in),
    }


def _behind(contact: Contact, first: float, second: float, is_in: bool) -> float:
    """Give the potential behind a contact; an open one is tied to the other leg by its load."""
    if not (is_in or contact.is_welded):
        return second
    share = contact.ohms / (contact.ohms + contact.load_ohms)
    return first + (second - first) * share
