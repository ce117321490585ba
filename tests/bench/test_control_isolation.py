"""The flow of the 24 volt control finds what it says it finds, to the blower's measure."""

from pathlib import Path

import pytest

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import (
    ambiguity_groups,
    fault_cases,
    figures,
    healthy_cases,
    mark_walk,
    weight_of,
)
from assistant.bench.matrix import Matrix, measure
from assistant.bench.running import Runner
from assistant.flow.library import open_flow

UNSEEN = Path(__file__).parent / "data" / "control" / "unseen_277.yaml"


@pytest.fixture(scope="module")
def matrix() -> Matrix:
    """Give the flow measured on the shipped units."""
    return measure(lay_ground(open_flow("control-24v")), healthy_seeds=16, workers=1)


def test_every_fault_is_isolated_to_one_repair(matrix: Matrix) -> None:
    """Exact and noisy meters: all detected, all to one repair, none wrong."""
    for marks in (matrix.exact, matrix.noisy):
        found = figures(marks)
        assert (1, 1, 0) == (found.detected, found.isolated_to_one, found.wrong)


def test_sound_units_give_no_finding(matrix: Matrix) -> None:
    """Each complaint on a sound unit, with a customer who insists and one who does not."""
    assert () == matrix.false_alarms
    assert {"no_fault"} == {walked.outcome for walked in matrix.healthy}
    assert len(matrix.healthy) == 16 * len(matrix.ground.units)


def test_the_way_is_near_the_best(matrix: Matrix) -> None:
    """Expected minutes are at most a tenth above the best order of the flow's own tests."""
    assert matrix.gap is not None
    assert 0 <= matrix.gap <= 0.10


def test_nothing_misheard_ends_wrong(matrix: Matrix) -> None:
    """A number heard as another one is asked back or changes nothing."""
    assert () == matrix.misheard.slips
    assert matrix.misheard.tried > 1000


def test_no_two_faults_end_in_one_finding_of_two_repairs(matrix: Matrix) -> None:
    """The flow declares nothing as not told apart, and nothing is."""
    assert () == ambiguity_groups(matrix.ground, [*matrix.exact, *matrix.noisy])
    assert () == matrix.ground.flow.ambiguous


@pytest.fixture(scope="module")
def unseen() -> Ground:
    """Give the flow on a unit that it was not written on."""
    return lay_ground(open_flow("control-24v"), [UNSEEN])


def test_a_unit_that_was_not_seen_is_walked_as_well(unseen: Ground) -> None:
    """Another line, cooling only, other coils: the same figures hold there."""
    runner = Runner(unseen)
    cases = list(fault_cases(unseen, [None, 0, 1]))
    marks = [mark_walk(unseen, w, weight_of(unseen, w.case, 3)) for w in runner.run(cases)]
    found = figures(marks)
    assert (1, 1, 0) == (found.detected, found.isolated_to_one, found.wrong)
    alarms = [w.case for w in runner.run(list(healthy_cases(unseen, range(16)))) if w.findings]
    assert [] == alarms
