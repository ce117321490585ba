"""The 24 V control circuit: transformer, fuse, wire, coils, ghost volts."""

import math
from enum import StrEnum

from assistant.trade.bounds import TradeError, need_above_zero, need_within, need_zero_or_more

CLASS_2_MAX_VOLTS = 30.0
CLASS_2_MAX_VA = 100.0
"""NEC chapter 9 table 11(A), not inherently limited (standard, seen second-hand)."""
HEALTHY_CONTROL_VOLTS = (22.0, 28.0)
CHATTER_VOLTS = 20.0
"""Below this a coil chatters (common practice, no source)."""
COIL_OHMS = {"fan_relay": (10.0, 60.0), "contactor": (8.0, 30.0)}
"""Usual dc resistance of 24 V coils (common practice, no source)."""
SHORTED_COIL_OHMS = 2.0
"""Below this a coil is suspect (common practice, no source)."""
OHMS_PER_KFT_18_AWG = 7.77
"""Solid copper, 75 C: NEC chapter 9 table 8 (standard)."""
_INHERENT_VOLTS = 20.0
_INHERENT_FUSE_AMPS = 5.0
_NANO = 1e-9


class ControlState(StrEnum):
    """What volts at a coil mean (common practice, no source)."""

    CHATTERS = "chatters"
    LOW = "low"
    HEALTHY = "healthy"
    HIGH = "high"


class CoilState(StrEnum):
    """What the ohms of a 24 V coil mean (common practice, no source)."""

    SHORTED = "shorted"
    LOW = "low"
    USUAL = "usual"
    HIGH = "high"


def transformer_amps(va: float, volts: float) -> float:
    """Give the full-load amps of a transformer's secondary; 40 VA at 24 V is 1.67 A.

    Args:
        va: rating, 0 or more.
        volts: secondary volts, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(va=va)
    need_above_zero(volts=volts)
    return va / volts


def class2_fuse_amps(max_volts: float) -> float:
    """Give the largest fuse of a class 2 circuit that does not limit itself, in amps.

    The board's own fuse is usually 3 or 5 A and governs where it is smaller.

    Args:
        max_volts: open-circuit secondary volts, above 0 to 30.

    Raises:
        TradeError: outside that range.

    Source: NEC chapter 9 table 11(A), 5 A to 20 V, then 100 / volts (standard, from memory).
    """
    need_above_zero(max_volts=max_volts)
    need_within(0, CLASS_2_MAX_VOLTS, max_volts=max_volts)
    if max_volts <= _INHERENT_VOLTS:
        return _INHERENT_FUSE_AMPS
    return CLASS_2_MAX_VA / max_volts


def wire_drop_volts(ohms_per_kft: float, one_way_ft: float, amps: float) -> float:
    """Give the drop along a control cable, out and back, in volts.

    Args:
        ohms_per_kft: resistance of a thousand feet of one conductor, 0 or more.
        one_way_ft: length of the cable, 0 or more.
        amps: current, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity; 18 AWG is 7.77 by NEC chapter 9 table 8 (standard).
    """
    need_zero_or_more(ohms_per_kft=ohms_per_kft, one_way_ft=one_way_ft, amps=amps)
    return ohms_per_kft / 1000 * 2 * one_way_ft * amps


def control_state(volts: float) -> ControlState:
    """Give what the volts at a coil mean: healthy 22 to 28, chatters under 20.

    Args:
        volts: at the coil, energized, 0 or more.

    Raises:
        TradeError: outside that range.

    Source: common practice, no source.
    """
    need_zero_or_more(volts=volts)
    low, high = HEALTHY_CONTROL_VOLTS
    if volts < CHATTER_VOLTS:
        return ControlState.CHATTERS
    if volts < low:
        return ControlState.LOW
    return ControlState.HEALTHY if volts <= high else ControlState.HIGH


def coil_state(kind: str, ohms: float) -> CoilState:
    """Give what a coil's ohms mean; a coil that reads OL is open and has no ohms to give.

    Args:
        kind: `fan_relay` or `contactor`.
        ohms: the coil's dc resistance, isolated, 0 or more.

    Raises:
        TradeError: for another kind, or outside that range.

    Source: common practice, no source.
    """
    need_zero_or_more(ohms=ohms)
    if kind not in COIL_OHMS:
        raise TradeError(f"'{kind}' is not a known coil.", f"Known: {', '.join(COIL_OHMS)}.")
    low, high = COIL_OHMS[kind]
    if ohms < SHORTED_COIL_OHMS:
        return CoilState.SHORTED
    if ohms < low:
        return CoilState.LOW
    return CoilState.USUAL if ohms <= high else CoilState.HIGH


def ghost_volts(
    source_volts: float, coupling_nf: float, to_ground_nf: float, meter_ohms: float, hz: float
) -> float:
    """Give what a meter shows on a floating lead beside a live one, in volts.

    Args:
        source_volts: the live lead, 0 or more.
        coupling_nf: capacitance between the two leads in nanofarads, above 0.
        to_ground_nf: capacitance of the floating lead to ground in nanofarads, 0 or more.
        meter_ohms: the meter's input, above 0: 10 megohms, or about 3 kilohms at low impedance.
        hz: line frequency, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, a capacitive divider loaded by a resistor.
    """
    need_zero_or_more(source_volts=source_volts, to_ground_nf=to_ground_nf)
    need_above_zero(coupling_nf=coupling_nf, meter_ohms=meter_ohms, hz=hz)
    radians = 2 * math.pi * hz * _NANO
    coupled = radians * coupling_nf
    leaking = math.hypot(1 / meter_ohms, coupled + radians * to_ground_nf)
    return source_volts * coupled / leaking
