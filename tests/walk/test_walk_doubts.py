"""Numbers that could be another number are asked back before they change the way."""

from dataclasses import replace

import pytest
from talking import FAINT, Begin
from test_walk_path import AT_CAN, AT_LOW, TO_RATING

from assistant.walk.state import Turn


@pytest.mark.parametrize("said", ["thirteen", "thirty", "six", "fifteen"])
def test_a_value_whose_neighbour_flips_the_verdict_is_asked_back(talk: Begin, said: str) -> None:
    """Teen and ty, a lost digit: what would change the verdict needs a yes."""
    walked = talk(*AT_CAN, said)
    assert walked.turn is Turn.CONFIRM
    assert walked.kinds("took")[-1].model_dump()["name"] != "can_reading"


def test_a_no_drops_the_number(talk: Begin) -> None:
    """A denied number is not believed, and the step is asked again."""
    walked = talk(*AT_CAN, "fifty", "no")
    assert walked.turn is Turn.ANSWER
    assert "can_reading" not in walked.state.values
    walked.say("one zero point one", "yes")
    assert walked.value("can_reading") == "10.1 µF"


def test_a_no_changes_to_digits(talk: Begin) -> None:
    """After a denial numbers are taken one digit at a time, at this step only."""
    walked = talk(*AT_CAN, "fifty", "no")
    assert walked.state.is_digits_only
    assert "one digit at a time" in walked.text
    assert "can_reading" not in walked.say("fifteen point zero five").state.values
    walked.say("one five point zero five")
    assert walked.value("can_reading") == "15.05 µF"
    assert not walked.state.is_digits_only


def test_what_was_denied_is_never_believed_unasked(talk: Begin) -> None:
    """Heard again at the same step it needs a yes, however clearly; taken back it still does."""
    walked = talk(*TO_RATING).hear("ten", "fifteen").say("no", "one zero")
    assert walked.turn is Turn.CONFIRM
    assert "I hear the same again. One zero microfarads? Yes or no?" in walked.text
    assert "rated" not in walked.state.values
    assert walked.say("yes").value("rated") == "10 µF"
    assert walked.say("scratch that", "one zero").turn is Turn.CONFIRM


def test_what_was_heard_besides_comes_before_what_was_denied(talk: Begin) -> None:
    """The next likeliest number is asked about, and believed by a yes alone."""
    walked = talk(*TO_RATING).hear("ten", "fifteen").say("no").hear("one zero", "help", "one five")
    assert "Then it may be this. One five microfarads? Yes or no?" in walked.text
    assert walked.say("yes").value("rated") == "15 µF"
    denied = talk(*TO_RATING).hear("ten", "fifteen").say("no")
    denied = denied.hear("one zero", "one five").say("no")
    assert "I hear the same again. One zero" in denied.hear("one zero", "one five").text


def test_a_denied_choice_is_asked_back_too(talk: Begin) -> None:
    """A choice that was denied gives way to the other that was heard."""
    walked = talk().hear("it runs", "it hums").say("no").hear("it runs", "it hums")
    assert walked.turn is Turn.CONFIRM
    assert "it hums" in walked.text
    assert walked.say("yes").state.answers["look"] == "hums_only"
    assert talk().hear("it runs", "it hums").say("no", "it runs").turn is Turn.CONFIRM


def test_ten_times_the_rating_is_asked_back(talk: Begin) -> None:
    """A hundred where ten is rated is asked back, with that reason."""
    walked = talk(*AT_CAN, "one hundred")
    assert walked.turn is Turn.CONFIRM
    assert "ten times" in walked.text


def test_outside_plausible_is_asked_back_and_a_yes_is_believed(talk: Begin) -> None:
    """An unlikely value is asked back, not refused: the meter may be right."""
    walked = talk(*AT_LOW, "nine hundred ohms")
    assert walked.turn is Turn.CONFIRM
    assert walked.kinds("not_taken")[-1].model_dump()["trouble"] == "out_of_range"
    assert walked.say("yes").value("r_low") == "900 Ω"


def test_a_rival_number_of_the_recogniser_is_asked_back(talk: Begin) -> None:
    """Where the recogniser found another number nearly as likely, the number needs a yes."""
    plain = talk(*TO_RATING).hear("ten")
    assert plain.turn is not Turn.CONFIRM
    walked = talk(*TO_RATING).hear("ten", "fifteen")
    assert walked.turn is Turn.CONFIRM


def test_a_rival_choice_of_the_recogniser_is_asked_back(talk: Begin) -> None:
    """Where another choice was nearly as likely, the choice needs a yes."""
    walked = talk().hear("it runs", "it hums")
    assert walked.turn is Turn.CONFIRM
    assert "it runs" in walked.text
    assert walked.say("yes").state.answers["look"] == "runs"


def test_a_contested_yes_is_no_yes(talk: Begin) -> None:
    """A yes that may have been a no is asked again; nothing is believed."""
    walked = talk(*AT_LOW, "fourteen").hear("yes", "no")
    assert walked.turn is Turn.CONFIRM
    assert "r_low" not in walked.state.values


def test_a_contested_no_is_a_no(talk: Begin) -> None:
    """A no that may have been a yes drops the number: the safe way round."""
    walked = talk(*AT_LOW, "fourteen").hear("no", "yes")
    assert walked.turn is Turn.ANSWER
    assert "r_low" not in walked.state.values


def test_a_number_that_was_hard_to_hear_is_asked_back(talk: Begin) -> None:
    """The sound itself may be the reason, which is said and on record."""
    assert talk(*TO_RATING).hear("ten").turn is not Turn.CONFIRM
    walked = talk(*TO_RATING).hear_faintly("ten")
    assert walked.turn is Turn.CONFIRM
    assert walked.text.startswith(FAINT)
    assert walked.kinds("asked_back")[-1].model_dump()["why"] == FAINT
    assert walked.kinds("heard")[-1].model_dump()["doubt"] == FAINT


def test_a_choice_that_was_hard_to_hear_is_asked_back(talk: Begin) -> None:
    """What was seen decides as much as a number does."""
    walked = talk().hear_faintly("it runs")
    assert walked.turn is Turn.CONFIRM
    assert "look" not in walked.state.answers
    assert walked.say("yes").state.answers["look"] == "runs"


def test_yes_and_commands_stand_though_hard_to_hear(talk: Begin) -> None:
    """There is no end to asking back what answers a question back."""
    walked = talk(*TO_RATING).hear_faintly("ten").hear_faintly("yes")
    assert walked.turn is not Turn.CONFIRM
    assert talk().hear_faintly("hold on").state.is_held


@pytest.mark.parametrize("said", ["yep", "yup", "yeah please", "that's it"])
def test_a_weak_yes_that_was_hard_to_hear_is_no_yes(talk: Begin, said: str) -> None:
    """In noise a no is taken for it; yes in full still counts, and so does a clear weak one."""
    asked = talk(*AT_LOW, "fourteen")
    walked = talk(*AT_LOW, "fourteen").hear_faintly(said)
    assert walked.turn is Turn.CONFIRM
    assert "r_low" not in walked.state.values
    assert walked.hear_faintly("yes").value("r_low") == "14 Ω"
    assert asked.say(said).value("r_low") == "14 Ω"


def test_other_words_are_no_yes(talk: Begin) -> None:
    """On a question back only yes and no count; a number said instead is not taken."""
    walked = talk(*AT_LOW, "fourteen", "fifteen")
    assert walked.turn is Turn.CONFIRM
    assert "r_low" not in walked.state.values


@pytest.mark.parametrize(
    ("said", "trouble"),
    [
        ("", "silence"),
        ("the weather is nice", "not_understood"),
        ("seventeen point", "unfinished"),
        ("fifteen volts", "wrong_unit"),
        ("nine eighty seven or so", "not_understood"),
    ],
)
def test_each_trouble_has_its_own_counter_and_words(talk: Begin, said: str, trouble: str) -> None:
    """What is no answer is counted by its kind, said in words of its own, and changes nothing."""
    walked = talk(*AT_LOW, said)
    assert walked.kinds("not_taken")[-1].model_dump()["count"] == 1
    if trouble != "not_understood":
        assert trouble == walked.kinds("not_taken")[-1].model_dump()["trouble"]
    first = walked.said[0].text
    second = walked.say(said).said[0].text
    assert first != second
    assert walked.state.step == "low"
    assert "r_low" not in walked.state.values


def test_ambiguous_words_are_settled_by_a_question(talk: Begin) -> None:
    """Words with two meanings are not guessed: both are named."""
    walked = talk(*AT_LOW, "one oh five")
    assert "r_low" not in walked.state.values
    assert walked.turn in {Turn.ANSWER, Turn.CONFIRM}


def test_choices_are_numbered_after_three_failures(talk: Begin) -> None:
    """After three failures at a choice, the choices are offered by number, and a number picks."""
    walked = talk("mumble", "mumble", "mumble")
    assert "Number two" in walked.text
    assert walked.say("number two").state.answers["look"] == "hums_only"


def test_the_third_unlikely_number_is_asked_for_digit_by_digit(talk: Begin) -> None:
    """Outside what is plausible three times: not asked back once more, but in another way."""
    walked = talk(*AT_LOW, "nine hundred", "scratch that", "nine hundred", "scratch that")
    assert not walked.state.is_digits_only
    assert walked.say("nine hundred").state.pending is None
    assert "one digit at a time" in walked.text
    assert walked.kinds("not_taken")[-1].model_dump()["count"] == 3
    assert walked.say("nine zero zero").turn is Turn.CONFIRM
    assert walked.say("yes").value("r_low") == "900 Ω"


def test_an_unlikely_number_is_named_in_words(talk: Begin) -> None:
    """The reason is for the ear: the limits with the unit's word, no symbol."""
    text = talk(*AT_LOW, "nine hundred").text
    assert "900 is outside 0 to 200 ohms." in text
    assert "Ω" not in text


def test_one_digit_at_a_time_comes_back_with_the_answer(talk: Begin) -> None:
    """Scratched back to a step that took digits only, it takes digits only, and says so."""
    walked = talk(*AT_CAN, "fifty", "no", "fifty", "no", "fifty", "no", "one five point zero five")
    assert walked.state.step == "low"
    walked.say("scratch that")
    assert walked.state.step == "can"
    assert walked.state.is_digits_only
    assert "one digit at a time" in walked.text


def test_a_number_not_asked_for_safely_is_not_believed(talk: Begin) -> None:
    """Should a state ever stand at ohms unproven, the number is dropped and the proof walked."""
    walked = talk(*AT_LOW)
    conditions = {**walked.state.conditions, "power": "unknown", "capacitor": "unknown"}
    walked.state = replace(walked.state, conditions=conditions)
    walked.say("fourteen", "yes")
    assert "r_low" not in walked.state.values
    assert walked.state.step == "safe/lock"


@pytest.mark.parametrize("said", ["one hundred fifty", "one", "nine hundred"])
def test_a_rating_that_no_label_carries_is_not_believed_on_a_yes(talk: Begin, said: str) -> None:
    """A printed value outside what is made is refused, not asked back: replacement rests on it."""
    walked = talk(*TO_RATING, said)
    assert walked.turn is Turn.ANSWER
    assert walked.kinds("not_taken")[-1].model_dump()["trouble"] == "out_of_range"
    walked.say("yes")
    assert "rated" not in walked.state.values
    assert walked.say("ten").value("rated") == "10 µF"
