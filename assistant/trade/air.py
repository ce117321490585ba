"""Air: density by temperature and altitude, and what a cubic foot a minute carries."""

import math

from assistant.trade.bounds import need_above_zero, need_within

STANDARD_DENSITY = 0.075
"""Pounds a cubic foot at sea level (ASHRAE standard air, handbook)."""
STANDARD_FACTOR = 1.08
"""Btu an hour for each cfm and degree F: 60 x 0.075 x 0.24 (handbook)."""
DRY_AIR_HEAT = 0.24
"""Btu a pound and degree F (ASHRAE, handbook)."""
VAPOR_HEAT = 0.444
"""Btu a pound and degree F of water vapor (ASHRAE, handbook)."""
_SEA_LEVEL_PSI = 14.696
_LAPSE_PER_FT = 6.8754e-6
_LAPSE_EXPONENT = 5.2559
_GAS_CONSTANT = 53.350
_SQUARE_INCHES = 144.0
_RANKINE = 459.67


def pressure_ratio(altitude_ft: float) -> float:
    """Give barometric pressure, and at one temperature density, as a share of sea level's.

    .964 .913 .832 .757 .688 at 1000, 2500, 5000, 7500, 10000 ft.

    Args:
        altitude_ft: -1500 to 35 000.

    Raises:
        TradeError: outside that range.

    Source: ASHRAE Fundamentals, psychrometrics, standard atmosphere (handbook).
    """
    need_within(-1500, 35_000, altitude_ft=altitude_ft)
    return math.pow(1 - _LAPSE_PER_FT * altitude_ft, _LAPSE_EXPONENT)


def dry_density(temp_f: float, altitude_ft: float = 0.0) -> float:
    """Give the density of dry air, in pounds a cubic foot.

    Args:
        temp_f: -100 to 400 F.
        altitude_ft: -1500 to 35 000.

    Raises:
        TradeError: outside those ranges.

    Source: ASHRAE Fundamentals, ideal gas with R = 53.350 ft lbf/(lb R) (handbook).
    """
    need_within(-100, 400, temp_f=temp_f)
    pounds_a_square_foot = _SQUARE_INCHES * _SEA_LEVEL_PSI * pressure_ratio(altitude_ft)
    return pounds_a_square_foot / (_GAS_CONSTANT * (temp_f + _RANKINE))


def sensible_factor(density: float = STANDARD_DENSITY, heat: float = DRY_AIR_HEAT) -> float:
    """Give the Btu an hour that one cfm carries for each degree F: 1.08 for standard air.

    Args:
        density: pounds a cubic foot, 0.01 to 0.2.
        heat: Btu a pound and degree F, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, 60 x density x specific heat.
    """
    need_within(0.01, 0.2, density=density)
    need_above_zero(heat=heat)
    return 60 * density * heat


def sensible_factor_at(temp_f: float, altitude_ft: float) -> float:
    """Give the sensible factor at a temperature and altitude; 0.897 at 70 F and 5000 ft.

    Args:
        temp_f: air at the blower, -100 to 400 F.
        altitude_ft: -1500 to 35 000.

    Raises:
        TradeError: outside those ranges.

    Source: as `dry_density` and `sensible_factor`.
    """
    return sensible_factor(dry_density(temp_f, altitude_ft))


def moist_factor(humidity_ratio: float, density: float = STANDARD_DENSITY) -> float:
    """Give the sensible factor of moist air; 1.10 at 0.01.

    Args:
        humidity_ratio: pounds of vapor a pound of dry air, 0 to 0.1.
        density: pounds of dry air a cubic foot, 0.01 to 0.2.

    Raises:
        TradeError: outside those ranges.

    Source: ASHRAE Fundamentals, 0.24 + 0.444 W (handbook).
    """
    need_within(0, 0.1, humidity_ratio=humidity_ratio)
    return sensible_factor(density, DRY_AIR_HEAT + VAPOR_HEAT * humidity_ratio)
