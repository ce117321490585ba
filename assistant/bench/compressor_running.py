"""What a compressor does in one state of power: off, locked or running, with volts and amps.

A model that is simple on purpose. All of one line current; volts fall over the feed's resistance by
the sum of ohms and impedance without angles, which makes them fall a little too much. It starts
where its torque suffices: torque goes with the square of the volts (identity) and with the
microfarads in the start winding (V, trade), and at rated volts it has as much as it needs at 85
percent of them (common practice, no source).
"""

import math
from dataclasses import dataclass
from typing import Literal

from assistant.bench.compressor_unit import CompressorUnit

Motion = Literal["off", "locked", "runs"]
LEAST_TORQUE = 0.85**2
"""Share of its rated starting torque that a compressor needs to start."""
GEARLESS_TORQUE = 0.5
"""What is left of it where start gear is fitted and does nothing (common practice, no source)."""
ONE_WINDING_SHARE = 0.9
"""Locked amps of the run winding alone over LRA (common practice, no source)."""
CROSSED_SHARE = 0.75
"""Locked amps with start and run crossed over LRA (common practice, no source)."""
SHORTED_CAPACITOR_SHARE = 1.3
"""Locked amps with the start winding straight on the line over LRA (common practice, no source)."""
LEAST_START_SHARE = 0.6
"""Of its printed microfarads, what a start capacitor must have to help (common practice)."""
AMPS_PER_SHORTED_TURN = 6.1
"""A tenth of the turns shorted makes running amps rise by 61 percent (V, trade)."""
AMPS_PER_LOST_CAPACITOR = 0.35
"""Rise of running amps without a run capacitor; at 70 percent of it 4 to 12 percent (V, trade)."""
GEAR_STAYS_IN_SHARE = 1.5
"""Running amps with the start capacitor left in (common practice, no source)."""
TRIP_SHARE = 1.3
"""Line current over breaker rating that trips it at once (common practice, no source)."""
_OPEN_FIELD_OHMS = 1e-3
_ROUNDS = 12


@dataclass(frozen=True, slots=True)
class CompressorRunning:
    """What it does.

    Args:
        motion: whether it is off, locked or runs.
        amps: in its common wire.
        line_volts: at the contactor's line side.
        load_volts: at its load side, which is at the compressor.
        does_trip_breaker: whether the line current opens the breaker at once.
    """

    motion: Motion
    amps: float
    line_volts: float
    load_volts: float
    does_trip_breaker: bool = False


def run_compressor(unit: CompressorUnit, *, is_called: bool) -> CompressorRunning:
    """Give what the compressor does.

    Args:
        unit: the unit, with its faults; its supply not live where the disconnect is open.
        is_called: whether the contactor is pulled in.
    """
    idle = open_volts(unit)
    if not is_called or unit.contactor.is_contact_open or not idle:
        return CompressorRunning("off", 0.0, idle, 0.0)
    if not _has_path(unit):
        return CompressorRunning("off", 0.0, idle, idle)
    if _fault_amps(unit) > TRIP_SHARE * unit.supply.breaker_amps:
        return CompressorRunning("off", 0.0, 0.0, 0.0, does_trip_breaker=True)
    locked = _drawn(unit, idle, _locked_ohms(unit), "locked")
    if not _does_start(unit, locked.load_volts):
        return locked
    return _settled(unit, idle)


def open_volts(unit: CompressorUnit) -> float:
    """Give the volts at the contactor's line side without load."""
    supply = unit.supply
    is_fed = supply.is_live and not supply.is_fuse_open and not supply.has_leg_open
    return supply.volts if is_fed else 0.0


def _has_path(unit: CompressorUnit) -> bool:
    compressor = unit.compressor
    is_open = compressor.is_run_open and compressor.is_start_open
    return compressor.overload == "closed" and not unit.wires.is_burnt_off and not is_open


def _fault_amps(unit: CompressorUnit) -> float:
    """Give the current from the live windings to the grounded shell, amps."""
    ohms = unit.compressor.shell_ohms
    if ohms is None:
        return 0.0
    leg = unit.supply.volts / (2 if unit.supply.legs == "two" else 1)
    return leg / max(ohms + unit.compressor.run_ohms / 4, _OPEN_FIELD_OHMS)


def has_start_current(unit: CompressorUnit) -> bool:
    """Tell whether the start winding gets current through its capacitor."""
    part = unit.capacitor
    is_fed = part.uf > 0 or part.short_ohms is not None or _gear_helps(unit)
    return is_fed and not part.has_lead_off and not unit.compressor.is_start_open


def _gear_helps(unit: CompressorUnit) -> bool:
    gear = unit.start_gear
    return (
        gear is not None and not gear.is_contact_open and gear.uf > LEAST_START_SHARE * gear.low_uf
    )


def _locked_ohms(unit: CompressorUnit) -> float:
    """Give the impedance of the compressor as long as it does not turn."""
    compressor = unit.compressor
    plate = compressor.plate
    whole = plate.volts / plate.locked_rotor_amps
    if compressor.is_run_open:
        farads = unit.capacitor.uf * 1e-6
        return 1 / (2 * math.pi * unit.supply.hz * farads) if farads else 1e6
    if unit.wires.are_crossed:
        return whole / CROSSED_SHARE
    if unit.capacitor.short_ohms is not None:
        return whole / SHORTED_CAPACITOR_SHARE
    if not has_start_current(unit):
        return whole / ONE_WINDING_SHARE
    return whole * (1 - compressor.run_short)


def _does_start(unit: CompressorUnit, volts: float) -> bool:
    compressor, part = unit.compressor, unit.capacitor
    is_whole = not (compressor.is_run_open or compressor.is_stuck or unit.wires.are_crossed)
    is_whole = is_whole and compressor.touching_ohms is None and part.short_ohms is None
    if not is_whole or not has_start_current(unit):
        return False
    helped = 1.0 if unit.start_gear is None or _gear_helps(unit) else GEARLESS_TORQUE
    share = 1.0 if _gear_helps(unit) else _capacitor_share(unit)
    turns = 1 - compressor.start_short
    return (volts / compressor.plate.volts) ** 2 * share * helped * turns >= LEAST_TORQUE


def _capacitor_share(unit: CompressorUnit) -> float:
    return min(1.0, unit.capacitor.uf / unit.compressor.plate.capacitor_uf)


def _running_amps(unit: CompressorUnit, volts: float) -> float:
    """Give the running amps at some volts: the same power, so more amps at fewer volts."""
    compressor, gear = unit.compressor, unit.start_gear
    plate = compressor.plate
    amps = plate.rated_load_amps * unit.load.share * plate.volts / volts
    amps *= 1 + AMPS_PER_SHORTED_TURN * (compressor.run_short + compressor.start_short / 2)
    amps *= 1 + AMPS_PER_LOST_CAPACITOR * (1 - _capacitor_share(unit))
    return amps * (GEAR_STAYS_IN_SHARE if gear is not None and gear.is_coil_open else 1.0)


def _feed_ohms(unit: CompressorUnit) -> float:
    return unit.supply.source_ohms + unit.supply.joint_ohms


def _drawn(unit: CompressorUnit, idle: float, ohms: float, motion: Motion) -> CompressorRunning:
    """Give volts and amps of an impedance behind the feed and the contacts."""
    amps = idle / (ohms + _feed_ohms(unit) + unit.contactor.contact_ohms)
    line = idle - amps * _feed_ohms(unit)
    return CompressorRunning(motion, amps, line, amps * ohms)


def _settled(unit: CompressorUnit, idle: float) -> CompressorRunning:
    """Give the running state: amps that make the volts that make these amps."""
    volts = idle
    for _ in range(_ROUNDS):
        running = _drawn(unit, idle, volts / _running_amps(unit, volts), "runs")
        volts = running.load_volts
    return running
