"""Any words in any order, at any step of a flow that only the walk itself keeps safe.

What must hold is worked out here from the events alone, by rules written a second time.
"""

from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from talking import FLOWS, Talk

from assistant.flow.conditions import unmet
from assistant.flow.library import open_flow, shipped
from assistant.flow.model import InteractiveStep, MeasureStep, QuantityKind, is_hold
from assistant.quantity import Quantity, Unit
from assistant.spoken.tokens import tokenise
from assistant.walk.doubting import implausible, rival_seconds
from assistant.walk.ends import Heard, Silence
from assistant.walk.events import Answered, AnyEvent, CautionAnswered, Scratched, Took
from assistant.walk.state import Turn
from assistant.walk.walk import Walk

HUB = Walk(open_flow(str(FLOWS / "hub.yaml")))

WAYS = ("to low", "to high", "to capacitor", "to amps", "to volts", "to stored", "to tag")
HANDS = ("lock it out", "locked out", "it may be charged", "it is bled", "fingers clear")
POWER = ("all clear", "ready for live test", "power is on", "make it dead", "make it live")
NUMBERS = ("zero", "ten", "fifteen", "one eighteen", "o l", "forty five five", "fourteen")
ASIDES = ("scratch that", "back", "stop", "skip", "skip because no tool", "hold on", "go ahead")
OTHER = ("to rating", "to dual", "to gap", "not printed", "no such lead", "no tool", "help", "")
ANSWERS = ("yes", "yes", "no", "leads are apart", "leads are connected", "tag is written")

PHRASES = st.sampled_from([*WAYS, *HANDS, *POWER, *NUMBERS, *ASIDES, *OTHER, *ANSWERS, *HANDS])
SOUNDS = st.builds(
    lambda words, others: Heard(words, tuple(others)) if words else Silence(),
    PHRASES,
    st.lists(PHRASES, max_size=1) | st.just([]),
)
DEAD = {QuantityKind.RESISTANCE, QuantityKind.CAPACITANCE, QuantityKind.INSULATION}


@dataclass
class Hands:
    """What was done to the unit by all that was said, and by what of it still stands."""

    done: list[tuple[int, str]] = field(default_factory=list)
    standing: list[tuple[int, str]] = field(default_factory=list)

    def see(self, event: AnyEvent) -> None:
        """Keep what an event did to power, capacitor or lock."""
        if isinstance(event, Scratched):
            self.standing = [one for one in self.standing if one[0] < event.answer]
            return
        deed = _deed(event)
        if deed and isinstance(event, Took | Answered):
            self.done.append((event.answer, deed))
            self.standing.append((event.answer, deed))

    @property
    def is_dead(self) -> bool:
        """Whether the unit is dead and bled by both: words taken back undo no hands."""
        return _is_dead(self.done) and _is_dead(self.standing)


def _deed(event: AnyEvent) -> str:
    if isinstance(event, Took):
        is_zero = not event.over_limit and Decimal(event.value) <= Decimal(2)
        return {"safe/test": "off", "stored": "bled"}.get(event.step, "") if is_zero else ""
    if isinstance(event, Answered):
        return {"live/clear": "on", "safe/bled": "bled"}.get(event.step, "")
    return ""


def _is_dead(deeds: list[tuple[int, str]]) -> bool:
    is_off = is_bled = False
    for _, deed in deeds:
        is_off = deed == "off" or (is_off and deed != "on")
        is_bled = is_off and (is_bled or deed == "bled")
    return is_off and is_bled


def hear(sounds: list[Heard | Silence]) -> tuple[Talk, Hands]:
    """Hold a conversation and look at every turn of it."""
    result = HUB.begin()
    talk, hands = Talk(HUB, result.state).take(result), Hands()
    for sound in sounds:
        if talk.state.is_over:
            break
        _look_at_turn(talk, hands)
        before = talk.state
        result = HUB.hear(before, sound)
        for event in result.events:
            _look_at_event(talk, event, sound, hands)
            hands.see(event)
        talk.take(result)
    return talk, hands


def _look_at_turn(talk: Talk, hands: Hands) -> None:
    """No reading is asked for without what it needs, nor before its cautions are answered."""
    state = talk.state
    step = HUB.flow.steps[state.step]
    assert isinstance(step, InteractiveStep)
    conditions = state.conditions
    assert conditions["capacitor"] != "bled" or conditions["power"] == "off"
    assert state.step not in state.resume_at
    if state.turn in {Turn.ANSWER, Turn.CONFIRM}:
        assert unmet(step, conditions) == {}
        assert state.cautions_left == ()
    if state.turn is Turn.ANSWER and isinstance(step, MeasureStep) and step.quantity in DEAD:
        assert hands.is_dead


def _look_at_event(talk: Talk, event: AnyEvent, sound: Heard | Silence, hands: Hands) -> None:
    """Cautions and hold points are passed by their phrase, ohms are believed only when dead."""
    words = sound.words if isinstance(sound, Heard) else ""
    if isinstance(event, CautionAnswered):
        assert words in {_plain(phrase) for phrase in HUB.flow.cautions[event.caution].answer}
    if isinstance(event, Answered) and is_hold(HUB.flow.steps[event.step]):
        step = HUB.flow.steps[event.step]
        assert isinstance(step, InteractiveStep)
        assert words in {_plain(phrase) for phrase in step.choices[event.choice].phrases}
        assert talk.turn is Turn.ANSWER
    if isinstance(event, Took) and event.quantity in DEAD:
        assert hands.is_dead


def _plain(phrase: str) -> str:
    return " ".join(tokenise(phrase))


@settings(max_examples=300, deadline=None)
@given(st.lists(SOUNDS, min_size=1, max_size=80))
def test_no_order_of_words_is_unsafe(sounds: list[Heard | Silence]) -> None:
    """Whatever is said and half heard, hands are only sent where it is safe."""
    hear(sounds)


@settings(max_examples=150, deadline=None)
@given(st.lists(SOUNDS, max_size=60))
def test_as_many_scratches_as_answers_lead_back_to_the_beginning(
    sounds: list[Heard | Silence],
) -> None:
    """Each scratch takes one answer back, until none is left; nothing that was said stands."""
    talk, _ = hear(sounds)
    if talk.state.is_over:
        return
    while talk.state.is_held or talk.turn in {Turn.STOP, Turn.CONFIRM, Turn.SKIP_REASON}:
        talk.say("go ahead" if talk.state.is_held else "scratch that")
    for left in range(talk.state.answer - 1, -1, -1):
        talk.say("scratch that")
        assert left == talk.state.answer
    assert talk.state.values == {}
    assert talk.state.answers == {}
    assert talk.state.findings == ()
    assert "nothing to take back" in talk.say("scratch that").text


MADE_DEAD = ("lock it out", "locked out", "zero", "it may be charged", "it is bled")
MADE_LIVE = ("all clear", "ready for live test", "power is on")


def at_hub(*phrases: str) -> Talk:
    """Begin at the hub and say some phrases."""
    result = HUB.begin()
    return Talk(HUB, result.state).take(result).say(*phrases)


@pytest.mark.parametrize(
    ("way", "first"),
    [
        ("to low", "safe/lock"),  # ohms: dead and bled
        ("to stored", "safe/lock"),  # volts D C: off, though the live test is to be agreed too
        ("to tag", "safe/lock"),  # needs the lock on: power must not come back for it
        ("to volts", "safe/lock"),  # only the live test is to be agreed: the dead way is safer
        ("to amps", "live/clear"),  # needs power on
    ],
)
def test_what_is_lacking_is_proven_on_the_right_way(way: str, first: str) -> None:
    """A step that needs the unit dead never leads by way of power on."""
    assert first == at_hub(way).state.step


def test_live_again_where_power_is_on() -> None:
    """Where power is on, a lost agreement is asked for on the live way."""
    walked = at_hub("make it live", *MADE_LIVE)
    assert walked.say("to volts").state.step == "volts"


def test_a_detour_comes_back_to_the_step_that_asked() -> None:
    """After the proof the walk stands at the step that lacked it, its caution first."""
    walked = at_hub("to low", *MADE_DEAD)
    assert walked.state.step == "low"
    assert walked.turn is Turn.CAUTION
    assert walked.state.resume_at == ()
    walked.say("fingers clear", "leads are apart", "fifteen", "yes")
    assert walked.state.step == "hub"
    assert walked.value("r_low") == "15 Ω"


def test_a_detour_that_fails_goes_where_the_flow_says() -> None:
    """Volts where there must be none end the walk; nothing is proven by them."""
    walked = at_hub("to low", "lock it out", "locked out", "one eighteen", "yes")
    assert walked.state.outcome == "stopped"
    assert walked.state.conditions["power"] == "unknown"


def test_a_detour_inside_a_detour_comes_back_to_both() -> None:
    """A way to dead that needs power on first leads out of both, in the right order."""
    walk = Walk(open_flow(str(FLOWS / "nested.yaml")))
    result = walk.begin()
    walked = Talk(walk, result.state).take(result)
    assert list(walked.state.resume_at) == ["ohms", "safe/live_first"]
    walked.say(*MADE_LIVE)
    assert walked.state.step == "safe/live_first"
    assert list(walked.state.resume_at) == ["ohms"]
    walked.say("one eighteen", *MADE_DEAD)
    assert walked.state.step == "ohms"
    assert list(walked.state.resume_at) == []
    assert walked.say("fifteen", "yes").state.outcome == "no_fault"


def test_a_step_met_on_its_own_detour_is_not_asked_twice() -> None:
    """A step of the proof that lacks something is met on the way, and then the way goes on."""
    walked = at_hub("make it dead", "lock it out", "locked out")
    assert walked.state.step == "safe/test"
    conditions = {**walked.state.conditions, "live_work": "not_agreed"}
    walked.state = replace(walked.state, conditions=conditions)
    walked.say("zero")
    assert list(walked.state.resume_at) == ["safe/test"]
    walked.say("lock it out", "locked out")
    assert walked.state.step == "safe/test"
    assert list(walked.state.resume_at) == []
    assert walked.say("zero", "it may be charged", "it is bled").state.step == "hub"


def copied_hub(tmp_path: Path, old: str, new: str) -> Path:
    """Copy the flow with the vocabulary beside it and one change to either."""
    for file in [*FLOWS.rglob("*.yaml"), shipped("flows") / "vocabulary.yaml"]:
        is_flow = file.is_relative_to(FLOWS)
        target = tmp_path / (file.relative_to(FLOWS) if is_flow else file.name)
        target.parent.mkdir(exist_ok=True)
        text = file.read_text(encoding="utf-8")
        target.write_text(text.replace(old, new, 1), encoding="utf-8")
    return tmp_path / "hub.yaml"


def test_a_proof_that_hands_undo_is_made_again(tmp_path: Path) -> None:
    """Where opening the leads unproves the power, the proof is walked again before ohms."""
    new = "consequences:\n  leads:\n    isolated: {power: unknown}\n"
    walk = Walk(open_flow(str(copied_hub(tmp_path, "consequences:\n", new))))
    result = walk.begin()
    walked = Talk(walk, result.state).take(result)
    walked.say("to low", *MADE_DEAD, "fingers clear")
    assert walked.state.conditions["power"] == "off"
    walked.say("leads are apart")
    assert walked.state.step == "safe/lock"
    walked.say(*MADE_DEAD, "fingers clear")
    assert walked.state.step == "low"
    assert walked.turn is Turn.ANSWER


def test_a_circle_without_a_question_ends_the_walk(tmp_path: Path) -> None:
    """Steps that take no turn and lead to each other stop the walk, they do not hang it."""
    file = copied_hub(tmp_path, "    otherwise: hub\n", "    otherwise: order\n")
    walk = Walk(open_flow(str(file)))
    result = walk.begin()
    walked = Talk(walk, result.state).take(result)
    walked.say("to high", *MADE_DEAD, "leads are apart", "fourteen", "yes")
    assert walked.state.outcome == "stopped"
    assert "goes round" in walked.text


def test_a_hold_point_is_not_skipped_even_where_a_flow_allows_it() -> None:
    """Such a flow does not load; the walk refuses too."""
    flow = HUB.flow
    lock = flow.steps["safe/lock"].model_copy(update={"skipped": "hub"})
    walk = Walk(replace(flow, steps={**flow.steps, "safe/lock": lock}))
    walked = Talk(walk, walk.begin().state)
    walked.say("make it dead", "lock it out", "skip because no tool")
    assert "cannot be skipped" in walked.text
    assert walked.state.step == "safe/lock"


def test_volts_that_only_went_on_prove_nothing() -> None:
    """Where a rule says `continue` though volts are left, the capacitor is bled no more."""
    walked = at_hub("make it dead", *MADE_DEAD, "to stored", "zero")
    assert walked.state.step == "hub"
    assert walked.state.conditions["capacitor"] == "bled"
    walked.say("to stored", "one eighteen", "yes")
    assert walked.state.step == "hub"
    assert walked.state.conditions["capacitor"] == "unknown"
    assert walked.say("to low").state.step == "safe/lock"


def test_the_right_phrase_with_a_rival_is_no_answer_to_a_hold_point() -> None:
    """A hold point that may have been another word is asked again; a yes does not pass it."""
    walked = at_hub("make it dead", "lock it out").hear("locked out", "stop")
    assert walked.turn is Turn.ANSWER
    assert walked.say("yes").state.step == "safe/lock"
    assert walked.say("locked out").state.step == "safe/test"


def test_the_help_of_a_step_waits_for_its_caution() -> None:
    """Before the caution is answered, help says the caution again and not how it is done."""
    walked = at_hub("make it dead", *MADE_DEAD, "to low", "help")
    assert "Probes" not in walked.text
    assert "Caution" in walked.text
    assert "Probes" in walked.say("fingers clear", "leads are apart", "help").text


def test_a_word_of_the_hands_taken_back_is_asked_again() -> None:
    """Scratching "leads are apart" asks for it again; neither apart nor connected is believed."""
    walked = at_hub("make it dead", *MADE_DEAD, "to low", "fingers clear", "leads are apart")
    assert walked.state.conditions["leads"] == "isolated"
    assert walked.say("scratch that").turn is Turn.CONDITION
    assert walked.state.conditions["leads"] == "unsure"
    assert walked.kinds("condition")[-1].model_dump()["value"] == "unsure"
    assert walked.say("scratch that").turn is Turn.CAUTION
    # connected is not taken for granted either
    assert walked.say("scratch that", "to capacitor", "it may be charged").turn is Turn.CONDITION


def test_scratched_back_to_a_caution_without_its_proof_goes_to_the_proof() -> None:
    """A caution is not answered at a step whose proof is gone: the proof comes first."""
    walked = at_hub("make it dead", *MADE_DEAD, "to low", "fingers clear", "leads are apart")
    walked.say("fifteen", "yes", "make it live", *MADE_LIVE, *["scratch that"] * 4)
    assert walked.state.step == "hub"
    for turn in ("the number", "the condition", "the caution"):
        assert walked.say("scratch that").state.step == "safe/lock", turn
        assert list(walked.state.resume_at) == ["low"]
    assert walked.say(*MADE_DEAD).turn is Turn.CAUTION
    assert walked.state.subject == "moving_wheel"


def test_a_second_rating_is_doubted_too() -> None:
    """Twelve can be mistaken for nothing here, five for nine: both are asked back together."""
    walked = at_hub("to dual", "twelve five")
    assert walked.turn is Turn.CONFIRM
    assert walked.kinds("asked_back")[-1].model_dump()["neighbours"] == ("55 µF", "9 µF")
    assert walked.say("yes").value("pair_second") == "5 µF"


def test_a_second_rating_outside_its_range_is_not_likely() -> None:
    """The limits are those of both numbers; a rival of the recogniser counts for the second."""
    state = at_hub("to dual").state
    twelve, much = Quantity(Decimal(12), Unit.MICROFARAD), Quantity(Decimal(500), Unit.MICROFARAD)
    assert "500 is outside 2 to 100 microfarads" in implausible(HUB.flow, state, twelve, much)
    assert implausible(HUB.flow, state, twelve, twelve) == ""
    four = Quantity(Decimal(4), Unit.MICROFARAD)
    assert four in rival_seconds(HUB.flow, state, twelve, ("twelve four",))


def test_a_value_taken_again_otherwise_is_forgotten() -> None:
    """A rating that is no longer there, a second that is no longer said: neither stands."""
    walked = at_hub("to rating", "ten", "yes", "to dual", "forty five five", "yes")
    assert set(walked.state.values) == {"rated", "pair", "pair_second"}
    walked.say("to rating", "not printed", "to dual", "ten", "yes")
    assert "rated" not in walked.state.values
    assert walked.state.answers["rating"] == "not_printed"
    forgotten = [event.model_dump()["name"] for event in walked.kinds("forgot")]
    assert forgotten == ["rated", "pair_second"]
    assert "pair_second" not in walked.state.values
    walked.say("to rating", "ten", "yes")
    assert "rating" not in walked.state.answers


def test_a_result_whose_readings_are_gone_is_forgotten() -> None:
    """What was worked out from a reading does not outlive it."""
    apart = ("fingers clear", "leads are apart")
    walked = at_hub("make it dead", *MADE_DEAD, "to low", *apart, "fifteen", "yes")
    walked.say("to high", "nine point eight seven", "yes", "to gap")
    assert walked.value("gap_ohms") == "5.13 Ω"
    walked.say("to high", "no such lead", "to gap")
    assert "gap_ohms" not in walked.state.values


def test_taps_that_do_not_fall_are_a_finding_by_their_outcome() -> None:
    """A decision sees what the later rule said, though the earlier one passed."""
    walked = at_hub("make it dead", *MADE_DEAD, "to low", "fingers clear", "leads are apart")
    walked.say("nine point eight seven", "yes", "to high", "fourteen", "yes")
    assert walked.state.findings == ("open_winding",)
