"""A flow that could lead hands astray does not load, or is named by the check of its paths."""

from pathlib import Path

import pytest

from assistant.flow.conditions import (
    effects,
    first_conditions,
    leads_to_live,
    needs_of,
    taken_back,
    with_set,
)
from assistant.flow.library import open_flow, shipped
from assistant.flow.linked import Flow
from assistant.flow.linking import load_flow
from assistant.flow.model import MeasureStep, QuantityKind
from assistant.flow.problems import FlowError, Problem
from assistant.flow.safety import check_paths
from assistant.quantity import Unit

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
HUB = Path(__file__).parents[1] / "walk" / "flows" / "hub.yaml"
VOCABULARY = shipped("flows") / "vocabulary.yaml"
JUDGED = "{rule: near_zero, limit: 2, go: {fail: return.alive, unsure: return.alive}}"
WORDS = load_flow(KETTLE, VOCABULARY).vocabulary


def changed(tmp_path: Path, old: str, new: str, file: str = "kettle.yaml") -> Path:
    """Copy the small flow with one change in one of its files."""
    for source in KETTLE.parent.rglob("*.yaml"):
        target = tmp_path / source.relative_to(KETTLE.parent)
        target.parent.mkdir(exist_ok=True)
        text = source.read_text(encoding="utf-8")
        if target == tmp_path / file:
            assert old in text
            text = text.replace(old, new, 1)
        target.write_text(text, encoding="utf-8")
    return tmp_path / "kettle.yaml"


def unsafe(file: Path) -> list[Problem]:
    """Give what the check of paths says."""
    return check_paths(open_flow(str(file)))


def test_the_small_flow_is_safe() -> None:
    """The flow that the unsafe ones are made from is safe, and so is the shipped one."""
    assert unsafe(KETTLE) == []
    assert check_paths(open_flow("blower-psc")) == []


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        # a reading that failed and went on is no proof
        ("shared/dead.yaml", "{fail: return.alive,", "{fail: continue,", "power proven off"),
        ("shared/dead.yaml", "unsure: return.alive}", "unsure: continue}", "power proven off"),
        # a number that no rule judged is no proof
        (
            "shared/dead.yaml",
            f"    judge: [{JUDGED}]\n",
            "",
            "without measuring it",
        ),
        # saying "off" is no proof
        (
            "shared/dead.yaml",
            "leaves: {lock: locked, live_work: agreed}",
            'leaves: {lock: locked, live_work: agreed, power: "off"}',
            "without measuring it",
        ),
        # a live test is agreed at a hold point, after its caution
        ("shared/dead.yaml", "    cautions: [lockout]\n", "", "without its caution and hold"),
        ("shared/alive.yaml", "    hold: true\n", "", "without its caution and hold"),
        # past the proof
        ("kettle.yaml", "    next: safe\n  safe:", "    next: low\n  safe:", "capacitor bled"),
    ],
)
def test_an_unsafe_flow_is_named(tmp_path: Path, file: str, old: str, new: str, said: str) -> None:
    """One change that opens a way to ohms unproven, or calls proven what is not, is found."""
    problems = unsafe(changed(tmp_path, old, new, file))
    assert any(said in problem.message for problem in problems), problems
    assert {problem.check for problem in problems} == {"unsafe-path"}


def test_what_hands_do_may_not_undo_a_proof(tmp_path: Path) -> None:
    """A vocabulary by which opening the leads unproves the power makes such a step unsafe."""
    words = VOCABULARY.read_text(encoding="utf-8")
    words = words.replace(
        "consequences:\n", "consequences:\n  leads:\n    isolated: {power: unknown}\n", 1
    )
    file = changed(tmp_path, "flow: kettle", "flow: kettle")
    (tmp_path / "vocabulary.yaml").write_text(words, encoding="utf-8")
    problems = unsafe(file)
    assert any("'can'" in problem.message for problem in problems)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            'unknown: power not proven, "off": power',
            '"off": power proven off, unknown: x, "x": power',
            "begins as 'off'",
        ),
        ("  capacitor:\n    by: proof", "  capacitor:\n    by: hand", "can be set by saying so"),
        ("live_work: not_agreed}", "leads: connected}", "does not end what was agreed"),
        ("  live_work:\n    by: proof", "  work:\n    by: proof", "'live_work'"),
        ("bled: capacitor bled}", "empty: capacitor bled}", "'bled' is missing"),
    ],
)
def test_a_vocabulary_that_proves_nothing_is_refused(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    """The conditions that readings rest on are there, are proofs, and begin unproven."""
    words = VOCABULARY.read_text(encoding="utf-8")
    assert old in words
    file = tmp_path / "vocabulary.yaml"
    file.write_text(words.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(FlowError) as caught:
        load_flow(KETTLE, file)
    assert any(said in str(problem) for problem in caught.value.problems)
    assert all(problem.file == file for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("quantity: resistance", "quantity: speed", "'speed' is not measured in ohm"),
        ("quantity: capacitance", "quantity: voltage", "'voltage' is not measured in microfarad"),
        (
            "meter: volts_ac\n    as: volts_running",
            "meter: ohms\n    as: volts_running",
            "'ohms' measures ohms, not volt",
        ),
        ("as: r_high", "as: can_reading", "'can_reading' is in ohm elsewhere"),
        ("rating: rated", "rating: dead_volts", "cannot be compared with microfarad"),
        ("go: {fail: find_weak", "go: {fial: find_weak", "'fial' is not an outcome"),
        ("values: [r_low, r_high]", "values: [r_low, volts_running]", "cannot be compared"),
        (
            "- {when: [{answer: look, is: [runs]}]",
            "- {when: [{value: r_low, below: r_hgh}]",
            "'r_hgh' is not a value",
        ),
        (
            "- {when: [{answer: look, is: [runs]}]",
            "- {when: [{value: r_low, at_least: rated}]",
            "'rated' is in microfarad and cannot be compared with ohm",
        ),
    ],
)
def test_units_that_do_not_fit_are_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    """Ohms called anything else would be asked for live; volts are not compared with ohms."""
    with pytest.raises(FlowError) as caught:
        open_flow(str(changed(tmp_path, old, new)))
    assert any(said in problem.message for problem in caught.value.problems)


def test_kilohms_are_of_one_kind_with_ohms(tmp_path: Path) -> None:
    """A value in kilohms may be compared with one in ohms."""
    old = "as: r_low\n    say: Ohms, common to low.\n    again: Common to low?\n"
    text = KETTLE.read_text(encoding="utf-8")
    assert old in text
    place = text.index("unit: ohm", text.index(old))
    changed(tmp_path, "flow: kettle", "flow: kettle")
    (tmp_path / "kettle.yaml").write_text(
        f"{text[:place]}unit: kilohm{text[place + len('unit: ohm') :]}", encoding="utf-8"
    )
    flow = open_flow(str(tmp_path / "kettle.yaml"))
    assert flow.units["r_low"] is Unit.KILOHM
    assert flow.units["r_high"] is Unit.OHM


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (
            "shared/dead.yaml",
            "[it is locked out, locked out]",
            "[it is locked out, Done]",
            "'Done'",
        ),
        ("kettle.yaml", "[it is closed up, closed up]", "[it is closed up, yes]", "'yes'"),
        (
            "kettle.yaml",
            "steps:\n",
            "cautions:\n  hot: {say: It is hot., answer: [ok]}\nsteps:\n",
            "'ok'",
        ),
        (
            "shared/dead.yaml",
            "steps:\n",
            "cautions:\n  lockout: {say: All is well., answer: [all is well]}\nsteps:\n",
            "'lockout' says something else",
        ),
        (
            "kettle.yaml",
            "steps:\n",
            "cautions:\n  hot: {say: It is hot., answer: []}\nsteps:\n",
            "no phrase that answers",
        ),
        ("kettle.yaml", "  which:\n", "  stop:\n", "'stop' cannot be the name"),
        ("kettle.yaml", "  which:\n", "  safe/test:\n", "'safe/test' cannot be the name"),
        ("kettle.yaml", "plausible: [0, 300]", "plausible: [300, 0]", "ends before it begins"),
    ],
)
def test_words_and_names_that_confirm_nothing_are_refused(
    tmp_path: Path, file: str, old: str, new: str, said: str
) -> None:
    """A hold point is no "done", a caution says one thing, a step hides no other step."""
    with pytest.raises(FlowError) as caught:
        open_flow(str(changed(tmp_path, old, new, file)))
    assert any(said in problem.message for problem in caught.value.problems)


def test_a_condition_that_cannot_be_asked_for_is_refused(tmp_path: Path) -> None:
    """What hands make true is asked for by its phrase, so it has one for each value."""
    words = VOCABULARY.read_text(encoding="utf-8")
    old = "open: [panels are open, panels open]}"
    assert old in words
    file = tmp_path / "vocabulary.yaml"
    file.write_text(words.replace(f", {old}", "}", 1), encoding="utf-8")
    with pytest.raises(FlowError, match="has no phrases for 'open'"):
        load_flow(KETTLE, file)


def test_a_hold_point_cannot_be_skipped(tmp_path: Path) -> None:
    """A hold point with a way for skipping does not load."""
    file = changed(
        tmp_path, "    hold: true\n", "    hold: true\n    skipped: test\n", "shared/dead.yaml"
    )
    with pytest.raises(FlowError, match="is a hold point, so it cannot be skipped"):
        open_flow(str(file))


def test_bled_holds_only_while_power_is_off() -> None:
    """However it comes about, a capacitor is not bled while power is on or unknown."""
    start = first_conditions(WORDS)
    assert with_set(WORDS, start, {"capacitor": "bled"})["capacitor"] == "unknown"
    dead = with_set(WORDS, start, {"power": "off", "capacitor": "bled"})
    assert dead["capacitor"] == "bled"
    assert with_set(WORDS, dead, {"power": "on"})["capacitor"] == "charged"
    assert with_set(WORDS, dead, {"power": "unknown"})["capacitor"] == "unknown"
    assert taken_back(WORDS, dead, dead) == dead
    assert taken_back(WORDS, dead, dead | {"power": "on"})["power"] == "unknown"
    assert taken_back(WORDS, dead, dead | {"power": "on"})["capacitor"] == "unknown"
    assert taken_back(WORDS, dead, dead | {"panels": "open"})["panels"] == "unsure"


def test_what_a_number_leaves_true() -> None:
    """Passed: its own; failed: the contrary; not judged, or by a choice or a skip: nothing."""
    flow = open_flow(str(KETTLE))
    step = flow.steps["safe/test"]
    assert effects(WORDS, step, "next") == {"power": "off"}
    assert effects(WORDS, step, "next", is_proven=False) == {"power": "unknown"}
    assert effects(WORDS, step, "rule0.reads") == {"power": "unknown"}
    assert effects(WORDS, step, "rule0.zero") == {}
    assert effects(WORDS, step, "skipped") == {}
    assert isinstance(step, MeasureStep)
    by_hand = step.model_copy(update={"leaves": {"power": "off", "panels": "open"}})
    assert effects(WORDS, by_hand, "next", is_proven=False)["panels"] == "open"
    not_judged = by_hand.model_copy(update={"judge": ()})
    assert effects(WORDS, not_judged, "next", is_proven=False) == {"panels": "open"}


@pytest.mark.parametrize(
    ("step", "power", "is_live"),
    [
        ("low", "on", False),
        ("stored", "on", False),
        ("tag", "on", False),
        ("amps", "off", True),
        ("volts", "on", True),
        ("volts", "off", False),
        ("volts", "unknown", False),
    ],
)
def test_power_comes_back_only_for_what_needs_it(step: str, power: str, *, is_live: bool) -> None:
    """The way to a proof is the dead one, but where power is needed or on by now."""
    flow = open_flow(str(HUB))
    conditions = first_conditions(WORDS) | {"power": power}
    assert is_live is leads_to_live(flow, step, conditions)


def test_a_limit_of_a_decision_is_a_value_that_matters(tmp_path: Path) -> None:
    """A reading that only a decision compares another with is used later, so it is doubted."""
    assert "gap_ohms" not in open_flow(str(KETTLE)).used_values
    old, new = "{answer: look, is: [runs]}", "{value: r_low, below: gap_ohms}"
    assert "gap_ohms" in open_flow(str(changed(tmp_path, old, new))).used_values


def _reached_without(flow: Flow, passed_over: str) -> set[str]:
    """Give the steps that some path reaches without an included flow."""
    reached, ahead = set[str](), [flow.start]
    while ahead:
        name = ahead.pop()
        if name in flow.steps and name not in reached and not name.startswith(passed_over):
            reached.add(name)
            ahead.extend(target for _, target in flow.steps[name].exits())
    return reached


def test_what_is_measured_once_power_is_back_needs_it_on() -> None:
    """In the shipped flow, volts and amps taken only after the power came back ask for it on."""
    flow = open_flow("blower-psc")
    assert "live/power_on" in flow.steps
    kinds = {QuantityKind.VOLTAGE, QuantityKind.CURRENT, QuantityKind.POWER}
    before = _reached_without(flow, "live/")
    own = {
        name: needs_of(step)
        for name, step in flow.steps.items()
        if isinstance(step, MeasureStep) and step.quantity in kinds and "/" not in name
    }
    after = {name for name in own if name not in before}
    assert {"amps", "motor_run_volts"} <= after
    assert set() == {name for name in after if own[name].get("power") != "on"}
