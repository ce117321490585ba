"""The flow of the 24 volt control: its limits are the trade's, and its order keeps hands safe."""

from decimal import Decimal

import pytest

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases
from assistant.bench.running import Runner
from assistant.bench.walking import Walked
from assistant.flow.judging import AtLeast, AtMost, NotZero, RuleModel, Within
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.model import (
    DoStep,
    JudgedStep,
    MeasureStep,
    QuantityKind,
    SpokenStep,
    WorkOutStep,
)
from assistant.trade.control import (
    CHATTER_VOLTS,
    CLASS_2_MAX_VA,
    CLASS_2_MAX_VOLTS,
    COIL_OHMS,
    HEALTHY_CONTROL_VOLTS,
    SHORTED_COIL_OHMS,
    transformer_amps,
)

CIRCUITS = ("y_ohms", "r_ohms", "g_ohms", "w_ohms")
PARTS = (
    *("contactor_coil_short", "outdoor_ohms", "cable_ohms", "safety_ohms", "board_ohms"),
    *("fan_coil_short", "call_wire_ohms", "board_call_ohms"),
)
SWITCHES = ("float_switch_open", "pan_full", "pressure_switch_open", "limit_open", "door_open")


@pytest.fixture(scope="module")
def flow() -> Flow:
    """Give the flow."""
    return open_flow("control-24v")


@pytest.fixture(scope="module")
def walks() -> tuple[Walked, ...]:
    """Walk every covered fault on every shipped unit with exact meters."""
    ground: Ground = lay_ground(open_flow("control-24v"))
    return Runner(ground).run(list(fault_cases(ground, [None])))


def rules(flow: Flow, step: str) -> tuple[RuleModel, ...]:
    """Give the rules of a step."""
    found = flow.steps[step]
    assert isinstance(found, JudgedStep)
    return found.judge


def limit(flow: Flow, step: str, kind: type[AtLeast | AtMost | NotZero]) -> Decimal:
    """Give the limit of a step's rule of one kind."""
    [rule] = [one for one in rules(flow, step) if isinstance(one, kind)]
    assert isinstance(rule.limit, Decimal)
    return rule.limit


def band(flow: Flow, step: str) -> tuple[float, float]:
    """Give the two limits of a step's one rule."""
    [rule] = rules(flow, step)
    assert isinstance(rule, Within)
    return float(rule.low), float(rule.high)


@pytest.mark.parametrize(
    "step", ["control_volts", "r_loaded", "fan_coil_volts", "contactor_coil_volts", "g_volts"]
)
def test_under_twenty_volts_a_coil_chatters(flow: Flow, step: str) -> None:
    """Source: common practice, no source (TRADE, section 3)."""
    assert float(limit(flow, step, AtLeast)) == CHATTER_VOLTS


def test_the_proof_asks_for_healthy_volts(flow: Flow) -> None:
    """22 to 28 at the coil under load (common practice, no source)."""
    assert band(flow, "proof_volts") == HEALTHY_CONTROL_VOLTS
    proof = flow.steps["proof_volts"]
    assert isinstance(proof, MeasureStep)
    assert (proof.from_, proof.to) == ("contactor_coil_1", "contactor_coil_2")


@pytest.mark.parametrize("step", PARTS)
def test_under_two_ohms_a_part_is_shorted(flow: Flow, step: str) -> None:
    """Source: under 2 ohm suspect is common practice, no source."""
    assert float(limit(flow, step, NotZero)) == SHORTED_COIL_OHMS


@pytest.mark.parametrize(
    ("step", "coil"), [("fan_coil_ohms", "fan_relay"), ("contactor_coil_ohms", "contactor")]
)
def test_coils_are_held_to_their_usual_ohms(flow: Flow, step: str, coil: str) -> None:
    """Fan relay 10-60, contactor 8-30 ohm (common practice, no source)."""
    assert band(flow, step) == COIL_OHMS[coil]


@pytest.mark.parametrize(("step", "coil"), [("g_ohms", "fan_relay"), ("y_ohms", "contactor")])
def test_no_usual_coil_is_taken_for_a_short(flow: Flow, step: str, coil: str) -> None:
    """What sends a circuit to its parts lies between a short and the least usual coil."""
    assert SHORTED_COIL_OHMS < limit(flow, step, AtLeast) <= COIL_OHMS[coil][0]


def test_a_new_transformer_stays_class_two(flow: Flow) -> None:
    """At most 100 VA and 30 V (NEC chapter 9 table 11(A), seen second-hand), not smaller."""
    assert float(limit(flow, "new_va", AtMost)) == CLASS_2_MAX_VA
    assert float(limit(flow, "secondary_idle", AtMost)) == CLASS_2_MAX_VOLTS
    [rule] = [one for one in rules(flow, "new_va") if isinstance(one, AtLeast)]
    assert rule.limit == "transformer_va"


def test_the_rated_amps_are_volt_amps_over_twenty_four(flow: Flow) -> None:
    """40 VA is 1.67 A (TRADE, identity)."""
    step = flow.steps["rated_amps"]
    assert isinstance(step, WorkOutStep)
    volts = step.given["volts"]
    assert isinstance(volts, Decimal)
    assert transformer_amps(40, float(volts)) == pytest.approx(1.67, abs=0.005)


def test_a_fuse_is_what_the_board_prints_and_never_over_five(flow: Flow) -> None:
    """Board fuse 3 or 5 A (common practice, no source): the same amps, never a bigger one."""
    equal, most = rules(flow, "new_fuse_amps")
    assert equal.model_dump()["rating"] == "board_fuse_amps"
    assert equal.model_dump()["kind"] == "equal"
    assert isinstance(most, AtMost)
    assert most.limit == 5
    for rule in (equal, most):
        assert rule.target("high") == "wrong_fuse"


def test_every_circuit_is_measured_before_a_new_fuse(walks: tuple[Walked, ...]) -> None:
    """Whatever was found first: Y, R, G and W are each measured before a fuse goes in."""
    with_fuse = [walk for walk in walks if "new_fuse_amps" in walk.steps]
    assert len(with_fuse) > 20
    for walk in with_fuse:
        before = walk.steps[: walk.steps.index("new_fuse_amps")]
        assert set(CIRCUITS) <= set(before)
        assert "fuse_back" in walk.steps[len(before) :]


def test_no_fuse_is_asked_for_where_none_was_blown(walks: tuple[Walked, ...]) -> None:
    """A fault that blew no fuse is walked without one."""
    for walk in walks:
        is_blown = "shorted" in walk.case.fault or walk.case.fault == "fuse_blown_alone"
        is_licensed = "gas_side_shorted" in walk.findings
        assert ("new_fuse_amps" in walk.steps) is (is_blown and not is_licensed)


def test_a_jumper_comes_off_at_once(flow: Flow, walks: tuple[Walked, ...]) -> None:
    """The jumper has its caution, and the next step is the hold point that takes it off."""
    jumper, off = flow.steps["jumper"], flow.steps["jumper_off"]
    assert isinstance(jumper, SpokenStep)
    assert isinstance(off, DoStep)
    assert off.hold
    assert "jumper_test" in jumper.cautions
    assert {"jumper_off"} == {target for _, target in jumper.exits()}
    used = [walk for walk in walks if "jumper" in walk.steps]
    assert used
    for walk in used:
        assert walk.steps[walk.steps.index("jumper") + 1] == "jumper_off"


@pytest.mark.parametrize("finding", SWITCHES)
def test_no_safety_is_ever_bridged(flow: Flow, finding: str) -> None:
    """The repair of an open safety says that it is not bridged, and looks for the cause."""
    words = flow.findings[finding].repair
    assert "never bridged" in words or "never taped or bridged" in words


@pytest.mark.parametrize("finding", ["gas_side", "gas_side_shorted"])
def test_the_gas_side_ends_the_walk(flow: Flow, walks: tuple[Walked, ...], finding: str) -> None:
    """Beyond the 24 volt call a gas valve is licensed work: found, and nothing more is done."""
    assert flow.findings[finding].licensed
    ended = [walk for walk in walks if finding in walk.findings]
    assert ended
    for walk in ended:
        assert walk.outcome == "stopped"
        assert walk.findings[-1] == finding
        assert "fix" not in walk.steps


def test_nothing_is_probed_at_a_gas_valve(flow: Flow) -> None:
    """The heat circuit is read at W and at the limit, nowhere beyond."""
    allowed = {"control_w", "control_c", "limit_in", "limit_out"}
    for name in ("w_volts", "limit_volts", "limit_idle", "w_ohms"):
        step = flow.steps[name]
        assert isinstance(step, MeasureStep)
        assert {step.from_, step.to} <= allowed
    places = {s.from_ for s in flow.steps.values() if isinstance(s, MeasureStep)}
    assert "heat_lead" not in places


def test_ohms_are_read_only_after_the_unit_was_proven_dead(walks: tuple[Walked, ...]) -> None:
    """In every walk the proof of dead stands before the first ohms and after the last live one."""
    flow = open_flow("control-24v")
    for walk in walks:
        is_dead = False
        for name in walk.steps:
            step = flow.steps[name]
            is_dead = (is_dead or name.endswith("/proven_dead")) and not name.endswith("/power_on")
            if isinstance(step, MeasureStep) and step.quantity is QuantityKind.RESISTANCE:
                assert is_dead
            if name == "live_ready":
                assert not is_dead


def test_every_walk_ends_closed_locked_or_handed_to_a_licensed_person(
    walks: tuple[Walked, ...],
) -> None:
    """No walk leaves a unit open or live without saying so."""
    for walk in walks:
        last = walk.steps[-1]
        is_left = last in {"close/lock_off", "leave/stays_locked"}
        assert is_left or walk.outcome == "stopped"
