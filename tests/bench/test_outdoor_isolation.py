"""The walks of condenser fan and capacitor find what they say, to the measure of the blower."""

from pathlib import Path

import pytest
from outdoor_units import NAMES

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.isolation import (
    ambiguity_groups,
    fault_cases,
    figures,
    healthy_cases,
    mark_walk,
    weight_of,
)
from assistant.bench.running import Runner, shares
from assistant.bench.walking import Case
from assistant.flow.library import open_flow

FLOWS = ("condenser-fan", "capacitor")
NOISE = 7
"""A seed that no figure of this project was made with."""
UNSEEN = Path(__file__).parent / "data" / "outdoor"
UNITS = (UNSEEN / "unseen_30_7_230.yaml", UNSEEN / "unseen_singles_208.yaml")
FAULTS = (UNSEEN / "unseen_faults.yaml",)


@pytest.fixture(scope="module", params=FLOWS)
def ground(request: pytest.FixtureRequest) -> Ground:
    """Give each flow on the shipped units."""
    return lay_ground(open_flow(request.param))


def test_units_of_the_right_kinds(ground: Ground) -> None:
    """Outdoor units for both; the capacitor's walk fits blowers too."""
    assert set(NAMES) <= set(ground.units)
    has_blowers = any(unit.kind == "blower" for unit in ground.units.values())
    assert has_blowers == (ground.flow.id == "capacitor")


@pytest.mark.parametrize("seed", [None, NOISE])
def test_every_fault_is_isolated_to_one_repair(ground: Ground, seed: int | None) -> None:
    """Exact and noisy meters: all detected, all to one repair, none wrong, all sound at the end."""
    cases = list(fault_cases(ground, [seed]))
    walked = Runner(ground).run(cases)
    marks = [mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in walked]
    found = figures(marks)
    assert (1, 1, 0) == (found.detected, found.isolated_to_one, found.wrong)
    assert [] == [one.case for one in walked if not one.is_right and one.outcome != "stopped"]
    assert () == ambiguity_groups(ground, marks)


def test_sound_units_give_no_finding(ground: Ground) -> None:
    """Each complaint on a sound unit, with a customer who insists and one who does not."""
    cases = [c for c in healthy_cases(ground, range(NOISE, NOISE + 18)) if c.unit in NAMES]
    walked = Runner(ground).run(cases)
    assert [] == [one.case for one in walked if one.findings]
    assert {"no_fault"} == {one.outcome for one in walked}


def test_the_way_is_near_the_best(ground: Ground) -> None:
    """On one unit, expected minutes are at most a tenth above the best order of the tests."""
    unit = "outdoor_singles_230"
    cases = [case for case in fault_cases(ground, [None]) if case.unit == unit]
    found = list(shares(ground, Runner(ground).trace(cases)))
    flow = sum(share.weight * share.minutes for share in found)
    least = sum(share.weight * share.least for share in found)
    assert 1 <= flow / least <= 1.10


@pytest.mark.parametrize(
    "files", [UNITS, FAULTS, (*UNITS, *FAULTS)], ids=["units", "faults", "both"]
)
@pytest.mark.parametrize("name", FLOWS)
def test_what_does_not_ship_is_found_too(name: str, files: tuple[Path, ...]) -> None:
    """Other units, other sizes of faults and other broken leads end in the right repair."""
    ground = lay_ground(open_flow(name), files)
    walked = Runner(ground).run(list(fault_cases(ground, [NOISE])))
    marks = [mark_walk(ground, one, weight_of(ground, one.case, 1)) for one in walked]
    found = figures(marks)
    assert (1, 1, 0) == (found.detected, found.isolated_to_one, found.wrong)


PAIRS = {
    ("fan_cap_weak+condenser_dirty", "cuts_out"): ("condenser_dirty", "capacitor_weak"),
    ("fan_cap_open+fan_bearings_seized", "hums"): ("capacitor_open", "bearings_seized"),
    ("outdoor_contacts_burnt+fan_cap_weak", "dead"): ("contacts_burnt", "capacitor_weak"),
    ("outdoor_joint+fan_cap_weak", "slow"): ("joint_high_resistance", "capacitor_weak"),
    ("fan_overload_tripped+fan_cap_weak", "fan_dead"): ("overload_tripped", "capacitor_weak"),
    ("fan_overload_tripped+condenser_dirty", "cuts_out"): ("condenser_dirty",),
    ("herm_cap_open+fan_start_open", "hums"): ("herm_open", "start_open"),
}
"""What is found of two faults at once; a motor that has cooled meanwhile is none any more."""


@pytest.mark.parametrize(("pair", "complaint"), PAIRS)
def test_two_faults_are_found_one_behind_the_other(pair: str, complaint: str) -> None:
    """The second fault is found once the first is repaired, and the unit is right at the end."""
    ground = lay_ground(open_flow("condenser-fan"))
    (walked,) = Runner(ground).run([Case("outdoor_45_5_230", pair, complaint)])
    assert PAIRS[pair, complaint] == walked.findings
    assert walked.is_right
    assert "found" == walked.outcome
