"""Sensible heat, and the airflow it tells: electric heat, gas heat, clocking the meter."""

from assistant.trade.air import STANDARD_FACTOR
from assistant.trade.bounds import (
    ABSOLUTE_ZERO_F,
    TradeError,
    need_above_zero,
    need_within,
    need_zero_or_more,
)

BTUH_PER_KW = 3412.141633
"""International-table Btu an hour in a kilowatt (identity)."""
_SECONDS_PER_HOUR = 3600.0


def rise_f(supply_f: float, return_f: float) -> float:
    """Give the temperature rise across the unit, in degrees Fahrenheit.

    Args:
        supply_f: supply air, out of sight of the heat, from absolute zero to 1000 F.
        return_f: return air, not above `supply_f`.

    Raises:
        TradeError: outside those ranges.

    Source: identity; measured away from radiant heat is common practice, no source.
    """
    need_within(ABSOLUTE_ZERO_F, 1000, supply_f=supply_f, return_f=return_f)
    if supply_f < return_f:
        raise TradeError(
            f"Supply air at {supply_f:g} is colder than return air at {return_f:g} degrees.",
            "On heat the supply is the warmer one: check which is which.",
        )
    return supply_f - return_f


def sensible_btuh(cfm: float, rise_f: float, factor: float = STANDARD_FACTOR) -> float:
    """Give the heat that air carries, in Btu an hour.

    Args:
        cfm: airflow, 0 or more.
        rise_f: temperature difference in degrees F, 0 or more.
        factor: Btu an hour for each cfm and degree F, above 0; 1.08 at sea level.

    Raises:
        TradeError: outside those ranges.

    Source: q = 1.08 cfm dT (handbook).
    """
    need_zero_or_more(cfm=cfm, rise_f=rise_f)
    need_above_zero(factor=factor)
    return factor * cfm * rise_f


def airflow_cfm(heat_btuh: float, rise_f: float, factor: float = STANDARD_FACTOR) -> float:
    """Give the airflow that carries a heat at a rise, in cfm.

    Args:
        heat_btuh: heat into the air, 0 or more.
        rise_f: temperature difference in degrees F, above 0.
        factor: Btu an hour for each cfm and degree F, above 0; 1.08 at sea level.

    Raises:
        TradeError: outside those ranges.

    Source: cfm = q / (1.08 dT) (handbook).
    """
    need_zero_or_more(heat_btuh=heat_btuh)
    need_above_zero(rise_f=rise_f, factor=factor)
    return heat_btuh / (factor * rise_f)


def electric_heat_cfm(kw: float, rise_f: float, factor: float = STANDARD_FACTOR) -> float:
    """Give the airflow from electric heat, in cfm.

    Args:
        kw: heat from measured volts and amps, blower included where its amps are, 0 or more.
        rise_f: temperature rise in degrees F, above 0.
        factor: Btu an hour for each cfm and degree F, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: cfm = kW x 3412.14 / (1.08 dT) (handbook).
    """
    need_zero_or_more(kw=kw)
    return airflow_cfm(kw * BTUH_PER_KW, rise_f, factor)


def electric_heat_rise_f(kw: float, cfm: float, factor: float = STANDARD_FACTOR) -> float:
    """Give the rise that electric heat makes at an airflow, in degrees Fahrenheit.

    Args:
        kw: heat, 0 or more.
        cfm: airflow, above 0.
        factor: Btu an hour for each cfm and degree F, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: as `electric_heat_cfm`.
    """
    need_zero_or_more(kw=kw)
    need_above_zero(cfm=cfm, factor=factor)
    return kw * BTUH_PER_KW / (factor * cfm)


def heater_kw(volts: float, amps: float) -> float:
    """Give the heat of single-phase resistance elements, in kilowatts.

    Args:
        volts: at the elements, 0 or more.
        amps: through them, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(volts=volts, amps=amps)
    return volts * amps / 1000


def kw_at_voltage(rated_kw: float, rated_volts: float, volts: float) -> float:
    """Give what a heater makes at other volts, in kilowatts: 10 kW at 240 is 7.51 at 208.

    Args:
        rated_kw: on the label, 0 or more.
        rated_volts: on the label, above 0.
        volts: measured, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity, V^2 / R of a fixed resistor.
    """
    need_zero_or_more(rated_kw=rated_kw, volts=volts)
    need_above_zero(rated_volts=rated_volts)
    return rated_kw * (volts / rated_volts) ** 2


def gas_heat_cfm(
    input_btuh: float, efficiency: float, rise_f: float, factor: float = STANDARD_FACTOR
) -> float:
    """Give the airflow from gas heat, in cfm.

    Args:
        input_btuh: gas input, 0 or more; on the rating plate or by `gas_input_btuh`.
        efficiency: share of the input that reaches the air, 0 to 1.
        rise_f: temperature rise in degrees F, above 0.
        factor: Btu an hour for each cfm and degree F, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: cfm = input x efficiency / (1.08 dT) (handbook).
    """
    need_zero_or_more(input_btuh=input_btuh)
    need_within(0, 1, efficiency=efficiency)
    return airflow_cfm(input_btuh * efficiency, rise_f, factor)


def gas_input_btuh(seconds: float, btu_per_ft3: float, dial_ft3: float = 1.0) -> float:
    """Give the gas input from clocking the meter, in Btu an hour.

    Args:
        seconds: one turn of the dial with only this appliance burning, above 0.
        btu_per_ft3: heating value from the utility, above 0.
        dial_ft3: cubic feet of one turn: 0.5, 1 or 2; above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_above_zero(seconds=seconds, btu_per_ft3=btu_per_ft3, dial_ft3=dial_ft3)
    return _SECONDS_PER_HOUR / seconds * dial_ft3 * btu_per_ft3
