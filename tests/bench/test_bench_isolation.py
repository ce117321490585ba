"""A flow finds what it says it finds: walks judged against what was wrong, to fixed thresholds."""

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.bench.errors import BenchError
from assistant.bench.faults import HEALTHY
from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import (
    ambiguity_groups,
    complaints_of,
    fault_cases,
    figures,
    healthy_cases,
    mark_walk,
    weight_of,
)
from assistant.bench.matrix import as_record, lines, measure
from assistant.bench.robustness import Misheard
from assistant.bench.running import PIECE, Runner, Share, _hands, run_all
from assistant.bench.walking import STUCK, Case, Walked
from assistant.flow.library import open_flow

DATA = Path(__file__).parent / "data"
UNSEEN = (DATA / "unseen_l_277.yaml", DATA / "unseen_t_120.yaml")
FAULTS = DATA / "unseen_faults.yaml"


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the shipped flow on the shipped units."""
    return lay_ground(open_flow("blower-psc"))


@pytest.fixture(scope="module")
def runner(ground: Ground) -> Runner:
    """Give a runner on the shipped ground."""
    return Runner(ground)


def _walked(case: Case, *findings: str, outcome: str = "found") -> Walked:
    at = tuple(float(10 * place) for place in range(1, len(findings) + 1))
    return Walked(case, findings, at, outcome, ("gas",), 50.0, 60, 3, is_right=True)


WEAK = Case("t_115", "capacitor_weak", "slow")


@pytest.mark.parametrize(
    ("findings", "word", "left", "minutes"),
    [
        (("capacitor_weak",), "yes", 1, 10),
        (("capacitor_open",), "yes", 1, 10),  # another name, the same repair
        (("capacitor_terminal_burnt",), "of 2", 2, 10),
        (("unexplained",), "seen", 0, 50),
        (("trips_again", "capacitor_weak"), "yes", 1, 20),
        (("filter_loaded",), "wrong", 0, 50),
        (("capacitor_weak", "filter_loaded"), "wrong", 1, 10),
        ((), "no", 0, 50),
    ],
)
def test_marks(
    ground: Ground, findings: tuple[str, ...], word: str, left: int, minutes: float
) -> None:
    """A finding counts by the repairs it leaves; one that belongs to nothing wrong is wrong."""
    mark = mark_walk(ground, _walked(WEAK, *findings), 1.0)
    assert (word, left, minutes) == (mark.word, mark.left, mark.minutes)
    assert bool(findings) == mark.is_detected


def test_a_stuck_walk_says_so(ground: Ground) -> None:
    """A walk that could not be answered is neither found nor missed."""
    assert mark_walk(ground, _walked(WEAK, outcome=STUCK), 1.0).word == STUCK


def test_figures_are_weighted(ground: Ground) -> None:
    """A fault that is met eight times as often counts eight times as much."""
    often = mark_walk(ground, _walked(WEAK, "capacitor_weak"), 8.0)
    rare = mark_walk(ground, _walked(Case("t_115", "rotor_bars", "slow"), "filter_loaded"), 1.0)
    found = figures([often, rare])
    assert found.isolated_to_one == pytest.approx(8 / 9, abs=1e-6)
    assert found.wrong == pytest.approx(1 / 9, abs=1e-6)
    assert found.expected_minutes == pytest.approx((8 * 10 + 50) / 9, abs=1e-6)
    assert (50.0, 2) == (found.worst_minutes, found.walks)


def test_what_a_finding_cannot_tell_apart(ground: Ground) -> None:
    """Faults in one finding that need other work are a group; those with the same work are not."""
    lead = Case("t_115", "capacitor_lead_off", "hums")
    bulged = Case("t_115", "capacitor_bulged", "slow")
    both = [_walked(case, "capacitor_terminal_burnt") for case in (lead, bulged)]
    same = [_walked(WEAK, "capacitor_open"), _walked(bulged, "capacitor_open")]
    groups = ambiguity_groups(ground, [mark_walk(ground, one, 1.0) for one in (*both, *same)])
    assert (("capacitor_bulged", "capacitor_lead_off"),) == groups


def test_weights_are_shared_by_complaints(ground: Ground) -> None:
    """All walks of a fault together weigh what the fault weighs."""
    cases = [c for c in fault_cases(ground, [0, 1]) if c.unit == "t_115"]
    for fault in ("capacitor_weak", "filter_loaded", "rotor_bars"):
        mine = [weight_of(ground, case, 2) for case in cases if case.fault == fault]
        assert len(mine) == 2 * len(complaints_of(ground, fault))
        assert sum(mine) == pytest.approx(ground.catalogue.weight(fault))


@pytest.mark.parametrize("unit", ["l_230", "one_tap_208"])
def test_every_fault_by_every_complaint(ground: Ground, runner: Runner, unit: str) -> None:
    """With exact meters: each covered fault is found, to one repair, nothing else with it."""
    cases = [case for case in fault_cases(ground, [None]) if case.unit == unit]
    found = figures(
        [mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in runner.run(cases)]
    )
    assert found.detected >= 0.98
    assert found.isolated_to_one >= 0.95
    assert found.isolated_to_two == 1
    assert found.wrong == 0


def test_with_noise(ground: Ground, runner: Runner) -> None:
    """Within the meters' own error the same holds, and under one in a hundred is wrong."""
    cases = [c for c in fault_cases(ground, [11]) if c.unit == "midpoint_115"]
    marks = [mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in runner.run(cases)]
    found = figures(marks)
    assert found.detected >= 0.98
    assert found.isolated_to_one >= 0.95
    assert found.wrong < 0.01


def test_sound_units_give_no_finding(ground: Ground, runner: Runner) -> None:
    """Whatever the customer says of a sound unit, and says again, nothing is found."""
    cases = list(healthy_cases(ground, range(99, 117, 2)))
    assert len({case.complaint for case in cases}) == len(ground.flow.complaints)
    assert {True, False} == {case.is_insistent for case in cases}
    walks = runner.run(cases)
    assert [] == [(walk.case, walk.findings) for walk in walks if walk.findings]
    assert {"no_fault"} == {walk.outcome for walk in walks}


def test_the_unit_runs_again_at_the_end(ground: Ground, runner: Runner) -> None:
    """Where nobody licensed must take over, the walk ends with the fault repaired."""
    cases = [case for case in fault_cases(ground, [None]) if case.unit == "t_115"]
    left = [walk for walk in runner.run(cases) if not walk.is_right]
    assert {"leg_open"} == {walk.case.fault for walk in left}
    assert {"stopped"} == {walk.outcome for walk in left}


def test_pairs_of_faults(ground: Ground, runner: Runner) -> None:
    """Of two faults at once at least one is found, none is invented, both are repaired or said."""
    doubles = ground.catalogue.doubles
    pairs = ["+".join(pair) for pair in doubles if set(pair) <= set(ground.flow.covers)]
    cases = [Case("t_230", pair, complaints_of(ground, pair)[0]) for pair in pairs]
    marks = [mark_walk(ground, walk, 1.0) for walk in runner.run(cases)]
    assert [] == [mark.walked.case.fault for mark in marks if mark.is_wrong]
    assert [] == [mark.walked.case.fault for mark in marks if not mark.left]
    assert len([mark for mark in marks if mark.walked.is_right]) >= 0.8 * len(marks)


def test_unseen_units_and_faults(tmp_path: Path) -> None:
    """Files with other taps, volts, windings and faults are walked like the shipped ones."""
    del tmp_path
    ground = lay_ground(open_flow("blower-psc"), [*UNSEEN, FAULTS])
    assert {"unseen_l_277", "unseen_t_120"} == set(ground.units)
    assert ("hidden_vibration",) == ground.not_covered
    matrix = measure(ground, healthy_seeds=9, workers=1)
    assert matrix.false_alarms == ()
    assert matrix.misheard.slips == ()
    found = figures((*matrix.exact, *matrix.noisy))
    assert (1, 1, 0) == (found.detected, found.isolated_to_one, found.wrong)
    text = "\n".join(lines(matrix))
    assert "not covered by this flow: hidden_vibration" in text
    assert ["hidden_vibration"] == json.loads(json.dumps(as_record(matrix)))["not_covered"]


def test_shipped_faults_on_an_unseen_unit() -> None:
    """On a unit that no one has seen the thresholds hold too."""
    ground = lay_ground(open_flow("blower-psc"), [UNSEEN[1]])
    walks = Runner(ground).run(list(fault_cases(ground, [None])))
    found = figures([mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in walks])
    assert found.detected >= 0.98
    assert found.isolated_to_one >= 0.95
    assert found.wrong == 0


def test_a_fault_the_flow_does_not_cover(ground: Ground) -> None:
    """A fault without cover is no part of the figures; a shipped one counts by its name only."""
    small = lay_ground(open_flow("blower-psc"), [FAULTS])
    assert small.is_covered("capacitor_half")
    assert not small.is_covered("hidden_vibration")
    assert "hidden_vibration" not in {case.fault for case in fault_cases(small, [None])}
    assert ground.not_covered == ()


def test_a_file_that_is_neither(tmp_path: Path) -> None:
    """What is no unit and no fault file is one sentence with its place."""
    file = tmp_path / "other.yaml"
    file.write_text("unit: x\ntitle: y\n", "utf-8")
    with pytest.raises(BenchError, match=r"other\.yaml:1:1"):
        lay_ground(open_flow("blower-psc"), [file])
    with pytest.raises(BenchError, match="no such file"):
        lay_ground(open_flow("blower-psc"), [tmp_path / "none.yaml"])


def test_all_cores_give_what_one_gives(ground: Ground) -> None:
    """Spawned workers return the same walks in the same order, and progress is told to the end."""
    exact = [c for c in fault_cases(ground, [None], ["filter_loaded"]) if c.unit == "t_115"]
    noisy = list(healthy_cases(ground, range(7)))
    assert len(noisy) > PIECE
    told: list[tuple[int, int]] = []
    one = run_all(ground, exact, noisy, workers=1)
    two = run_all(ground, exact, noisy, workers=2, step=lambda *at: told.append(at))
    assert one == two
    assert [case.fault for case in noisy] == [HEALTHY] * len(noisy)
    assert [(1, 3), (2, 3), (3, 3)] == told


def test_a_worker_that_dies_is_one_sentence(ground: Ground) -> None:
    """A worker ended from outside is told, not waited for."""
    with pytest.raises(BenchError, match="ended from outside"), _hands(ground, 2) as hands:
        list(hands(os._exit, [1]))


def test_nothing_to_walk_is_no_figure(ground: Ground) -> None:
    """A flow that covers none of the given faults gets an empty record, not a division by zero."""
    other = Ground(ground.flow, ground.units, (), ground.catalogue)
    matrix = measure(other, healthy_seeds=1, workers=1)
    record = as_record(matrix)
    assert record["without_noise"] is None
    assert matrix.misheard == Misheard()
    assert record["gap"] is None


def test_a_complaint_without_a_best_order_is_null_not_infinite(ground: Ground) -> None:
    """What no order of the tests tells apart has no least: null in JSON, and outside the gap."""
    good = Share("u", "hums", 1.0, 9.0, 8.0)
    none = Share("u", "dead", 1.0, 9.0, float("inf"))
    matrix = measure(Ground(ground.flow, ground.units, (), ground.catalogue), workers=1)
    mixed = replace(matrix, shares=(good, none))
    assert (9.0, 8.0) == mixed.minutes
    record = as_record(mixed)
    assert json.loads(json.dumps(record, allow_nan=False))["optimum"][1]["least"] is None
    assert as_record(replace(matrix, shares=(none,)))["gap"] is None
