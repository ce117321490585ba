"""Run capacitors: tolerance, capacitance under load, stored energy, discharge, replacement."""

import math
from collections.abc import Iterable

from assistant.trade.bounds import (
    TradeError,
    need_above_zero,
    need_within,
    need_zero_or_more,
)

DEFAULT_TOLERANCE_PERCENT = 6.0
"""Used, and said as such, where no tolerance is printed (common practice, no source)."""
LETTER_TOLERANCES_PERCENT = {"J": 5.0, "K": 10.0, "M": 20.0}
"""Tolerance letters (standard: IEC 60062 letter code, seen second-hand)."""
VOLTAGE_MARKINGS = ("370", "370/440", "440")
"""What is printed on run capacitors of the trade (common practice, no source)."""
SAFE_VOLTS = 50.0
"""A discharged capacitor shows at most this (standard: NEC 460.6, number seen second-hand)."""
SAFE_WITHIN_SECONDS = 60.0
"""The time a discharge may take (standard: NEC 460.6, number seen second-hand)."""
BLEED_TIME_CONSTANTS = 5.0
"""How long a bleed tool is held, in time constants (common practice, no source)."""
_ENERGY_THRESHOLDS = ((400.0, 0.25), (100.0, 1.0))
_MICRO = 1e-6
_MICROFARADS_TWICE = 2e6


def letter_tolerance_percent(letter: str) -> float:
    """Give the tolerance a letter code stands for, in percent to both sides.

    Args:
        letter: J, K or M, either case.

    Raises:
        TradeError: for another letter.

    Source: IEC 60062 letter code, seen second-hand (standard).
    """
    try:
        return LETTER_TOLERANCES_PERCENT[letter.strip().upper()]
    except KeyError:
        raise TradeError(
            f"'{letter}' is not a tolerance letter of a run capacitor.",
            "The letters are J (5 percent), K (10 percent) and M (20 percent).",
        ) from None


def band_min_uf(rated_uf: float, minus_percent: float = DEFAULT_TOLERANCE_PERCENT) -> float:
    """Give the least a good capacitor reads, in microfarads.

    Args:
        rated_uf: marked capacitance, above 0.
        minus_percent: marked minus tolerance, 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: the marking governs; 6 percent is usual in the trade press (handbook).
    """
    need_above_zero(rated_uf=rated_uf)
    need_within(0, 100, minus_percent=minus_percent)
    return rated_uf * (100 - minus_percent) / 100


def band_max_uf(rated_uf: float, plus_percent: float = DEFAULT_TOLERANCE_PERCENT) -> float:
    """Give the most a good capacitor reads, in microfarads.

    Args:
        rated_uf: marked capacitance, above 0.
        plus_percent: marked plus tolerance, 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: the marking governs; 6 percent is usual in the trade press (handbook).
    """
    need_above_zero(rated_uf=rated_uf)
    need_within(0, 100, plus_percent=plus_percent)
    return rated_uf * (100 + plus_percent) / 100


def deviation_percent(measured_uf: float, rated_uf: float) -> float:
    """Give how far a reading is from the rating, in percent of the rating; below is negative.

    Args:
        measured_uf: the reading, 0 or more.
        rated_uf: marked capacitance, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(measured_uf=measured_uf)
    need_above_zero(rated_uf=rated_uf)
    return (measured_uf / rated_uf - 1) * 100


def under_load_factor(hz: float) -> float:
    """Give microfarads for one amp at one volt: 2652.58 at 60 Hz, 3183.10 at 50 Hz.

    Args:
        hz: line frequency, above 0.

    Raises:
        TradeError: outside that range.

    Source: identity, 1e6 / (2 pi f).
    """
    need_above_zero(hz=hz)
    return 1 / (2 * math.pi * hz * _MICRO)


def under_load_uf(amps: float, volts: float, hz: float) -> float:
    """Give capacitance from the running circuit, in microfarads.

    Near 0.8 A a clamp's own error is about 8 percent, too coarse for a 6 percent verdict.

    Args:
        amps: current in the capacitor lead, 0 or more.
        volts: across the capacitor, above 0.
        hz: line frequency, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, C = I / (2 pi f V).
    """
    need_zero_or_more(amps=amps)
    need_above_zero(volts=volts)
    return under_load_factor(hz) * amps / volts


def current_amps(microfarads_uf: float, volts: float, hz: float) -> float:
    """Give the current a good capacitor draws, in amps.

    Args:
        microfarads_uf: its capacitance, 0 or more.
        volts: across it, 0 or more.
        hz: line frequency, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, I = 2 pi f C V.
    """
    need_zero_or_more(microfarads_uf=microfarads_uf, volts=volts)
    return microfarads_uf * volts / under_load_factor(hz)


def parallel_uf(parts_uf: Iterable[float]) -> float:
    """Give the capacitance of parts in parallel: their sum, in microfarads.

    Args:
        parts_uf: the parts, each above 0; at least one.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    return sum(_checked_parts(parts_uf))


def series_uf(parts_uf: Iterable[float]) -> float:
    """Give the capacitance of parts in series, in microfarads.

    A dual reads this between HERM and FAN: 45 and 5 give 4.5.

    Args:
        parts_uf: the parts, each above 0; at least one.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    return 1 / sum(1 / part for part in _checked_parts(parts_uf))


def peak_volts(rms_volts: float) -> float:
    """Give the most a capacitor can hold after alternating current, in volts.

    Args:
        rms_volts: the meter's ac volts, 0 or more.

    Raises:
        TradeError: outside that range.

    Source: identity, square root of 2.
    """
    need_zero_or_more(rms_volts=rms_volts)
    return math.sqrt(2) * rms_volts


def stored_energy_joules(microfarads_uf: float, held_volts: float) -> float:
    """Give the energy a capacitor holds, in joules.

    Args:
        microfarads_uf: its capacitance, 0 or more.
        held_volts: dc volts across it, 0 or more; see `peak_volts`.

    Raises:
        TradeError: outside those ranges.

    Source: identity, C V^2 / 2.
    """
    need_zero_or_more(microfarads_uf=microfarads_uf, held_volts=held_volts)
    return microfarads_uf * held_volts**2 / _MICROFARADS_TWICE


def is_energy_hazard(microfarads_uf: float, held_volts: float) -> bool:
    """Tell whether the stored energy is past a shock threshold.

    Thresholds: 1 J from 100 V, 0.25 J from 400 V.

    Args:
        microfarads_uf: its capacitance, 0 or more.
        held_volts: dc volts across it, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: NFPA 70E article 360 (standard, from memory).
    """
    joules = stored_energy_joules(microfarads_uf, held_volts)
    limits = [limit for volts, limit in _ENERGY_THRESHOLDS if held_volts >= volts]
    return bool(limits) and joules >= limits[0]


def time_constant_seconds(microfarads_uf: float, bleed_ohms: float) -> float:
    """Give the time constant R C, in seconds.

    Args:
        microfarads_uf: capacitance, 0 or more.
        bleed_ohms: the bleed tool, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(microfarads_uf=microfarads_uf)
    need_above_zero(bleed_ohms=bleed_ohms)
    return microfarads_uf * _MICRO * bleed_ohms


def bleed_seconds(microfarads_uf: float, bleed_ohms: float) -> float:
    """Give how long to hold a bleed tool, in seconds: five time constants.

    The volts are measured afterwards all the same.

    Args:
        microfarads_uf: capacitance, 0 or more.
        bleed_ohms: the bleed tool, above 0; 15 to 20 kilohms is usual.

    Raises:
        TradeError: outside those ranges.

    Source: common practice, no source.
    """
    return BLEED_TIME_CONSTANTS * time_constant_seconds(microfarads_uf, bleed_ohms)


def discharge_seconds(
    microfarads_uf: float, bleed_ohms: float, start_volts: float, end_volts: float
) -> float:
    """Give the time from one voltage down to another through a resistor, in seconds.

    Args:
        microfarads_uf: capacitance, 0 or more.
        bleed_ohms: the resistor, above 0.
        start_volts: dc volts at the start, not below `end_volts`.
        end_volts: dc volts at the end, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, t = R C ln(V0 / V1).
    """
    falls_by = _log_fall(start_volts, end_volts)
    return time_constant_seconds(microfarads_uf, bleed_ohms) * falls_by


def max_bleed_ohms(
    microfarads_uf: float,
    start_volts: float,
    end_volts: float = SAFE_VOLTS,
    seconds: float = SAFE_WITHIN_SECONDS,
) -> float:
    """Give the largest resistor that discharges in the time given, in ohms.

    Args:
        microfarads_uf: capacitance, above 0.
        start_volts: dc volts at the start, above `end_volts`.
        end_volts: dc volts at the end, above 0.
        seconds: the time allowed, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: NEC 460.6, 50 V within 1 minute (standard, number seen second-hand); identity.
    """
    need_above_zero(microfarads_uf=microfarads_uf, seconds=seconds)
    falls_by = _log_fall(start_volts, end_volts)
    if falls_by == 0:
        raise TradeError(
            f"The capacitor starts at the {end_volts:g} volts it should fall to.",
            "Give more start_volts than end_volts; at or below them any resistor will do.",
        )
    return seconds / (microfarads_uf * _MICRO * falls_by)


def is_voltage_allowed(label: str, part: str) -> bool:
    """Tell whether a part's printed volts may replace what the label asks for.

    Equal or higher: each rating on the part reaches the highest on the label. The same marking is
    always allowed. A 440 never becomes a 370, nor a 370/440.

    Args:
        label: volts on the unit's or motor's label, as `370` or `370/440`.
        part: volts on the new part, written alike.

    Raises:
        TradeError: when either is not written so.

    Source: equal or higher (handbook); the cautious reading of 370/440 is common practice, no
    source.
    """
    wanted, offered = _printed_volts(label), _printed_volts(part)
    return offered == wanted or min(offered) >= max(wanted)


def allowed_voltages(label: str) -> tuple[str, ...]:
    """Give the markings of the trade that may replace a label's: 370 -> 370, 370/440, 440.

    Args:
        label: volts on the unit's or motor's label, as `370`.

    Raises:
        TradeError: when it is not written so.

    Source: as `is_voltage_allowed`.
    """
    return tuple(part for part in VOLTAGE_MARKINGS if is_voltage_allowed(label, part))


def _checked_parts(parts_uf: Iterable[float]) -> tuple[float, ...]:
    parts = tuple(parts_uf)
    if not parts:
        raise TradeError("No capacitor was given.", "Give at least one value in microfarads.")
    for part_uf in parts:
        need_above_zero(part_uf=part_uf)
    return parts


def _log_fall(start_volts: float, end_volts: float) -> float:
    need_above_zero(start_volts=start_volts, end_volts=end_volts)
    if start_volts < end_volts:
        raise TradeError(
            f"start_volts is {start_volts:g}, below end_volts {end_volts:g}.",
            "A discharge ends at fewer volts than it starts with.",
        )
    return math.log(start_volts / end_volts)


def _printed_volts(text: str) -> tuple[float, ...]:
    parts = [part.strip() for part in text.split("/")]
    if not all(part.isascii() and part.isdigit() for part in parts):
        raise TradeError(
            f"'{text}' is not a capacitor's voltage marking.", "Write it as 370 or 370/440."
        )
    volts = tuple(float(part) for part in parts)
    for printed_volts in volts:
        need_above_zero(printed_volts=printed_volts)
    return volts
