"""Supply and speed: voltage windows, drop, synchronous speed, slip, torque, power factor, amps."""

import math

from assistant.trade.bounds import TradeError, need_above_zero, need_within, need_zero_or_more

MOTOR_TOLERANCE_PERCENT = 10.0
"""NEMA MG 1-12.44, at rated frequency, at the motor leads, running (standard)."""
DROP_LIMIT_PERCENT = 3.0
"""More drop than this under load: look for a joint (NEC 210.19 note, from memory)."""
WATTS_PER_HP = 745.6998715822702
"""550 foot pounds a second (identity)."""
C84_BASE_VOLTS = 120.0
C84_LIMITS_VOLTS = {
    "service_A_min": 114.0,
    "service_A_max": 126.0,
    "service_B_min": 110.0,
    "service_B_max": 127.0,
    "utilization_A_min": 108.0,
    "utilization_A_max": 126.0,
    "utilization_B_min": 104.0,
    "utilization_B_max": 127.0,
}
"""ANSI C84.1 on a 120 V base (standard, seen second-hand; utilization A from memory)."""
_MOST_POLES = 24
_POWER_FACTOR_ALLOWANCE = 1.05


def window_min_volts(
    rated_volts: float, tolerance_percent: float = MOTOR_TOLERANCE_PERCENT
) -> float:
    """Give the fewest volts a motor may run on, in volts.

    Args:
        rated_volts: volts on the label, above 0; the lower one of a dual label (208 of 208-230).
        tolerance_percent: 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: NEMA MG 1-12.44 (standard).
    """
    need_above_zero(rated_volts=rated_volts)
    need_within(0, 100, tolerance_percent=tolerance_percent)
    return rated_volts * (100 - tolerance_percent) / 100


def window_max_volts(
    rated_volts: float, tolerance_percent: float = MOTOR_TOLERANCE_PERCENT
) -> float:
    """Give the most volts a motor may run on, in volts.

    Args:
        rated_volts: volts on the label, above 0; the upper one of a dual label (230 of 208-230).
        tolerance_percent: 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: NEMA MG 1-12.44 (standard).
    """
    need_above_zero(rated_volts=rated_volts)
    need_within(0, 100, tolerance_percent=tolerance_percent)
    return rated_volts * (100 + tolerance_percent) / 100


def window_volts(
    lower_rated_volts: float,
    upper_rated_volts: float | None = None,
    tolerance_percent: float = MOTOR_TOLERANCE_PERCENT,
) -> tuple[float, float]:
    """Give the fewest and the most volts a motor may run on; 208-230 gives 187.2 and 253.

    Args:
        lower_rated_volts: the label's volts, or its lower ones, above 0.
        upper_rated_volts: its upper ones where it has two, not below the lower.
        tolerance_percent: 0 to 100.

    Raises:
        TradeError: outside those ranges.

    Source: NEMA MG 1-12.44 (standard); the dual label as low less 10, high plus 10 percent is
    common practice, no source.
    """
    upper = lower_rated_volts if upper_rated_volts is None else upper_rated_volts
    if upper < lower_rated_volts:
        raise TradeError(
            f"The label's upper {upper:g} volts are below its lower {lower_rated_volts:g}.",
            "Give the lower rating first, as 208 and 230.",
        )
    return (
        window_min_volts(lower_rated_volts, tolerance_percent),
        window_max_volts(upper, tolerance_percent),
    )


def c84_limit_volts(limit: str, base_volts: float = C84_BASE_VOLTS) -> float:
    """Give a limit of the utility's service or of the voltage at the equipment, in volts.

    Args:
        limit: `service_A_min` and the other keys of `C84_LIMITS_VOLTS`.
        base_volts: nominal volts, above 0; 240 gives 228-252 and 220-254.

    Raises:
        TradeError: for another limit or base.

    Source: ANSI C84.1 (standard, seen second-hand).
    """
    need_above_zero(base_volts=base_volts)
    if limit not in C84_LIMITS_VOLTS:
        raise TradeError(
            f"'{limit}' is not a voltage limit.", f"It is one of {', '.join(C84_LIMITS_VOLTS)}."
        )
    return C84_LIMITS_VOLTS[limit] * base_volts / C84_BASE_VOLTS


def drop_percent(no_load_volts: float, loaded_volts: float) -> float:
    """Give the drop when the load comes on, in percent of the volts before.

    Args:
        no_load_volts: before, above 0.
        loaded_volts: at the same place with the load running, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity; 3 percent is the limit of an NEC 210.19 note (from memory).
    """
    need_above_zero(no_load_volts=no_load_volts)
    need_zero_or_more(loaded_volts=loaded_volts)
    return (no_load_volts - loaded_volts) / no_load_volts * 100


def joint_ohms(drop_volts: float, amps: float) -> float:
    """Give the resistance of a joint from the volts across it, in ohms.

    Args:
        drop_volts: across the joint under load, 0 or more.
        amps: through it, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(drop_volts=drop_volts)
    need_above_zero(amps=amps)
    return drop_volts / amps


def wire_loss_watts(amps: float, ohms: float) -> float:
    """Give the heat in a wire or joint, in watts.

    Args:
        amps: through it, 0 or more.
        ohms: its resistance, 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity, I^2 R.
    """
    need_zero_or_more(amps=amps, ohms=ohms)
    return amps**2 * ohms


def synchronous_rpm(poles: float, hz: float) -> float:
    """Give the speed of the field, in rpm: 1800, 1200, 900 for 4, 6, 8 poles at 60 Hz.

    Args:
        poles: 2 to 24, even.
        hz: line frequency, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, 120 f / p.
    """
    need_above_zero(hz=hz)
    if not (0 < poles <= _MOST_POLES and poles % 2 == 0):
        raise TradeError(f"A motor has no {poles:g} poles.", "Give an even number, 2 to 24.")
    return 120 * hz / poles


def poles_at_rpm(rpm: float, hz: float) -> int:
    """Give the poles of an induction motor from its nameplate speed.

    The speed of the field is the next one above the nameplate's: 1075 rpm is a six-pole motor.

    Args:
        rpm: nameplate speed on the high tap, above 0 and below the two-pole field's.
        hz: line frequency, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, an induction motor runs below its field.
    """
    need_above_zero(rpm=rpm, hz=hz)
    poles = 2 * (math.ceil(60 * hz / rpm) - 1)
    if not 0 < poles <= _MOST_POLES:
        raise TradeError(
            f"No induction motor runs at {rpm:g} rpm on {hz:g} hertz.",
            "Give the nameplate speed on the high tap, as 1075.",
        )
    return poles


def slip_percent(poles: float, hz: float, rpm: float) -> float:
    """Give the slip, in percent of the field's speed.

    Args:
        poles: 2 to 24, even.
        hz: line frequency, above 0.
        rpm: shaft speed, 0 or more; above the field's speed the slip is negative.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(rpm=rpm)
    field_rpm = synchronous_rpm(poles, hz)
    return (field_rpm - rpm) / field_rpm * 100


def shaft_torque_nm(hp: float, rpm: float) -> float:
    """Give the torque at the shaft, in newton metres.

    Args:
        hp: shaft power, 0 or more.
        rpm: shaft speed, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity, 1 hp = 745.70 W.
    """
    need_zero_or_more(hp=hp)
    need_above_zero(rpm=rpm)
    return hp * WATTS_PER_HP / (2 * math.pi * rpm / 60)


def torque_at_voltage_percent(volts: float, rated_volts: float) -> float:
    """Give the torque left at another voltage, in percent: it goes with the square.

    Args:
        volts: at the motor leads, 0 or more.
        rated_volts: volts on the label, above 0.

    Raises:
        TradeError: outside those ranges.

    Source: identity of an induction motor at the same slip, iron not saturated.
    """
    need_zero_or_more(volts=volts)
    need_above_zero(rated_volts=rated_volts)
    return (volts / rated_volts) ** 2 * 100


def apparent_power_va(volts: float, amps: float) -> float:
    """Give the apparent power, in volt amps.

    Args:
        volts: 0 or more.
        amps: 0 or more.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(volts=volts, amps=amps)
    return volts * amps


def power_factor(watts: float, volts: float, amps: float) -> float:
    """Give the power factor, 0 to 1 (to 1.05, for the meter's own error).

    Args:
        watts: real power, 0 or more.
        volts: above 0.
        amps: above 0.

    Raises:
        TradeError: outside those ranges, or when the watts exceed the volt amps.

    Source: identity.
    """
    need_zero_or_more(watts=watts)
    need_above_zero(volts=volts, amps=amps)
    factor = watts / apparent_power_va(volts, amps)
    if factor > _POWER_FACTOR_ALLOWANCE:
        raise TradeError(
            f"{watts:g} watts are more than {volts:g} volts times {amps:g} amps.",
            "Take the three readings on the same circuit at the same time.",
        )
    return factor


def motor_amps(hp: float, volts: float, efficiency_percent: float, power_factor: float) -> float:
    """Give what a single-phase motor draws at a shaft load, in amps.

    Args:
        hp: shaft power, 0 or more.
        volts: at its leads, above 0.
        efficiency_percent: above 0, to 100.
        power_factor: above 0, to 1.

    Raises:
        TradeError: outside those ranges.

    Source: identity.
    """
    need_zero_or_more(hp=hp)
    need_above_zero(volts=volts, efficiency_percent=efficiency_percent, power_factor=power_factor)
    need_within(0, 100, efficiency_percent=efficiency_percent)
    need_within(0, 1, power_factor=power_factor)
    return hp * WATTS_PER_HP / (volts * efficiency_percent / 100 * power_factor)


def load_percent(amps: float, full_load_amps: float) -> float:
    """Give the amps as a share of the full-load amps, in percent.

    Args:
        amps: running, 0 or more.
        full_load_amps: on the label, above 0; service-factor amps for an air-over motor.

    Raises:
        TradeError: outside those ranges.

    Source: identity; at most full-load amps is common practice, no source.
    """
    need_zero_or_more(amps=amps)
    need_above_zero(full_load_amps=full_load_amps)
    return amps / full_load_amps * 100
