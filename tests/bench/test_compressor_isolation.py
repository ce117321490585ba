"""The compressor's flow finds what it covers: walks judged against what was wrong."""

import pytest

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases, healthy_cases, mark_walk
from assistant.bench.running import Runner
from assistant.bench.walking import Walked
from assistant.flow.library import open_flow


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the flow on the shipped compressors."""
    return lay_ground(open_flow("compressor-windings"))


@pytest.fixture(scope="module")
def walks(ground: Ground) -> tuple[Walked, ...]:
    """Give each covered fault on each unit, by each complaint, exact and with noise."""
    return Runner(ground).run(list(fault_cases(ground, [None, 7])))


def test_it_covers_its_whole_catalogue(ground: Ground) -> None:
    """Nothing that is described for a compressor is left out."""
    assert ground.not_covered == ()
    assert {unit.kind for unit in ground.units.values()} == {"compressor"}


def test_every_fault_is_found_and_put_down_to_one_repair(
    ground: Ground, walks: tuple[Walked, ...]
) -> None:
    """Each walk ends in the right repair and names no wrong one."""
    marks = [(walked.case, mark_walk(ground, walked, 1).word) for walked in walks]
    assert [] == [mark for mark in marks if mark[1] != "yes"]


def test_no_walk_with_noise_goes_round(walks: tuple[Walked, ...]) -> None:
    """Waiting for a shell to cool is the longest; nobody waits twice."""
    assert max(walked.minutes for walked in walks) < 300


def test_sound_compressors_are_left_in_peace(ground: Ground) -> None:
    """No finding where nothing is wrong, whatever the customer insists on."""
    walks = Runner(ground).run(list(healthy_cases(ground, range(8))))
    assert [] == [walked.case for walked in walks if walked.findings]
    assert {"no_fault"} == {walked.outcome for walked in walks}


def test_the_pair_behind_a_tripped_overload_is_found_too(ground: Ground) -> None:
    """What overheated it is found besides the overload, and the walk ends with it running."""
    pairs = [f"comp_overload_tripped+{other}" for other in ("comp_cap_weak", "comp_coil_dirty")]
    for walked in Runner(ground).run(list(fault_cases(ground, [None], pairs))):
        assert set(walked.findings) & {"capacitor_weak", "outdoor_coil_dirty"}
        assert mark_walk(ground, walked, 1).is_wrong is False


def test_sealed_work_ends_locked_out_and_never_in_a_repair(
    ground: Ground, walks: tuple[Walked, ...]
) -> None:
    """After a licensed finding no repair is asked for and the last words leave it locked."""
    licensed = {name for name, one in ground.flow.findings.items() if one.licensed}
    ended = [walked for walked in walks if set(walked.findings) & licensed]
    assert ended
    for walked in ended:
        assert walked.outcome == "found"
        assert walked.steps[-1] == "leave/stays_locked"
