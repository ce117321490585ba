"""A walk that is sent on is right where the flow it is sent to finds the fault."""

from dataclasses import replace

import pytest

from assistant.bench.faults import HEALTHY
from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import mark_walk
from assistant.bench.matrix import Matrix
from assistant.bench.robustness import Misheard
from assistant.bench.running import Runner
from assistant.bench.walking import Case, Walked
from assistant.flow.library import open_flow

UNIT = "ducted_3t_electric_230"


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the flow that sends walks on, on its units."""
    return lay_ground(open_flow("low-airflow"))


@pytest.fixture(scope="module")
def sent(ground: Ground) -> Walked:
    """Give a walk that is sent on for a motor that runs slow."""
    return Runner(ground).run([Case(UNIT, "air_motor_slow", "weak_air")])[0]


def test_a_walk_says_where_it_was_sent(sent: Walked) -> None:
    """The walk ends as sent, names the flow, and finds nothing itself."""
    assert ("sent", "blower-psc", ()) == (sent.outcome, sent.sent_to, sent.findings)


def test_sent_to_the_flow_that_finds_it_counts_as_found(ground: Ground, sent: Walked) -> None:
    """It is detected, one repair is left, and the minutes are those of the walk."""
    mark = mark_walk(ground, sent, 1.0)
    assert ("yes", 1, sent.minutes) == (mark.word, mark.left, mark.minutes)
    assert mark.is_detected
    assert not mark.is_wrong


@pytest.mark.parametrize(
    ("fault", "flow"),
    [
        ("air_motor_slow", "capacitor"),  # it finds no slow motor
        ("air_filter_loaded", "blower-psc"),  # not a fault of another flow
        (HEALTHY, "blower-psc"),
    ],
)
def test_sent_elsewhere_is_wrong(ground: Ground, sent: Walked, fault: str, flow: str) -> None:
    """A walk that is sent to a flow that does not find what is wrong is wrong."""
    walked = replace(sent, case=replace(sent.case, fault=fault), sent_to=flow)
    mark = mark_walk(ground, walked, 1.0)
    assert "wrong" == mark.word
    assert not mark.is_detected
    assert 0 == mark.left


def test_sent_on_after_a_right_finding_is_right(ground: Ground, sent: Walked) -> None:
    """A finding that was right stays right when the walk is sent on afterwards."""
    case = replace(sent.case, fault="air_filter_loaded")
    walked = replace(sent, case=case, findings=("filter_loaded",), found_at=(3.0,))
    assert "yes" == mark_walk(ground, walked, 1.0).word


def test_a_sound_unit_sent_on_is_a_false_alarm(ground: Ground, sent: Walked) -> None:
    """Being sent on to look for a fault that is not there counts against the flow."""
    sound = replace(sent, case=replace(sent.case, fault=HEALTHY))
    clean = replace(sound, sent_to="", outcome="no_fault")
    matrix = Matrix(ground, (), (), (sound, clean), Misheard(), ())
    assert (sound,) == matrix.false_alarms


def test_what_is_sent_on_is_covered(ground: Ground) -> None:
    """Faults that another flow finds count as covered where walks are sent to it, else not."""
    assert ground.is_covered("air_motor_slow")
    assert "air_motor_slow" not in ground.flow.covers
    assert () == ground.not_covered
    capacitor = lay_ground(open_flow("capacitor"))
    assert not capacitor.is_covered("air_motor_slow")


def test_a_sent_walk_has_a_trace_for_the_optimum(ground: Ground) -> None:
    """The best order is measured over sent walks too; what is sent on wrongly has no trace."""
    runner = Runner(ground)
    traces = runner.trace([Case(UNIT, "air_motor_hums", "weak_air")])
    assert ["flow.blower-psc"] == [trace.finding for trace in traces]
