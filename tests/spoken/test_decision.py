"""Accept, ask or refuse, without a walk."""

import pytest
from spoken_cases import expectation

from assistant.quantity import format_for_eye
from assistant.spoken.decision import decide


@pytest.mark.parametrize(
    ("name", "words", "decision", "value"),
    [
        ("ohm", "seventeen point five", "accept", "17.5 Ω"),
        ("ohm", "fifteen", "accept", "15 Ω"),
        ("ohm", "O L", "accept", "OL"),
        ("ohm", "go back", "accept", ""),
        ("yes_no", "yes", "accept", ""),
        ("wheel", "drags", "accept", ""),
        ("ohm", "seven five", "ask", "7.5 Ω"),
        ("ohm", "17,5", "ask", "17.5 Ω"),
        ("ohm", "about fifteen", "ask", "15 Ω"),
        ("ohm", "nothing", "ask", "OL"),
        ("ohm", "beeps", "ask", "0 Ω"),
        ("volt", "two twenty", "ask", "220 V"),
        ("volt", "O L", "ask", "OL"),
        ("tap", "seventy five", "ask", "75 Ω"),
        ("tap", "forty", "accept", "40 Ω"),
        ("tap", "forty point one", "ask", "40.1 Ω"),
        ("tap", "seven five", "ask", "7.5 Ω"),
        ("any", "fifteen", "ask", "15"),
        ("ohm", "fifteen volts", "refuse", ""),
        ("ohm", "seventeen point", "refuse", ""),
        ("ohm", "not fifteen", "refuse", ""),
        ("ohm", "fifteen or sixteen", "refuse", ""),
        ("ohm", "banana", "refuse", ""),
        ("ohm", "", "refuse", ""),
    ],
)
def test_typed_words(name: str, words: str, decision: str, value: str) -> None:
    """Typed words are accepted only where they can mean one thing."""
    found = decide(words, expectation(name))
    assert decision == found.decision
    assert value == (format_for_eye(found.value) if found.value else "")
    assert bool(found.why) == (found.decision != "accept")
    assert bool(found.question) == (found.decision == "ask")


@pytest.mark.parametrize(
    ("words", "alternatives", "decision"),
    [
        ("seventeen point five", (), "ask"),
        ("twelve point two", (), "accept"),
        ("fifteen", (), "ask"),
        ("fifty", (), "ask"),
        ("one hundred fifteen", (), "ask"),
        ("twelve point two", ("twelve point two ohms", "banana"), "accept"),
        ("twelve point two", ("twelve point three",), "ask"),
        ("twelve point two", ("twenty point two",), "ask"),
        ("go back", (), "accept"),
        ("go back", ("back up",), "accept"),
        ("go back", ("go ahead",), "ask"),
        ("help", ("twelve",), "ask"),
    ],
)
def test_heard_words(words: str, alternatives: tuple[str, ...], decision: str) -> None:
    """Heard words are asked back when teen/ty or another hypothesis is another value."""
    assert decision == decide(words, expectation("ohm"), alternatives, is_sound=True).decision


def test_alternatives_only_count_for_sound() -> None:
    """Typed text has no other hypotheses."""
    turn = expectation("ohm")
    assert "accept" == decide("fifteen", turn, ("fifty",)).decision
