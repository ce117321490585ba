"""The control circuit: fuse, coils, volts at a coil, ghost volts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import control
from assistant.trade.bounds import TradeError
from assistant.trade.control import CoilState, ControlState


@pytest.mark.parametrize(
    ("volts", "state"),
    [
        (0, ControlState.CHATTERS),
        (19.9, ControlState.CHATTERS),
        (20, ControlState.LOW),
        (21.9, ControlState.LOW),
        (22, ControlState.HEALTHY),
        (28, ControlState.HEALTHY),
        (28.1, ControlState.HIGH),
    ],
)
def test_volts_at_a_coil_at_their_limits(volts: float, state: ControlState) -> None:
    """Healthy 22 to 28, chatters under 20 (common practice, no source)."""
    assert state is control.control_state(volts)


@pytest.mark.parametrize(
    ("kind", "ohms", "state"),
    [
        ("fan_relay", 1.99, CoilState.SHORTED),
        ("fan_relay", 2, CoilState.LOW),
        ("fan_relay", 9.9, CoilState.LOW),
        ("fan_relay", 10, CoilState.USUAL),
        ("fan_relay", 60, CoilState.USUAL),
        ("fan_relay", 60.1, CoilState.HIGH),
        ("contactor", 8, CoilState.USUAL),
        ("contactor", 7.9, CoilState.LOW),
        ("contactor", 30, CoilState.USUAL),
        ("contactor", 30.1, CoilState.HIGH),
    ],
)
def test_coil_ohms_at_their_limits(kind: str, ohms: float, state: CoilState) -> None:
    """Relay 10 to 60, contactor 8 to 30, under 2 suspect (common practice, no source)."""
    assert state is control.coil_state(kind, ohms)


def test_an_unknown_coil_is_refused() -> None:
    """No band is guessed for another coil."""
    with pytest.raises(TradeError, match="not a known coil"):
        control.coil_state("gas_valve", 100)


@pytest.mark.parametrize("volts", [0, -24, 30.01, 120])
def test_a_class_2_circuit_has_at_most_30_volts(volts: float) -> None:
    """Outside class 2 there is no class 2 fuse (NEC chapter 9 table 11(A), from memory)."""
    with pytest.raises(TradeError):
        control.class2_fuse_amps(volts)


@given(st.floats(20.01, 30))
def test_a_class_2_fuse_passes_at_most_100_volt_amps(volts: float) -> None:
    """Fuse amps times volts stay at 100 VA (NEC chapter 9 table 11(A))."""
    assert pytest.approx(100) == control.class2_fuse_amps(volts) * volts


@given(st.floats(0.1, 10), st.floats(0, 10), st.floats(50, 480))
def test_ghost_volts_never_exceed_their_source(
    coupling_nf: float, to_ground_nf: float, volts: float
) -> None:
    """A floating lead shows less than the lead it is beside."""
    assert control.ghost_volts(volts, coupling_nf, to_ground_nf, 1e7, 60) < volts


@given(st.floats(0.1, 10), st.floats(0, 10))
def test_a_low_impedance_meter_shows_less_ghost(coupling_nf: float, to_ground_nf: float) -> None:
    """The lower the meter's input, the less of a ghost is left."""
    shown = [control.ghost_volts(120, coupling_nf, to_ground_nf, r, 60) for r in (1e7, 1e5, 3e3)]
    assert shown == sorted(shown, reverse=True)


def test_an_ideal_meter_sees_the_bare_divider() -> None:
    """Without load, the share is coupling over all capacitance (identity)."""
    shown = control.ghost_volts(120, 1.5, 0.5, 1e12, 60)
    assert math.isclose(90, shown, rel_tol=1e-6)
