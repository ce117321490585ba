"""A compressor's three terminals without letters: which is which, and what reads between them.

Each function takes the readings between terminals 1 and 2, 1 and 3, 2 and 3.
"""

from assistant.trade.bounds import need_above_zero, need_zero_or_more
from assistant.trade.windings import CompressorTerminals, identify_compressor


def _told(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> CompressorTerminals:
    return identify_compressor(first_second_ohms, first_third_ohms, second_third_ohms)


def common_terminal(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give the number of the common terminal: the one that the highest reading leaves out.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).common


def start_terminal(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give the number of the start terminal: from common it reads more than run.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).start


def run_terminal(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give the number of the run terminal: from common it reads less than start.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).run


def common_start_ohms(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give common to start, in ohms: the middle one of three readings.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).common_start_ohms


def common_run_ohms(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give common to run, in ohms: the lowest of three readings.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).common_run_ohms


def start_run_ohms(
    first_second_ohms: float, first_third_ohms: float, second_third_ohms: float
) -> float:
    """Give start to run, in ohms: the highest of three readings.

    Args:
        first_second_ohms: terminal 1 to 2, above 0.
        first_third_ohms: terminal 1 to 3, above 0.
        second_third_ohms: terminal 2 to 3, above 0.

    Raises:
        TradeError: outside those ranges, or when two readings are equal.

    Source: as `identify_compressor`.
    """
    return _told(first_second_ohms, first_third_ohms, second_third_ohms).start_run_ohms


def shortfall_ohms(table_ohms: float, measured_ohms: float) -> float:
    """Give what a winding lacks against its maker's table, in ohms; more than it is negative.

    Under half an ohm is inside the error of meter and leads, and no evidence of shorted turns.

    Args:
        table_ohms: in the table, at the temperature of the reading, 0 or more.
        measured_ohms: the reading, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity; half an ohm is common practice, no source.
    """
    need_zero_or_more(table_ohms=table_ohms, measured_ohms=measured_ohms)
    return table_ohms - measured_ohms


def shortfall_percent(table_ohms: float, measured_ohms: float) -> float:
    """Give what a winding lacks against its maker's table, in percent of the table.

    Args:
        table_ohms: in the table, at the temperature of the reading, above 0.
        measured_ohms: the reading, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_above_zero(table_ohms=table_ohms)
    return shortfall_ohms(table_ohms, measured_ohms) / table_ohms * 100
