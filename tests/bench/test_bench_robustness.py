"""Misheard readings: what is asked back does no harm, and what would do harm is seen."""

import pytest

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases
from assistant.bench.robustness import Misheard, Mishearing, Slip
from assistant.bench.running import Runner
from assistant.bench.technician import Technician
from assistant.bench.walking import Case, walk_case
from assistant.flow.library import flow_names, open_flow
from assistant.walk import answering
from assistant.walk.state import State
from assistant.walk.walk import Result

WEAK = [Case("t_230", "capacitor_weak", "slow"), Case("t_230", "low_volts", "slow")]


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the shipped flow on the shipped units."""
    return lay_ground(open_flow("blower-psc"))


def test_no_slip_is_believed(ground: Ground) -> None:
    """Each reading is misheard as each neighbour: all counted, most asked back, none ends wrong."""
    misheard = Runner(ground).study(WEAK).misheard
    assert misheard.tried > 50
    assert misheard.tried == misheard.asked_back + misheard.harmless
    assert misheard.asked_back > 0.9 * misheard.tried
    assert misheard.slips == ()


def test_a_walk_that_believes_everything_is_found_out(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the doubts of the walk taken out, slips are found: the measure can fail."""
    monkeypatch.setattr(answering, "flipping_neighbours", lambda *_: ())
    misheard = Runner(ground).study(WEAK).misheard
    assert misheard.slips
    slip = misheard.slips[0]
    assert slip.shown != slip.heard
    assert slip.unit == "t_230"


def test_sums_keep_each_slip_once() -> None:
    """Two counts together add up; the same slip is told once."""
    slip = Slip("t_230", "low_volts", "line_idle", "200 V", "240 V", ("capacitor_weak",))
    one, two = Misheard(3, 1, 1, (slip,)), Misheard(2, 1, 0, (slip,))
    assert Misheard(5, 2, 1, (slip,)) == one + two


@pytest.mark.parametrize("name", [name for name in flow_names() if open_flow(name).covers])
def test_no_flow_ends_wrong_by_a_misheard_number(name: str) -> None:
    """On one unit of each kind every fault's readings are misheard: none ends in a wrong finding.

    The whole figure, over all units, is printed by `rungside isolate`.
    """
    ground = lay_ground(open_flow(name))
    runner = Runner(ground)
    mishearing = Mishearing(ground, runner.walk)
    first = {unit.kind: key for key, unit in sorted(ground.units.items(), reverse=True)}
    total = [Misheard()]
    for case in fault_cases(ground, [None]):
        if case.unit not in first.values():
            continue

        def watch(state: State, who: Technician, result: Result, case: Case = case) -> None:
            total[0] += mishearing.listen(case, state, who, result)

        walk_case(runner.walk, ground.units[case.unit], case, ground.catalogue, watch)
    assert total[0].tried > 100
    assert total[0].slips == ()
