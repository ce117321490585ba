"""Windings: temperature by resistance, insulation, sums of taps, terminals of a compressor."""

import math
from dataclasses import dataclass
from enum import StrEnum

from assistant.trade.bounds import (
    ABSOLUTE_ZERO_C,
    TradeError,
    need_above_zero,
    need_within,
    need_zero_or_more,
)

COPPER_K = 235.0
"""IEC 60034-1, clause 8.6.2 from memory (standard); UL texts print 234.5."""
ALUMINIUM_K = 225.0
"""IEC 60034-1, clause 8.6.2 from memory (standard)."""
REFERENCE_C = 25.0
"""Nameplate and data-sheet ohms are given at this temperature (common practice, no source)."""
HOTTEST_C = 500.0
"""No winding survives this; a higher result means a wrong reading."""
METER_PERCENT = 0.9
METER_COUNTS = 2
_REFERENCE_INSULATION_C = 40.0
_KELVIN_AT_ZERO_C = 273.0
_THERMOSET_SLOPE_WARM = 4230.0
_THERMOSET_SLOPE_COOL = 1245.0
_HALVING_STEP_C = 10.0


class InsulationBand(StrEnum):
    """What insulation megohms mean on a fractional motor (common practice, no source)."""

    GOOD = "good"
    WATCH = "watch"
    DRY_AND_RETEST = "dry_and_retest"
    REJECT = "reject"


INSULATION_BANDS = (
    (100.0, InsulationBand.GOOD),
    (5.0, InsulationBand.WATCH),
    (1.0, InsulationBand.DRY_AND_RETEST),
)
"""Least megohms of each band, at 500 V dc; below all of them: reject."""


def resistance_at_temperature_ohms(
    ohms: float, temp_c: float, to_temp_c: float, k: float = COPPER_K
) -> float:
    """Give what a winding reads at another temperature, in ohms.

    Args:
        ohms: the reading, 0 or more.
        temp_c: winding temperature at the reading, 1 - k to 500 C.
        to_temp_c: the other temperature, same range.
        k: 235 copper, 225 aluminium.

    Raises:
        TradeError: outside those ranges.

    Source: IEC 60034-1 clause 8.6.2, R2/R1 = (k + T2)/(k + T1) (standard, clause from memory).
    """
    need_zero_or_more(ohms=ohms)
    _need_winding_temperatures(k, temp_c=temp_c, to_temp_c=to_temp_c)
    return ohms * (k + to_temp_c) / (k + temp_c)


def temperature_by_resistance_c(
    cold_ohms: float, cold_temp_c: float, hot_ohms: float, k: float = COPPER_K
) -> float:
    """Give a winding's temperature from its cold and hot resistance, in degrees Celsius.

    Args:
        cold_ohms: resistance at `cold_temp_c`, above 0.
        cold_temp_c: temperature of the cold winding, 1 - k to 500 C.
        hot_ohms: resistance now, above 0.
        k: 235 copper, 225 aluminium.

    Raises:
        TradeError: outside those ranges, or when the result is above 500 C.

    Source: IEC 60034-1, resistance method (standard).
    """
    need_above_zero(cold_ohms=cold_ohms, hot_ohms=hot_ohms)
    _need_winding_temperatures(k, cold_temp_c=cold_temp_c)
    temp_c = hot_ohms / cold_ohms * (k + cold_temp_c) - k
    if temp_c > HOTTEST_C:
        raise TradeError(
            f"{hot_ohms:g} against {cold_ohms:g} ohms would be a winding at {temp_c:.0f} C.",
            "Take both readings again, on the same two leads.",
        )
    return temp_c


def rise_by_resistance_kelvin(
    cold_ohms: float,
    cold_temp_c: float,
    hot_ohms: float,
    ambient_c: float,
    k: float = COPPER_K,
) -> float:
    """Give a winding's rise above the air around it, in kelvin.

    Args:
        cold_ohms: resistance at `cold_temp_c`, above 0.
        cold_temp_c: temperature of the cold winding, 1 - k to 500 C.
        hot_ohms: resistance now, above 0.
        ambient_c: air temperature at the hot reading, -273.15 to 500 C.
        k: 235 copper, 225 aluminium.

    Raises:
        TradeError: outside those ranges.

    Source: IEC 60034-1, resistance method (standard).
    """
    need_within(ABSOLUTE_ZERO_C, HOTTEST_C, ambient_c=ambient_c)
    return temperature_by_resistance_c(cold_ohms, cold_temp_c, hot_ohms, k) - ambient_c


def insulation_at_40c_halving_megohms(megohms: float, temp_c: float) -> float:
    """Give insulation resistance corrected to 40 C by the halving rule, in megohms.

    Args:
        megohms: the reading, 0 or more.
        temp_c: winding temperature, -40 to 155 C.

    Raises:
        TradeError: outside those ranges.

    Source: IEEE 43, halves for each 10 C (standard, from memory).
    """
    need_zero_or_more(megohms=megohms)
    need_within(-40, 155, temp_c=temp_c)
    return megohms * math.pow(0.5, (_REFERENCE_INSULATION_C - temp_c) / _HALVING_STEP_C)


def insulation_at_40c_thermoset_megohms(megohms: float, temp_c: float) -> float:
    """Give insulation resistance of a thermosetting system corrected to 40 C, in megohms.

    Args:
        megohms: the reading, 0 or more.
        temp_c: winding temperature, 10 to 85 C.

    Raises:
        TradeError: outside those ranges.

    Source: IEEE 43-2013, K_T for thermosetting insulation (standard, from memory).
    """
    need_zero_or_more(megohms=megohms)
    need_within(10, 85, temp_c=temp_c)
    is_warm = temp_c > _REFERENCE_INSULATION_C
    slope = _THERMOSET_SLOPE_WARM if is_warm else _THERMOSET_SLOPE_COOL
    inverse = 1 / (temp_c + _KELVIN_AT_ZERO_C)
    reference = 1 / (_REFERENCE_INSULATION_C + _KELVIN_AT_ZERO_C)
    return megohms * math.exp(-slope * (inverse - reference))


def insulation_band(megohms: float) -> InsulationBand:
    """Give what a reading of an insulation tester at 500 V dc means.

    Never for a compressor in vacuum, an electronic motor or through a board.

    Args:
        megohms: the reading, 0 or more.

    Raises:
        TradeError: outside that range.

    Source: common practice, no source; IEEE 43 starts at 1 hp and asks 5 megohms (from memory).
    """
    need_zero_or_more(megohms=megohms)
    for least, band in INSULATION_BANDS:
        if megohms >= least:
            return band
    return InsulationBand.REJECT


def tap_difference_ohms(first_ohms: float, second_ohms: float) -> float:
    """Give what should read between two taps, in ohms: the difference of both to common.

    Args:
        first_ohms: common to one tap, 0 or more.
        second_ohms: common to the other tap, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity (series winding).
    """
    need_zero_or_more(first_ohms=first_ohms, second_ohms=second_ohms)
    return abs(first_ohms - second_ohms)


def joined_ohms(first_ohms: float, second_ohms: float) -> float:
    """Give what should read across two windings in a row, in ohms.

    Common to capacitor lead = common to high + high to capacitor lead, where the start winding
    leaves from the high tap; start to run = common to start + common to run on a compressor.

    Args:
        first_ohms: the first part, 0 or more.
        second_ohms: the second part, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity (series winding).
    """
    need_zero_or_more(first_ohms=first_ohms, second_ohms=second_ohms)
    return first_ohms + second_ohms


def sum_error_ohms(whole_ohms: float, first_ohms: float, second_ohms: float) -> float:
    """Give how much a reading differs from the sum of its two parts, in ohms.

    Args:
        whole_ohms: the reading across both, 0 or more.
        first_ohms: the first part, 0 or more.
        second_ohms: the second part, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(whole_ohms=whole_ohms)
    return whole_ohms - joined_ohms(first_ohms, second_ohms)


def shorted_turns_ohms(healthy_ohms: float, shorted_percent: float) -> float:
    """Give what a winding reads with part of its turns shorted, in ohms.

    Ten percent of 2.2 ohms is 0.22 ohm, inside meter and lead error: watts and amps show it.

    Args:
        healthy_ohms: the healthy winding, 0 or more.
        shorted_percent: share of the turns that is shorted, 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(healthy_ohms=healthy_ohms)
    need_within(0, 100, shorted_percent=shorted_percent)
    return healthy_ohms * (100 - shorted_percent) / 100


def meter_error_ohms(ohms: float, count_ohms: float, lead_ohms: float = 0.0) -> float:
    """Give how far a low-ohms reading may be off to either side, in ohms.

    Args:
        ohms: the reading, 0 or more.
        count_ohms: one count of the last digit, 0 or more.
        lead_ohms: what the leads add where they were not zeroed, 0 or more; 0.1 to 0.4 is usual.

    Raises:
        TradeError: outside those ranges.

    Source: 0.9 percent and 2 counts, common practice, no source.
    """
    need_zero_or_more(ohms=ohms, count_ohms=count_ohms, lead_ohms=lead_ohms)
    return ohms * METER_PERCENT / 100 + METER_COUNTS * count_ohms + lead_ohms


@dataclass(frozen=True, slots=True)
class CompressorTerminals:
    """Which of three unlabelled terminals is which, and what reads between them.

    Args:
        common: number of the common terminal: 1, 2 or 3.
        start: number of the start terminal.
        run: number of the run terminal.
        common_start_ohms: common to start, the middle reading.
        common_run_ohms: common to run, the lowest reading.
        start_run_ohms: start to run, the highest reading.
    """

    common: int
    start: int
    run: int
    common_start_ohms: float
    common_run_ohms: float
    start_run_ohms: float

    @property
    def sum_error_ohms(self) -> float:
        """Start to run less the other two; about zero where the three readings are right."""
        return sum_error_ohms(self.start_run_ohms, self.common_start_ohms, self.common_run_ohms)


def identify_compressor(ohms_12: float, ohms_13: float, ohms_23: float) -> CompressorTerminals:
    """Tell common, start and run from the three readings between terminals 1, 2 and 3.

    The highest is start to run, so the terminal it leaves out is common; from common, start reads
    more than run.

    Args:
        ohms_12: terminal 1 to 2, above 0.
        ohms_13: terminal 1 to 3, above 0.
        ohms_23: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: series rule R-S = C-R + C-S (identity); C-S above C-R (handbook).
    """
    need_above_zero(ohms_12=ohms_12, ohms_13=ohms_13, ohms_23=ohms_23)
    left_out = {3: ohms_12, 2: ohms_13, 1: ohms_23}
    run_start, common_start, common_run = sorted(left_out.values(), reverse=True)
    if common_start in {run_start, common_run}:
        raise TradeError(
            f"Two of {ohms_12:g}, {ohms_13:g} and {ohms_23:g} ohms are equal.",
            "Zero the leads and read again on a lower range: the three must differ.",
        )
    common, run, start = sorted(left_out, key=left_out.__getitem__, reverse=True)
    return CompressorTerminals(common, start, run, common_start, common_run, run_start)


def _need_winding_temperatures(k: float, **temperatures: float) -> None:
    need_within(200, 300, k=k)
    # At -k the line through the readings reaches zero ohms: no sense at or below it.
    need_within(1 - k, HOTTEST_C, **temperatures)
