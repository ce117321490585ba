"""Phrases of choices that something else already means."""

import pytest
from spoken_cases import NAMED, expectation

from assistant.spoken.collisions import Collision, collisions
from assistant.spoken.meaning import Choice, Expectation, Picked, Unclear
from assistant.spoken.understanding import understand


def _with_choice(phrase: str, name: str = "yes_no") -> Expectation:
    base = expectation(name)
    other = Choice("other", ("turns free",))
    return Expectation(base.number, (Choice("mine", (phrase,)), other), base.takes_yes_no)


@pytest.mark.parametrize(
    ("phrase", "name", "other"),
    [
        ("no", "yes_no", "no"),
        ("that's right", "yes_no", "yes"),
        ("stop", "yes_no", "the command stop"),
        ("turns free", "yes_no", "the choice other"),
        ("open", "ohm", "the reading over_limit"),
        ("zero", "ohm", "the number 0"),
        ("second one", "yes_no", "the choice other"),
    ],
)
def test_collision_is_named(phrase: str, name: str, other: str) -> None:
    """A phrase that means something else is reported with what it means."""
    found = collisions(_with_choice(phrase, name))
    assert Collision("mine", phrase, other) in found


@pytest.mark.parametrize("phrase", ["", "...", "reads 0", "17.5"])
def test_unsayable_phrases_are_reported(phrase: str) -> None:
    """A phrase with digits or without words can be said by nobody."""
    (only,) = collisions(_with_choice(phrase))
    assert "words" in only.other


def test_no_collision() -> None:
    """Phrases of their own collide with nothing."""
    for name in ("wheel", "caution", "mixed"):
        assert () == collisions(NAMED[name])


def test_choice_comes_before_a_command() -> None:
    """Where a flow has the phrase all the same, its own choice is meant."""
    assert Picked("mine") == understand("stop", _with_choice("stop"))


def test_choice_and_reading_are_asked() -> None:
    """A phrase that is a reading and a choice is never guessed."""
    assert isinstance(understand("open", _with_choice("open", "ohm")), Unclear)
