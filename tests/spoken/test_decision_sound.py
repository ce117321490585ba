"""Sound with a rival is asked, whatever the rival is."""

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.quantity import Quantity, Unit
from assistant.spoken.decision import Verb, decide
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation

OHMS = expectation_for_unit("ohm")


@pytest.mark.parametrize(
    "rival", ["forty seven point nine", "forty seven", "four point five", "o l", "scratch that"]
)
def test_a_rival_that_means_something_else_is_asked(rival: str) -> None:
    """A rival number is asked though it is an ordinary neighbour; so is a rival command."""
    said = "forty seven point five"
    assert decide(said, OHMS, (rival,), is_sound=True).decision is Verb.ASK
    assert decide(said, OHMS, (rival,), is_sound=False).decision is Verb.ACCEPT


@pytest.mark.parametrize("rival", ["it is forty seven point five", "mumble", ""])
def test_a_rival_that_means_the_same_or_nothing_is_not(rival: str) -> None:
    """The same number in other words, or no meaning at all, is no reason to ask."""
    found = decide("forty seven point five", OHMS, (rival,), is_sound=True)
    assert found.decision is Verb.ACCEPT
    assert Quantity(Decimal("47.5"), Unit.OHM) == found.value


FAINT = "That was hard to hear."


def test_a_number_that_was_hard_to_hear_is_asked() -> None:
    """The reason is the sound itself, and the question names the number."""
    found = decide("ten ohms", OHMS, is_sound=True, doubt=FAINT)
    assert (Verb.ASK, FAINT) == (found.decision, found.why)
    assert found.question == "One zero ohms?"


def test_another_reason_to_ask_is_told_first() -> None:
    """What the words can be mistaken for says more than that it was loud."""
    found = decide("fifteen", OHMS, is_sound=True, doubt=FAINT)
    assert found.decision is Verb.ASK
    assert found.why != FAINT


def test_yes_and_commands_stand_though_hard_to_hear() -> None:
    """They are no values."""
    asked = Expectation(takes_yes_no=True)
    for words in ("yes", "hold on"):
        assert decide(words, asked, is_sound=True, doubt=FAINT).decision is Verb.ACCEPT


@pytest.mark.parametrize(
    ("said", "verb"), [("yep", Verb.REFUSE), ("it is", Verb.REFUSE), ("yes it is", Verb.ACCEPT)]
)
def test_a_weak_yes_that_was_hard_to_hear_is_not_taken(said: str, verb: Verb) -> None:
    """It may have been a no."""
    asked = Expectation(takes_yes_no=True)
    assert decide(said, asked, is_sound=True, doubt=FAINT).decision is verb
    assert decide(said, asked, is_sound=True).decision is Verb.ACCEPT


def test_digit_by_digit_there_is_no_teen() -> None:
    """Where figures come one at a time, one five is no fifty."""
    digits = replace(OHMS, digits_only=True)
    assert decide("one five", OHMS, is_sound=True).decision is Verb.ASK
    assert decide("one five", digits, is_sound=True).decision is Verb.ACCEPT
