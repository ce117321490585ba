"""The bench answers turns from the places their steps name, in words like a person's."""

from pathlib import Path

import pytest
from blower_units import as_blower, open_blower

from assistant.bench.errors import BenchError
from assistant.bench.faults import HEALTHY, shipped_catalogue
from assistant.bench.rig import Rig
from assistant.bench.technician import BenchEars, Technician
from assistant.bench.walking import Case, make_technician, walk_case
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.quantity import OverLimit, format_for_eye
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk

FOREIGN = """
flow: foreign
title: A flow that no one wrote for the bench
edition: "1"
covers: [capacitor_weak]
complaints: [slow]
start: {start}
steps:
  rating:
    kind: ask
    as: {rating}
    unit: horsepower
    plausible: [0.1, 5]
    say: Horsepower?
    again: Horsepower?
    help: On the label.
    why: It is compared.
    next: end
  seen:
    kind: observe
    about: shaft
    say: How does it turn?
    again: How does it turn?
    help: Turn it.
    why: It may be stuck.
    choices: {{turns_free: {{}}, drags: {{}}, stuck: {{}}}}
    next: end
"""


@pytest.fixture(scope="module")
def flow() -> Flow:
    """Give the shipped flow."""
    return open_flow("blower-psc")


def _technician(flow: Flow, unit: str, fault: str = HEALTHY, seed: int | None = None) -> Technician:
    case = Case(unit, fault, "slow", seed)
    return make_technician(flow, open_blower(unit), case, shipped_catalogue())


def _at(flow: Flow, step: str, **conditions: str) -> State:
    first = {name: one.first for name, one in flow.vocabulary.conditions.items()}
    return State(step, Turn.ANSWER, {**first, **conditions})


DEAD = {"power": "off", "lock": "locked", "capacitor": "bled"}
LIVE = {"power": "on", "live_work": "agreed"}


@pytest.mark.parametrize(
    ("step", "conditions", "fault", "words"),
    [
        ("cap_reading", DEAD, HEALTHY, "ten point zero zero microfarads"),
        ("cap_reading", DEAD, "capacitor_weak", "six point zero zero microfarads"),
        ("cap_ohms", DEAD, HEALTHY, "over limit"),
        ("r_high_cap", DEAD, "start_open", "over limit"),
        ("safe/dead_lines", {"lock": "locked"}, HEALTHY, "zero point zero zero volts"),
        ("frame/frame_ohms", DEAD, HEALTHY, "over limit"),
        ("speed_leads", DEAD, HEALTHY, "three"),
        ("plate_volts/unit_volts", {}, HEALTHY, "one hundred fifteen volts"),
        ("label_cap_volts", DEAD, HEALTHY, "three hundred seventy volts"),
        ("plate_volts/unit_volts_high", {}, HEALTHY, "only one"),
        ("spin", DEAD, "bearings_seized", "it is stuck"),
        ("spin", DEAD, HEALTHY, "it turns free"),
        ("cap_look", DEAD, "capacitor_bulged", "it is bulged"),
        ("run", LIVE, HEALTHY, "it runs"),
        ("run", LIVE, "capacitor_open", "it hums"),
        ("run", LIVE, "grounded", "it trips"),
        ("order_again", DEAD, HEALTHY, "same again"),
        ("gone", LIVE, HEALTHY, "all good now"),
        ("gone", LIVE, "capacitor_weak", "still there"),
        ("gas/gas", {}, HEALTHY, "no gas"),
        ("complaint", {}, HEALTHY, "it runs slow"),
        ("safe/opened", {}, HEALTHY, "it is open"),
    ],
)
def test_answers(flow: Flow, step: str, conditions: dict[str, str], fault: str, words: str) -> None:
    """Each step is answered by what its place, its plate or its observation shows."""
    technician = _technician(flow, "t_115", fault)
    assert words == technician.answer(_at(flow, step, **conditions))


def test_taps_are_named_by_their_number(flow: Flow) -> None:
    """Ohms fall as speed rises on every unit, by the names the vocabulary gives its taps."""
    for unit in ("five_tap_115", "t_115", "midpoint_115", "one_tap_208"):
        technician = _technician(flow, unit)
        taps = as_blower(technician.rig.unit).motor.taps
        names = [f"r_{place.removeprefix('tap_')}" for place in taps]
        shown = [technician.look_at(name)[0] for name in ("r_high", *_lower(technician))]
        values = [one.value for one in shown if one is not None and not isinstance(one, OverLimit)]
        assert sorted(values) == values, names
        assert len(values) == len(taps)


def _lower(technician: Technician) -> list[str]:
    leads = [lead for lead in as_blower(technician.rig.unit).motor.leads if lead.startswith("tap_")]
    return [f"r_{lead.removeprefix('tap_')}" for lead in leads if lead != "tap_high"]


def test_yes_only_to_what_the_meter_showed(flow: Flow) -> None:
    """Asked back what was shown, the bench says yes; asked back a neighbour, no."""
    walk, technician = Walk(flow), _technician(flow, "t_115")
    state = walk.begin().state
    while state.step != "safe/tester_before" or state.turn is not Turn.ANSWER:
        state = walk.hear(state, Heard(technician.answer(state))).state
    words = technician.answer(state)
    asked = walk.hear(
        state,
        Heard("one hundred volts"),
    ).state
    if asked.turn is Turn.CONFIRM:
        assert technician.answer(asked) == "no"
    true = walk.hear(state, Heard(words)).state
    assert true.turn is not Turn.CONFIRM or technician.answer(true) == "yes"


def test_a_repair_takes_only_its_own_fault(flow: Flow) -> None:
    """With two faults the named one goes; a new motor takes what was wrong inside the old one."""
    catalogue = shipped_catalogue()
    rig = Rig(open_blower("t_230"), "capacitor_weak+filter_loaded", catalogue)
    rig.repair([flow.findings["capacitor_weak"]])
    assert (("filter_loaded",), False) == (rig.left, rig.is_right)
    rig.repair([flow.findings["filter_loaded"]])
    assert ((), True) == (rig.left, rig.is_right)
    rig = Rig(open_blower("t_230"), "grounded+bearings_tight", catalogue)
    rig.repair([flow.findings["grounded"]])
    assert rig.is_right
    rig = Rig(open_blower("t_230"), "grounded", catalogue)
    rig.repair([flow.findings["filter_loaded"]])
    assert not rig.is_right


def test_an_overload_closes_while_it_waits() -> None:
    """Without power the windings cool and the overload closes; with power on no time counts."""
    rig = Rig(open_blower("t_115"), "overload_tripped", shipped_catalogue())
    rig.wait(60)
    assert (False, True) == (rig.is_right, rig.is_warm)
    rig.follow({"power": "off"})
    rig.wait(5)
    assert not rig.is_right
    rig.wait(55)
    assert rig.is_right


def test_the_same_seed_is_the_same_noise(flow: Flow) -> None:
    """A case and its seed give the same walk to the letter; another seed another one."""
    walk, unit = Walk(flow), open_blower("t_230")
    cases = [Case("t_230", "capacitor_weak", "slow", seed) for seed in (1, 1, 2)]
    first, again, other = (_readings(flow, case) for case in cases)
    assert first == again
    assert first != other
    runs = [walk_case(walk, unit, case, shipped_catalogue()) for case in cases[:2]]
    assert runs[0] == runs[1]


def _readings(flow: Flow, case: Case) -> list[str]:
    technician = make_technician(flow, open_blower(case.unit), case, shipped_catalogue())
    shown = [technician.look_at(name)[0] for name in ("line_idle", "r_high", "cap_reading")]
    return [format_for_eye(one) for one in shown if one is not None]


def test_ears_of_the_bench(flow: Flow) -> None:
    """As ears the bench hears its own words, and says where they come from."""
    state = Walk(flow).begin().state
    ears = BenchEars(_technician(flow, "t_115"), lambda: state)
    assert Heard("no gas", source="bench") == ears.listen(Expectation())
    ears.close()
    ears.close()


def test_a_flow_of_someone_else(tmp_path: Path) -> None:
    """A flow needs nothing written for the bench; a rating no bench has is one sentence."""
    file = tmp_path / "foreign.yaml"
    file.write_text(FOREIGN.format(start="seen", rating="motor_hp"), "utf-8")
    case = Case("t_115", "bearings_seized", "slow")
    walked = walk_case(Walk(open_flow(str(file))), open_blower("t_115"), case, shipped_catalogue())
    assert (("seen",), "no_fault") == (walked.steps, walked.outcome)
    file.write_text(FOREIGN.format(start="rating", rating="motor_hp"), "utf-8")
    technician = make_technician(
        open_flow(str(file)), open_blower("t_115"), case, shipped_catalogue()
    )
    assert "zero point three three three three" in technician.answer(_at(technician.flow, "rating"))
    file.write_text(FOREIGN.format(start="rating", rating="motor_weight"), "utf-8")
    technician = make_technician(
        open_flow(str(file)), open_blower("t_115"), case, shipped_catalogue()
    )
    with pytest.raises(BenchError, match="no rating 'motor_weight'"):
        technician.answer(_at(technician.flow, "rating"))
