"""No words lead to ohms on a live circuit, past a caution or past a hold point."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from talking import FLOWS, Begin, Talk
from test_walk_path import AT_CAN, AT_LOW, AT_VOLTS, TO_CAN, TO_SAFE

from assistant.flow.conditions import unmet
from assistant.flow.library import open_flow
from assistant.flow.model import MeasureStep
from assistant.walk.ends import Heard
from assistant.walk.state import Turn
from assistant.walk.walk import Walk


@pytest.mark.parametrize("said", ["yes", "skip", "skip it because no tool", "okay", "ten", "done"])
def test_a_caution_is_answered_only_by_its_phrase(talk: Begin, said: str) -> None:
    """Neither yes nor skip nor a number passes a caution."""
    walked = talk(*TO_SAFE, said)
    assert walked.turn is Turn.CAUTION
    assert walked.kinds("caution_answered") == []


@pytest.mark.parametrize("said", ["yes", "the first one", "number one", "skip", "done", "okay"])
def test_a_hold_point_is_passed_only_by_its_phrase(talk: Begin, said: str) -> None:
    """Neither a number of a choice nor yes nor skip passes a hold point."""
    walked = talk(*TO_SAFE, "lock it out", said)
    assert walked.state.step == "safe/lock"
    assert walked.state.conditions["lock"] == "unlocked"


def test_cautions_are_said_in_full_before_the_step(talk: Begin) -> None:
    """A caution's whole text is said, before the prompt of its step, and is on record."""
    walked = talk(*TO_CAN)
    caution = walked.walk.flow.cautions["stored_energy"]
    assert caution.say in walked.text
    assert walked.kinds("caution_given")[-1].model_dump()["caution"] == "stored_energy"
    assert "Microfarads of the capacitor" not in walked.text


def test_a_condition_that_hands_make_true_is_asked_for(talk: Begin) -> None:
    """A step that needs the leads apart asks for it and takes only its phrase."""
    walked = talk(*TO_CAN, "it may be charged")
    assert walked.turn is Turn.CONDITION
    assert walked.say("yes").turn is Turn.CONDITION
    assert walked.say("leads are apart").state.conditions["leads"] == "isolated"


def test_power_that_returns_unproves_the_capacitor(talk: Begin) -> None:
    """Once power is back the capacitor counts as charged."""
    walked = talk(*AT_VOLTS)
    assert walked.state.conditions["power"] == "on"
    assert walked.state.conditions["capacitor"] == "charged"


def test_scratching_a_hold_point_asks_it_again_and_proves_nothing(talk: Begin) -> None:
    """After "scratch that" on power-on, power is unknown, not off, and the hold is asked again."""
    walked = talk(*AT_VOLTS, "scratch that")
    assert walked.state.step == "live/clear"
    assert walked.turn is Turn.ANSWER
    assert walked.state.conditions["power"] == "unknown"
    assert walked.say("power is on").state.conditions["power"] == "on"


def test_scratching_back_to_ohms_proves_the_unit_dead_again(talk: Begin) -> None:
    """Going back past power-on to an ohms step leads through the proof first, then back."""
    walked = talk(*AT_VOLTS, *["scratch that"] * 4)
    assert walked.state.step == "safe/lock"
    assert walked.kinds("blocked")[-1].model_dump()["step"] == "high"
    again = ("lock it out", "locked out", "zero", "it may be charged", "it is bled")
    walked.say(*again)
    assert walked.state.step == "high"
    assert walked.state.conditions["power"] == "off"


def test_a_reading_scratched_across_a_hold_point(talk: Begin) -> None:
    """Scratch at a hold point goes back to the reading before it; the hold is answered anew."""
    walked = talk(*AT_LOW, "fourteen", "yes", "nine point eight seven", "yes", "scratch that")
    assert walked.state.step == "high"
    assert "r_high" not in walked.state.values
    walked.say("nine point five", "yes")
    assert walked.turn is Turn.CAUTION
    assert walked.kinds("took")[-2].model_dump()["retaken"]


def test_a_step_without_a_way_to_its_proof_ends_the_walk(tmp_path: Path) -> None:
    """A flow that leads to ohms unproven is stopped at run time, whatever was said."""
    text = """
flow: bad
title: Bad
edition: "1"
start: ohms
steps:
  ohms:
    kind: measure
    quantity: resistance
    from: common
    to: frame
    meter: ohms
    say: Ohms.
    again: Ohms.
    help: Ohms.
    why: Ohms.
    unit: ohm
    plausible: [0, 10]
    next: end
"""
    file = tmp_path / "bad.yaml"
    file.write_text(text, encoding="utf-8")
    walk = Walk(open_flow(str(file)))
    result = walk.begin()
    assert result.state.outcome == "stopped"
    assert not any(u.text == "Ohms." for u in result.utterances)


PHRASES = st.sampled_from(
    [
        *("it runs", "it hums", "it is dead", "not printed", "ten", "fifteen", "zero", "o l"),
        *("lock it out", "locked out", "it is bled", "it may be charged", "leads are apart"),
        *("all clear", "ready for live test", "power is on", "one eighteen", "two", "yes", "no"),
        *("scratch that", "back", "skip", "skip it because no tool", "hold on", "go ahead"),
        *("stop", "help", "repeat", "where am i", "why", "note wet floor", "", "mumble"),
        *("nine point eight seven", "seventeen point five", "it is closed up", "no tool"),
    ]
)


@settings(max_examples=150, deadline=None)
@given(st.lists(PHRASES, max_size=60))
def test_no_words_reach_a_reading_that_is_not_safe(phrases: list[str]) -> None:
    """Whatever is said, a reading is asked for and believed only with all that it needs."""
    walk = WALK
    result = walk.begin()
    talk = Talk(walk, result.state).take(result)
    for phrase in phrases:
        asked = walk.flow.steps.get(talk.state.step)
        if talk.turn is Turn.ANSWER and isinstance(asked, MeasureStep):
            assert unmet(asked, talk.state.conditions) == {}
        taken = len(talk.kinds("took"))
        talk.say(phrase)
        if len(talk.kinds("took")) > taken and isinstance(asked, MeasureStep):
            assert talk.kinds("took")[taken].model_dump()["step"] in walk.flow.steps
    given_cautions = [e.model_dump()["caution"] for e in talk.kinds("caution_given")]
    answered = [e.model_dump()["caution"] for e in talk.kinds("caution_answered")]
    assert set(answered) <= set(given_cautions)


WALK = Walk(open_flow(str(FLOWS / "kettle.yaml")))


@settings(max_examples=60, deadline=None)
@given(st.lists(PHRASES, max_size=40))
def test_scratch_undoes_exactly_one_answer(phrases: list[str]) -> None:
    """Scratch brings back the values and findings there were before the last answer."""
    result = WALK.begin()
    state = result.state
    for phrase in phrases:
        state = WALK.hear(state, Heard(phrase)).state
    if state.is_over or state.is_held or state.before is None or state.turn not in ASKED:
        return
    after = WALK.hear(state, Heard("scratch that")).state
    assert state.before.values == after.values
    assert state.before.findings == after.findings
    assert state.before.answer == after.answer


ASKED = {Turn.ANSWER, Turn.CAUTION, Turn.CONDITION}


@pytest.mark.parametrize("prefix", [AT_CAN, AT_LOW])
def test_ohms_and_microfarads_are_asked_only_when_dead_and_bled(
    talk: Begin, prefix: tuple[str, ...]
) -> None:
    """At each dead reading of the main path the conditions say off and bled."""
    conditions = talk(*prefix).state.conditions
    assert (conditions["power"], conditions["capacitor"]) == ("off", "bled")
