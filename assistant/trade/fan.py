"""The fan laws, velocity from velocity pressure, and air power."""

import math

from assistant.trade.air import STANDARD_DENSITY
from assistant.trade.bounds import need_above_zero, need_within, need_zero_or_more

_VELOCITY_FACTOR = 1096.7
_CFM_INWC_PER_HP = 6356.0


def airflow_at_rpm_cfm(cfm: float, rpm: float, new_rpm: float) -> float:
    """Give the airflow at another speed of the same fan on the same ducts, in cfm.

    Args:
        cfm: airflow at `rpm`, 0 or more.
        rpm: speed, above 0.
        new_rpm: the other speed, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: fan laws, cfm ~ N (handbook).
    """
    need_zero_or_more(cfm=cfm)
    return cfm * _speed_ratio(rpm, new_rpm)


def pressure_at_rpm_inwc(static_inwc: float, rpm: float, new_rpm: float) -> float:
    """Give the static pressure at another speed, in inches of water.

    Args:
        static_inwc: static pressure at `rpm`, 0 or more.
        rpm: speed, above 0.
        new_rpm: the other speed, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: fan laws, SP ~ N^2 (handbook).
    """
    need_zero_or_more(static_inwc=static_inwc)
    return static_inwc * math.pow(_speed_ratio(rpm, new_rpm), 2)


def power_at_rpm_hp(brake_hp: float, rpm: float, new_rpm: float) -> float:
    """Give the shaft power at another speed, in horsepower.

    Args:
        brake_hp: shaft power at `rpm`, 0 or more.
        rpm: speed, above 0.
        new_rpm: the other speed, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: fan laws, bhp ~ N^3 (handbook).
    """
    need_zero_or_more(brake_hp=brake_hp)
    return brake_hp * math.pow(_speed_ratio(rpm, new_rpm), 3)


def rpm_for_airflow(cfm: float, rpm: float, new_cfm: float) -> float:
    """Give the speed that another airflow needs, in rpm.

    Args:
        cfm: airflow at `rpm`, above 0.
        rpm: speed, above 0.
        new_cfm: the airflow wanted, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: fan laws, cfm ~ N (handbook).
    """
    need_above_zero(cfm=cfm, rpm=rpm)
    need_zero_or_more(new_cfm=new_cfm)
    return rpm * new_cfm / cfm


def velocity_fpm(velocity_pressure_inwc: float, density: float = STANDARD_DENSITY) -> float:
    """Give the air's speed from its velocity pressure, in feet a minute.

    Args:
        velocity_pressure_inwc: 0 or more.
        density: pounds a cubic foot, 0.01 to 0.2.

    Raises:
        TradeError: outside those ranges.

    Source: V = 1096.7 sqrt(VP / density), 4005 sqrt(VP) in standard air (handbook).
    """
    need_zero_or_more(velocity_pressure_inwc=velocity_pressure_inwc)
    need_within(0.01, 0.2, density=density)
    return _VELOCITY_FACTOR * math.sqrt(velocity_pressure_inwc / density)


def velocity_pressure_inwc(velocity_fpm: float, density: float = STANDARD_DENSITY) -> float:
    """Give the velocity pressure of moving air, in inches of water.

    Args:
        velocity_fpm: feet a minute, 0 or more.
        density: pounds a cubic foot, 0.01 to 0.2.

    Raises:
        TradeError: outside those ranges.

    Source: as the function `velocity_fpm`.
    """
    need_zero_or_more(velocity_fpm=velocity_fpm)
    need_within(0.01, 0.2, density=density)
    return density * (velocity_fpm / _VELOCITY_FACTOR) ** 2


def air_power_hp(cfm: float, total_inwc: float) -> float:
    """Give the power in the air, in horsepower.

    Args:
        cfm: airflow, 0 or more.
        total_inwc: pressure the fan adds, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: cfm x in. w.c. / 6356 (handbook).
    """
    need_zero_or_more(cfm=cfm, total_inwc=total_inwc)
    return cfm * total_inwc / _CFM_INWC_PER_HP


def _speed_ratio(rpm: float, new_rpm: float) -> float:
    need_above_zero(rpm=rpm)
    need_zero_or_more(new_rpm=new_rpm)
    return new_rpm / rpm
