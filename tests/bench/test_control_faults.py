"""Faults of the 24 volt control: noticed as the catalogue says, and put right once found."""

import pytest

from assistant.bench.control_system import ControlSystem
from assistant.bench.control_system_circuit import is_fuse_blown
from assistant.bench.control_system_kind import CONTROL
from assistant.bench.control_system_stand import OBSERVERS, ControlStand
from assistant.bench.faults import apply, does_fit, fault_ids, shipped_catalogue
from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import fault_cases, mark_walk
from assistant.bench.loading import open_unit, unit_names
from assistant.bench.running import Runner
from assistant.flow.library import open_flow

UNITS = unit_names("control")
FAULTS = fault_ids("control")
PAIRS = [(u, f) for u in UNITS for f in FAULTS if does_fit(open_unit(u), f)]
BLOWS_FUSE = {name for name in FAULTS if name.endswith("_shorted")} | {"fuse_blown_alone"}


def faulted(unit: str, fault: str) -> ControlSystem:
    """Give a shipped unit with a fault."""
    made = apply(open_unit(unit), fault)
    assert isinstance(made, ControlSystem)
    return made


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the shipped flow on the shipped units."""
    return lay_ground(open_flow("control-24v"))


@pytest.fixture(scope="module")
def runner(ground: Ground) -> Runner:
    """Give a runner on the shipped ground."""
    return Runner(ground)


@pytest.mark.parametrize("name", UNITS)
def test_a_sound_unit_gives_no_complaint(name: str) -> None:
    """Nothing is noticed on a unit without a fault, and each call is answered."""
    unit = open_unit(name)
    assert isinstance(unit, ControlSystem)
    assert () == ControlStand(unit).complaints()
    assert ControlStand(unit).observe("each_call") == "all_answer"
    assert ControlStand(unit, is_calling=False).observe("what_runs") == "nothing_runs"


@pytest.mark.parametrize(("unit", "fault"), PAIRS)
def test_each_fault_is_noticed_as_its_catalogue_says(unit: str, fault: str) -> None:
    """Every complaint that the catalogue gives a fault is one that the unit really has."""
    noticed = ControlStand(faulted(unit, fault)).complaints()
    assert set(shipped_catalogue().faults[fault].complaints) <= set(noticed)


@pytest.mark.parametrize(("unit", "fault"), PAIRS)
def test_a_fuse_is_blown_by_a_short_and_by_nothing_else(unit: str, fault: str) -> None:
    """Shorts blow the fuse through its own amps; no other fault does."""
    assert (fault in BLOWS_FUSE) is is_fuse_blown(faulted(unit, fault))


def test_shorts_stand_at_seven_spots() -> None:
    """Cable, coils, board, heat and safety wire: each short has a repair of its own."""
    shorts = [name for name in FAULTS if name.endswith("_shorted")]
    places = {shipped_catalogue().faults[name].group for name in shorts}
    assert len(places) >= 7


def test_every_fault_fits_a_unit_and_is_covered(ground: Ground) -> None:
    """No fault of the catalogue is out of the flow's reach."""
    assert set(FAULTS) == {fault for _, fault in PAIRS}
    assert set(FAULTS) == set(ground.flow.covers)
    assert () == ground.not_covered


def test_what_the_bench_tells_is_in_the_vocabulary(ground: Ground) -> None:
    """Each observation, in every state of every unit, gives a value of the vocabulary."""
    known = ground.flow.vocabulary.observations
    for unit, fault in PAIRS:
        for is_calling in (True, False):
            stand = ControlStand(faulted(unit, fault), is_calling=is_calling)
            for name in set(OBSERVERS) - {"complaint"}:
                assert stand.observe(name) in known[name].values
            assert set(stand.complaints()) <= set(known["complaint"].values)
    assert CONTROL.calls | CONTROL.uncalls <= set(OBSERVERS)


def test_two_faults_at_once_are_both_put_right(ground: Ground, runner: Runner) -> None:
    """Whatever hides the other: no finding is wrong and the unit is sound at the end."""
    doubles = [name for name in fault_ids("control", has_doubles=True) if "+" in name]
    cases = [case for pair in doubles for case in fault_cases(ground, [None], [pair])]
    assert len(cases) > 40
    walks = runner.run(cases)
    wrong = [w.case for w in walks if mark_walk(ground, w, 1).is_wrong or not w.is_right]
    assert [] == wrong
