"""What is said reads as a person writes it, and what is answered is understood either way."""

from decimal import Decimal

import pytest

from assistant.flow.library import open_flow
from assistant.quantity import Quantity, Unit
from assistant.walk import wording
from assistant.walk.ends import Heard
from assistant.walk.state import Taken
from assistant.walk.walk import Walk


def test_the_word_i_is_a_capital_and_names_are_not() -> None:
    """Only the word alone is changed, for ear and eye, behind the values that are put in."""
    taken = {"i": Taken(Quantity(Decimal(2), Unit.AMPERE), None)}
    text = wording.fill("Say: i have {i}, or it is in.", taken)
    assert "Say: I have two amps, or it is in." == text.ear
    assert "Say: I have 2 A, or it is in." == text.eye


def test_inches_of_water_end_a_sentence_once() -> None:
    """For the eye the unit's own full stop is the sentence's; the ear hears the word."""
    pressure = Quantity(Decimal("0.8"), Unit.IN_WC)
    text = wording.fill("It drops {p}. Clean it.", {"p": Taken(pressure, None)})
    assert "It drops 0.8 in. w.c. Clean it." == text.eye
    assert "It drops zero point eight inches. Clean it." == text.ear
    assert "0.8 in. w.c." == wording.say_read_back((pressure,), None).shown


@pytest.mark.parametrize("said", ["i smell gas", "I smell gas", "I SMELL GAS."])
def test_the_first_question_is_written_right_and_its_answer_is_heard(said: str) -> None:
    """The shipped flow asks with "I smell gas"; typed in any case, it ends the walk safely."""
    walk = Walk(open_flow("blower-psc"))
    begun = walk.begin("QX", "u", "test")
    assert "I smell gas" in begun.utterances[-1].text
    heard = walk.hear(begun.state, Heard(said))
    assert ["gas_smelt"] == list(heard.state.answers.values())
    assert any("I smell gas." in one.text for one in heard.utterances)
