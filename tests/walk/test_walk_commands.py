"""The standing commands, at any turn."""

import pytest
from talking import Begin
from test_walk_path import AT_CAN, AT_LOW, TO_SAFE

from assistant.walk.state import Turn


def test_repeat_says_the_turn_again(talk: Begin) -> None:
    """Repeat says what the turn asks, in the same words, caution or prompt."""
    walked = talk(*TO_SAFE)
    caution = walked.said[-1]
    assert caution == walked.say("say again").said[-1]


def test_help_and_why_change_nothing(talk: Begin) -> None:
    """Help and why are said, and the step still waits."""
    walked = talk()
    before = walked.state
    assert "ten seconds" in walked.say("help").text
    assert "where to begin" in walked.say("why").text
    assert before == walked.state


def test_hold_means_hold(talk: Begin) -> None:
    """On hold no answer counts until "go ahead"."""
    walked = talk("hold on", "it runs", "yes", "repeat")
    assert walked.state.is_held
    assert walked.state.answers == {}
    after = walked.say("go ahead")
    assert not after.state.is_held
    assert "What does it do" in after.text


def test_silence_on_hold_says_nothing(talk: Begin) -> None:
    """On hold the tool waits without a word."""
    assert talk("hold on", "").said == ()


def test_a_note_is_kept_in_its_own_words(talk: Begin) -> None:
    """What follows "note" is kept as it was said, and the step still waits."""
    walked = talk("note the pan is full of water")
    assert walked.kinds("noted")[-1].model_dump()["text"] == "the pan is full of water"
    assert walked.state.step == "look"


def test_skip_needs_a_reason(talk: Begin) -> None:
    """A step is skipped with a reason: in one phrase, or asked for."""
    walked = talk(*AT_CAN, "skip")
    assert walked.turn is Turn.SKIP_REASON
    walked.say("no tool")
    assert walked.state.step == "low"
    assert walked.kinds("skipped")[-1].model_dump()["reason"] == "no tool"
    assert walked.state.answers["can"] == "skipped"


def test_skip_that_is_thought_better_of(talk: Begin) -> None:
    """Scratch at the reason goes back to the step."""
    walked = talk(*AT_CAN, "skip", "scratch that")
    assert walked.turn is Turn.ANSWER
    assert walked.state.step == "can"


def test_a_step_that_cannot_be_skipped_says_so(talk: Begin) -> None:
    """A step without a way for skipping stays."""
    walked = talk(*AT_LOW, "skip it because no tool")
    assert walked.state.step == "low"
    assert "cannot be skipped" in walked.text


def test_stop_asks_first(talk: Begin) -> None:
    """Stop is confirmed, and a no goes back to the very turn it came from."""
    walked = talk(*TO_SAFE, "stop")
    assert walked.turn is Turn.STOP
    back = walked.say("no")
    assert back.turn is Turn.CAUTION
    assert back.say("stop", "yes").state.outcome == "stopped"


def test_where_says_what_is_proven(talk: Begin) -> None:
    """Where am I names the flow, the power state and what was found."""
    assert "power not proven" in talk("where am i").text.lower()
    walked = talk(*AT_CAN, "six point two", "yes", "where am i")
    assert "power proven off" in walked.text.lower()
    assert "Run capacitor" in walked.text


def test_scratch_at_the_beginning(talk: Begin) -> None:
    """With nothing answered there is nothing to take back."""
    assert "nothing to take back" in talk("scratch that").text


def test_scratch_drops_a_number_asked_back(talk: Begin) -> None:
    """Scratch on a question back drops the number and asks again."""
    walked = talk(*AT_CAN, "fifty", "scratch that")
    assert walked.turn is Turn.ANSWER
    assert walked.state.pending is None


@pytest.mark.parametrize("command", ["slower", "faster", "louder", "quieter"])
def test_speech_is_adjusted_by_an_event(talk: Begin, command: str) -> None:
    """Rate and volume are told by an event; the walk does not move."""
    walked = talk(command)
    assert command == walked.kinds("commanded")[-1].model_dump()["command"]
    assert walked.state.step == "look"


def test_a_finding_that_was_scratched_is_gone(talk: Begin) -> None:
    """Taking back the reading takes back what it found."""
    walked = talk(*AT_CAN, "six point two", "yes")
    assert walked.state.findings == ("weak",)
    after = walked.say("scratch that").state
    assert after.findings == ()
    assert after.step == "can"


def test_stop_thought_better_of_leaves_a_hold_a_hold(talk: Begin) -> None:
    """A no to "stop" on hold goes back to the hold; only "go ahead" ends it."""
    walked = talk("hold on", "stop", "no")
    assert walked.state.is_held
    assert "on hold" in walked.text.lower()
    assert walked.say("it runs").state.answers == {}
    assert walked.say("go ahead", "it runs").state.answers == {"look": "runs"}


def test_two_words_at_once_do_not_end_a_hold(talk: Begin) -> None:
    """Where "go ahead" may have been "stop", the hold holds and no trouble is counted."""
    walked = talk("hold on").hear("go ahead", "stop")
    assert walked.state.is_held
    assert walked.kinds("not_taken") == []


def test_a_reason_is_taken_where_a_reason_is_asked_for(talk: Begin) -> None:
    """Asked why, "skip because no tool" is the reason; a bare "skip" asks again."""
    walked = talk(*AT_CAN, "skip", "skip")
    assert walked.turn is Turn.SKIP_REASON
    assert "Why skip it" in walked.text
    walked.say("skip because no tool")
    assert walked.state.step == "low"
    assert walked.say("scratch that").state.step == "can"


def test_a_number_asked_back_and_skipped_is_not_asked_back_again(talk: Begin) -> None:
    """Back from "skip" the step is asked, not the number that was dropped by it."""
    walked = talk(*AT_CAN, "fifty", "skip", "scratch that")
    assert walked.turn is Turn.ANSWER
    assert "Yes or no" not in walked.text
    assert "Microfarads, please." in walked.text


@pytest.mark.parametrize(
    "asides",
    [
        ("stop", "skip", "no"),
        ("skip", "stop", "no", "scratch that"),
        ("stop", "hold on", "go ahead", "no"),
        ("hold on", "stop", "scratch that", "go ahead"),
        ("fifty", "stop", "no", "skip", "scratch that"),
    ],
)
def test_asides_inside_asides_lead_back(talk: Begin, asides: tuple[str, ...]) -> None:
    """However stop, skip and hold are nested, no, scratch and go ahead lead back to the step."""
    before = talk(*AT_CAN).state
    walked = talk(*AT_CAN, *asides)
    assert walked.turn is Turn.ANSWER
    assert (before.step, before.answers, before.answer) == (
        walked.state.step,
        walked.state.answers,
        walked.state.answer,
    )
    assert walked.say("ten", "yes").value("can_reading") == "10 µF"


def test_troubles_of_an_aside_are_its_own(talk: Begin) -> None:
    """What is not understood at the step does not count at the question why it is skipped."""
    walked = talk(*AT_CAN, "mumble", "mumble", "skip", "mumble")
    assert walked.kinds("not_taken")[-1].model_dump()["count"] == 1
    assert "Number one" not in walked.text
