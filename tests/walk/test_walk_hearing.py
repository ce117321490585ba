"""One answer weighed at a step: what is a number is no choice, and the other way about."""

import pytest
from talking import FLOWS

from assistant.flow.library import open_flow
from assistant.walk.ends import Heard
from assistant.walk.hearing import Bench, stand_at, weigh_heard


@pytest.fixture(scope="module")
def rating() -> Bench:
    """The step that asks for a rating, or for "not printed"."""
    return stand_at(open_flow(str(FLOWS / "kettle.yaml")), "rating")


@pytest.fixture(scope="module")
def look() -> Bench:
    """The step that takes one of three choices and no number."""
    return stand_at(open_flow(str(FLOWS / "kettle.yaml")), "look")


def _decision(words: str, bench: Bench) -> tuple[object, object]:
    record = weigh_heard(Heard(words), bench, is_sound=False)
    return record["decision"], record["value"]


@pytest.mark.parametrize("words", ["number one", "first", "choice one", "one", "the first one"])
def test_number_step_has_no_numbered_choice(words: str, rating: Bench) -> None:
    """Where a number is expected, no numeral picks the only choice."""
    assert _decision(words, rating)[0] != "accept"
    assert _decision("not printed", rating) == ("accept", "not_printed")


@pytest.mark.parametrize("words", ["one", "fifteen", "2", "7.5", "O L", "two forty", "zero"])
def test_choice_step_takes_no_number(words: str, look: Bench) -> None:
    """Where choices are expected, a number is neither a choice nor a value."""
    assert _decision(words, look) == ("refuse", None)


@pytest.mark.parametrize("phrase", ["it hums", "it runs", "not printed"])
@pytest.mark.parametrize(
    "around",
    ["not {}", "no, {}", "{} not", "{}?", "maybe {}", "{} 15", "fifteen {}", "stop {}", "{} 👎"],
)
def test_spoilt_choices_are_refused(phrase: str, around: str, look: Bench, rating: Bench) -> None:
    """A choice that is denied, doubted, or mixed with something else is not taken."""
    bench = rating if phrase == "not printed" else look
    assert _decision(phrase, bench)[0] == "accept"
    assert _decision(around.format(phrase), bench)[0] != "accept"
