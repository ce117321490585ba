"""The circuit of a unit: line, relay contact, taps, motor, capacitor, all the way to ground."""

import math
from collections.abc import Iterator

from assistant.bench.circuit import GROUND, Element
from assistant.bench.motor import FRAME
from assistant.bench.unit import Unit
from assistant.bench.windings import present_branches

LINE_HZ = 60.0
"""Frequency at which unit files give reactances."""
TOUCH_OHMS = 0.1
"""Where a bare tap touches the cabinet (common practice, no source)."""
PRIMARY_OHMS = 3000.0
"""What the control transformer puts across the line; with a leg open it pulls the open side to the
other, so that a meter shows volts to ground and none across (common practice, no source)."""
_MICRO = 1e-6


def circuit_elements(
    unit: Unit, taps: tuple[str, ...], is_contact_closed: bool
) -> tuple[Element, ...]:
    """Give all that carries current when the leads are connected.

    Args:
        unit: the unit.
        taps: place names of the taps the wiring makes live.
        is_contact_closed: whether the fan relay has closed.
    """
    return (
        *_line(unit),
        *_to_the_motor(unit, taps, is_contact_closed),
        *_windings(unit),
        *_capacitor(unit),
    )


def _line(unit: Unit) -> Iterator[Element]:
    supply = unit.supply
    hot = supply.volts if supply.legs == "neutral" else supply.volts / 2
    second = 0.0 if supply.legs == "neutral" else -hot
    if supply.is_live:
        yield Element("line_1", GROUND, "line_1", supply.source_ohms, emf=hot)
    if not supply.has_leg_open and (supply.is_live or supply.legs == "neutral"):
        yield Element("line_2", GROUND, "line_2", 0, emf=second)
    yield Element("primary", "line_1", "line_2", PRIMARY_OHMS * 1j)
    lost = (supply.tap_ratio - 1) * supply.volts if supply.is_live else 0.0
    yield Element("joint", "line_1", "relay_contact_in", supply.joint_ohms, emf=lost)


def _to_the_motor(unit: Unit, taps: tuple[str, ...], is_contact_closed: bool) -> Iterator[Element]:
    wiring, leads = unit.wiring, unit.motor.leads
    if is_contact_closed:
        ohms = unit.control.contact_ohms
        yield Element("contact", "relay_contact_in", "relay_contact_out", ohms)
    for number, tap in enumerate(taps):
        ohms = wiring.stray_ohms if number else wiring.tap_ohms
        yield Element(f"wire_{tap}", "relay_contact_out", leads[tap], ohms)
    if wiring.has_bare_tap:
        unused = next(p for p in reversed(leads) if p.startswith("tap_") and p not in taps)
        yield Element("touch", leads[unused], GROUND, TOUCH_OHMS)
    yield Element("wire_common", leads["common"], wiring.common_to, 0)
    yield Element("wire_cap_lead", leads["cap_lead"], wiring.capacitor_lead_to, 0)
    if not unit.capacitor.has_lead_off:
        yield Element("wire_cap_return", leads["cap_return"], "capacitor_2", 0)


def _windings(unit: Unit) -> Iterator[Element]:
    side = -1.0 if unit.motor.is_reversed else 1.0
    per_hz = unit.supply.hz / LINE_HZ
    for branch in present_branches(unit):
        first, second = (GROUND if n == FRAME else n for n in branch.between)
        turns = (branch.turns[0], branch.turns[1] * side)
        impedance = complex(branch.ohms, branch.leakage * per_hz)
        yield Element(branch.name, first, second, impedance, turns)


def _capacitor(unit: Unit) -> Iterator[Element]:
    part = unit.capacitor
    if part.short_ohms is not None:
        yield Element("capacitor", "capacitor_1", "capacitor_2", part.short_ohms)
    elif part.wired_uf > 0:
        reactance = 1 / (2 * math.pi * unit.supply.hz * part.wired_uf * _MICRO)
        impedance = complex(part.series_ohms, -reactance)
        yield Element("capacitor", "capacitor_1", "capacitor_2", impedance)
