"""Supply and speed: windows, limits, drop, poles, slip, power."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import supply
from assistant.trade.bounds import TradeError

POLES = st.sampled_from([2, 4, 6, 8, 10])
MAINS_HZ = st.sampled_from([50.0, 60.0])


@pytest.mark.parametrize(
    ("lower", "upper", "window"),
    [
        (115, None, (103.5, 126.5)),
        (208, 230, (187.2, 253.0)),
        (230, 230, (207.0, 253.0)),
        (460, None, (414.0, 506.0)),
    ],
)
def test_voltage_window_of_a_label(
    lower: float, upper: float | None, window: tuple[float, float]
) -> None:
    """Plus and minus 10 percent (NEMA MG 1-12.44); a dual label spans both of its ratings."""
    assert pytest.approx(window) == supply.window_volts(lower, upper)


def test_a_label_lists_its_lower_volts_first() -> None:
    """230-208 is refused rather than judged by a narrow window."""
    with pytest.raises(TradeError, match="below its lower"):
        supply.window_volts(230, 208)


def test_service_limits_lie_inside_a_motors_window() -> None:
    """A 115 V motor's window holds all of service range A on 120 V (ANSI C84.1)."""
    low, high = supply.window_volts(115)
    assert low < supply.c84_limit_volts("service_A_min")
    assert supply.c84_limit_volts("service_A_max") < high


def test_an_unknown_limit_is_refused_with_the_known_ones() -> None:
    """A misspelt limit names those there are."""
    with pytest.raises(TradeError) as caught:
        supply.c84_limit_volts("service_C_min")
    assert "service_B_min" in caught.value.hint


@given(st.floats(100, 500), st.floats(0, 50))
def test_drop_is_the_share_that_is_missing(volts: float, percent: float) -> None:
    """Taking a percentage off gives that percentage back."""
    loaded = volts * (100 - percent) / 100
    assert pytest.approx(percent, abs=1e-6) == supply.drop_percent(volts, loaded)


@given(POLES, MAINS_HZ, st.floats(0.5, 15))
def test_poles_are_found_from_any_usual_slip(poles: int, hz: float, slip: float) -> None:
    """A nameplate speed up to 15 percent below the field tells the poles, and the slip back."""
    rpm = supply.synchronous_rpm(poles, hz) * (100 - slip) / 100
    assert poles == supply.poles_at_rpm(rpm, hz)
    assert pytest.approx(slip, abs=1e-6) == supply.slip_percent(poles, hz, rpm)


@pytest.mark.parametrize("rpm", [3600, 4000, 200])
def test_a_speed_no_induction_motor_has_tells_no_poles(rpm: float) -> None:
    """At or above the two-pole field, and far below any, no poles are guessed."""
    with pytest.raises(TradeError, match="No induction motor"):
        supply.poles_at_rpm(rpm, 60)


@pytest.mark.parametrize("poles", [0, -4, 3, 26, 2.5, float("nan"), float("inf")])
def test_poles_come_in_pairs(poles: float) -> None:
    """Odd, absent, broken or too many poles are refused."""
    with pytest.raises(TradeError, match="poles"):
        supply.synchronous_rpm(poles, 60)


def test_standstill_is_full_slip_and_the_field_none() -> None:
    """Slip is 100 at rest, 0 with the field, negative above it."""
    assert supply.slip_percent(6, 60, 0) == 100
    assert supply.slip_percent(6, 60, 1200) == 0
    assert supply.slip_percent(6, 60, 1260) == pytest.approx(-5)


@given(st.floats(0.05, 5), st.floats(100, 460), st.floats(30, 95), st.floats(0.3, 1))
def test_motor_amps_carry_the_shaft_power(
    hp: float, volts: float, efficiency: float, factor: float
) -> None:
    """Volts times amps times power factor times efficiency is the shaft power again."""
    amps = supply.motor_amps(hp, volts, efficiency, factor)
    watts = supply.apparent_power_va(volts, amps) * factor
    assert pytest.approx(hp * supply.WATTS_PER_HP) == watts * efficiency / 100
    assert pytest.approx(factor) == supply.power_factor(watts, volts, amps)


@pytest.mark.parametrize(("watts", "is_possible"), [(1000, True), (1050, True), (1051, False)])
def test_power_factor_past_one_is_a_wrong_reading(watts: float, is_possible: bool) -> None:
    """Up to 1.05 is the meters' error; more is refused."""
    if is_possible:
        assert watts / 1000 == supply.power_factor(watts, 100, 10)
    else:
        with pytest.raises(TradeError, match="more than"):
            supply.power_factor(watts, 100, 10)


@given(st.floats(0.1, 50), st.floats(0.01, 10))
def test_a_joint_is_found_from_its_drop(amps: float, ohms: float) -> None:
    """Volts across a joint over amps is its resistance, and their product its heat."""
    volts = amps * ohms
    assert pytest.approx(ohms) == supply.joint_ohms(volts, amps)
    assert pytest.approx(volts * amps) == supply.wire_loss_watts(amps, ohms)


def test_full_load_is_a_hundred_percent() -> None:
    """Load counts from the amps on the label."""
    assert supply.load_percent(5.6, 5.6) == 100
    assert pytest.approx(50) == supply.load_percent(2.8, 5.6)
