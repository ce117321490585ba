"""What an ohmmeter shows on a control system that was proven dead, fuse out, thermostat off.

Board terminals are read with all wires on; a lead, a cable or a coil by itself is read with its
wires lifted, as its place's name says.
"""

from collections.abc import Callable, Iterable

from assistant.bench.control_system import Coil, ControlSystem

_DC_SHARE = 2.0
"""A thermostat's electronics show an ohmmeter more than the live load (common practice)."""


def parallel(values: Iterable[float | None]) -> float | None:
    """Give paths side by side, in ohms; None where there is no path at all."""
    known = [value for value in values if value is not None]
    return 1 / sum(1 / value for value in known) if known else None


def in_series(*values: float | None) -> float | None:
    """Give paths in a row, in ohms; None where one of them is open."""
    known = [value for value in values if value is not None]
    return sum(known) if len(known) == len(values) else None


def ohms_between(unit: ControlSystem, first: str, second: str) -> float | None:
    """Give the ohms between two places; None: over limit.

    Args:
        unit: the unit.
        first: a place of the control.
        second: another; their order does not matter.
    """
    known = _PAIRS.get(frozenset({first, second}))
    return None if known is None else known(unit)


def _coil(coil: Coil) -> float | None:
    return None if coil.is_open else coil.ohms


def _cable_piece(unit: ControlSystem) -> float | None:
    """The lifted thermostat cable with the thermostat on its far end."""
    is_whole = not {"r", "c"} & set(unit.cable.open)
    far = unit.thermostat.load_ohms * _DC_SHARE if is_whole else None
    return parallel((unit.shorts.thermostat_cable, far))


def _board_piece(unit: ControlSystem) -> float | None:
    return parallel((unit.shorts.board, unit.board.dead_ohms))


def _r_whole(unit: ControlSystem) -> float | None:
    behind = (_cable_piece(unit), _board_piece(unit), unit.accessory_ohms)
    if unit.float_switch.cuts == "r" and unit.float_switch.is_open:
        behind = (None, None, None)
    return parallel((unit.shorts.safety_wire, *behind))


def _outdoor_lead(unit: ControlSystem) -> float | None:
    way = unit.outdoor
    if way.is_wire_open:
        return None
    coil = None if way.is_pressure_open else _coil(unit.contactor.coil)
    return in_series(
        2 * way.cable_ohms + way.joint_ohms, parallel((unit.shorts.outdoor_cable, coil))
    )


def _y_whole(unit: ControlSystem) -> float | None:
    is_cut = unit.float_switch.cuts == "y" and unit.float_switch.is_open
    return None if is_cut else _outdoor_lead(unit)


def _g_whole(unit: ControlSystem) -> float | None:
    return None if unit.board.is_fan_output_dead else _coil(unit.fan_relay.coil)


def _w_whole(unit: ControlSystem) -> float | None:
    heat = unit.heat
    if heat.kind == "none" or heat.is_limit_open:
        return None
    return parallel((unit.shorts.heat_circuit, heat.ohms))


_PAIRS: dict[frozenset[str], Callable[[ControlSystem], float | None]] = {
    frozenset({"fuse_out", "control_c"}): _r_whole,
    frozenset({"control_y", "control_c"}): _y_whole,
    frozenset({"control_g", "control_c"}): _g_whole,
    frozenset({"control_w", "control_c"}): _w_whole,
    frozenset({"cable_r", "cable_c"}): _cable_piece,
    frozenset({"board_r", "control_c"}): _board_piece,
    frozenset({"safety_lead", "frame"}): lambda unit: unit.shorts.safety_wire,
    frozenset({"outdoor_lead", "control_c"}): _outdoor_lead,
    frozenset({"heat_lead", "control_c"}): _w_whole,
    frozenset({"outdoor_y", "outdoor_c"}): lambda unit: unit.shorts.outdoor_cable,
    frozenset({"relay_coil_1", "relay_coil_2"}): lambda unit: _coil(unit.fan_relay.coil),
    frozenset({"contactor_coil_1", "contactor_coil_2"}): lambda unit: _coil(unit.contactor.coil),
}
"""What is between two places; a pair that is not here has no path."""
