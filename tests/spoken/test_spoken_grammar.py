"""One grammar: what it takes, what is unfinished, its JSGF and its words."""

import re
import time
from decimal import Decimal
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from spoken_cases import NAMED, expectation

from assistant.quantity import Unit
from assistant.spoken.commands import PHRASES, is_typed_command
from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import Command, Expectation, NumberForm, Picked, Unclear, YesNo
from assistant.spoken.nodes import Act, Alt, Maybe, Repeat, Rule, TypedOnly, Word, same, seq
from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS
from assistant.spoken.understanding import understand

EVERY = ("ohm", "microfarad", "volt", "ampere", "in_wc", "yes_no", "any", *NAMED)
UNITS = tuple(unit.value for unit in Unit)
LARGEST_JSGF = 10_000


@pytest.mark.parametrize(
    ("words", "is_complete", "is_unfinished", "can_continue"),
    [
        ("one eighteen", True, False, True),
        ("one eighteen point", False, True, True),
        ("one eighteen point five", True, False, True),
        ("one eighteen point five ohms", True, False, False),
        ("seventeen", True, False, True),
        ("two hundred and", False, True, True),
        ("o", False, True, True),
        ("o l", True, False, False),
        ("over", False, True, False),
        ("go", False, True, False),
        ("go back", True, False, False),
        ("banana", False, False, False),
        ("fifteen banana", False, False, False),
        ("note", False, True, True),
        ("", False, True, True),
    ],
)
def test_endpointing(
    words: str, is_complete: bool, is_unfinished: bool, can_continue: bool
) -> None:
    """The grammar tells a whole answer from the beginning of one, for a short or long pause."""
    grammar = grammar_for(expectation("ohm"))
    assert is_complete == grammar.is_complete(words)
    assert is_complete == grammar.accepts(words)
    assert is_unfinished == grammar.is_unfinished(words)
    assert can_continue == grammar.can_continue(words)


def test_held_walk_takes_three_things() -> None:
    """On hold only going ahead, stopping and a note are taken; all else is not understood."""
    held = expectation("held")
    for kind, phrases in PHRASES.items():
        for phrase in phrases:
            is_taken = kind.value in {"go_ahead", "stop"}
            assert is_taken == isinstance(understand(phrase, held), Command), phrase


@pytest.mark.parametrize("name", EVERY)
def test_commands_are_taken_at_every_turn(name: str) -> None:
    """Each standing command means itself at every turn that is not on hold."""
    turn = expectation(name)
    if turn.is_held:
        return
    for kind, phrases in PHRASES.items():
        for phrase in phrases:
            assert Command(kind) == understand(phrase, turn), phrase


@pytest.mark.parametrize("name", ["yes_no", "wheel", "caution", "held"])
def test_what_can_be_heard_is_clear_without_numbers(name: str) -> None:
    """Where no number is taken, nothing that a recogniser can hear is ambiguous."""
    turn = expectation(name)
    for words in grammar_for(turn).phrases(1500):
        assert isinstance(understand(words, turn), Picked | YesNo | Command), words


def test_waking_from_hold_is_like_no_answer() -> None:
    """What ends a hold shares no whole phrase with any reading, choice or yes and no."""
    for name in EVERY:
        turn = expectation(name)
        for phrase in PHRASES["go_ahead"]:  # type: ignore[index]
            outcomes = grammar_for(turn).parse(phrase)
            assert all(isinstance(outcome, Command) for outcome in outcomes)


def test_phrases_are_many_and_always_the_same() -> None:
    """Samples need no chance: the same grammar gives the same phrases, hardly one twice."""
    grammar = grammar_for(expectation("ohm"))
    assert grammar.phrases(200) == grammar.phrases(200)
    assert len(grammar.phrases(200)) > 150


def test_typed_symbols_are_not_listened_for() -> None:
    """A recogniser never listens for a lone "a", "v" or a slash as a unit."""
    assert not {"/", "uf", "hz", "ol", "vac"} & grammar_for(expectation("any")).words()


def test_a_command_that_is_only_typed_is_not_listened_for() -> None:
    """No line of a recogniser's grammar, and no sample, is a lone "back"."""
    grammar = grammar_for(expectation("ohm"))
    assert grammar.accepts("back")
    assert not re.search(r"[|(] *back *[|)]", grammar.to_jsgf())
    assert not any(is_typed_command(phrase) for phrase in grammar.phrases(3000))
    assert not grammar_for(Expectation(is_held=True)).accepts("back")


def test_jsgf_form() -> None:
    """The text has the header, one public rule, and every rule it names."""
    text = grammar_for(expectation("ohm")).to_jsgf("step one")
    assert text.startswith("#JSGF V1.0;\ngrammar step_one;\npublic <step_one> = ")
    assert text.count("public ") == 1
    named = set(re.findall(r"<(\w+)>", text))
    defined = set(re.findall(r"^(?:public )?<(\w+)> =", text, re.MULTILINE))
    assert named == defined


def test_jsgf_of_each_kind_of_node() -> None:
    """Each node is written as its JSGF operator; what can only be typed is left out."""
    node = seq(
        Word("a"),
        Maybe(Word("b")),
        Repeat(Word("c"), 1, 3),
        Alt((same(None, "d", "e f"), TypedOnly(Word("g")))),
        Rule("tail", Act(Word("h"), lambda value: (value,))),
    )
    from assistant.spoken.jsgf import JsgfWriter

    text = JsgfWriter().write(node, "x")
    assert "public <x> = a [b] c [c [c]] (d | e f) <tail>;" in text
    assert "<tail> = h;" in text


@cache
def _decoder() -> Any:  # noqa: ANN401 - pocketsphinx has no types
    """A pocketsphinx decoder with our extra words: the outside judge of our JSGF."""
    from pocketsphinx import Decoder, get_model_path

    model = get_model_path()
    decoder = Decoder(
        lm=None,
        hmm=f"{model}/en-us/en-us",
        dict=f"{model}/en-us/cmudict-en-us.dict",
        loglevel="FATAL",
    )
    for word, phones in EXTRA_PRONUNCIATIONS.items():
        assert decoder.lookup_word(word) is None, f"{word} is in the dictionary already"
        decoder.add_word(word, phones, True)
    return decoder


@pytest.mark.parametrize("name", EVERY)
def test_pocketsphinx_takes_every_grammar(name: str) -> None:
    """Every grammar is loaded by pocketsphinx 5, the outside judge of JSGF."""
    decoder, text = _decoder(), grammar_for(expectation(name)).to_jsgf(name)
    assert len(text) < LARGEST_JSGF
    decoder.add_jsgf_string(name, text)
    decoder.activate_search(name)
    assert name == decoder.current_search()


@pytest.mark.parametrize("name", sorted({*EVERY, *UNITS}))
def test_every_word_has_a_pronunciation(name: str) -> None:
    """No word that can be spoken is unknown to pocketsphinx with our extra words."""
    words = sorted(grammar_for(expectation(name)).words())
    assert [] == [word for word in words if _decoder().lookup_word(word) is None]


def test_extra_pronunciations_are_all_used() -> None:
    """No pronunciation is kept for a word that neither a grammar nor the flows' vocabulary has."""
    shipped = Path(__file__).parents[2] / "flows" / "vocabulary.yaml"
    observed = frozenset(re.findall(r"[a-z']+", shipped.read_text(encoding="utf-8")))
    spoken = frozenset().union(*(grammar_for(expectation(n)).words() for n in (*EVERY, *UNITS)))
    assert set(EXTRA_PRONUNCIATIONS) <= spoken | observed


def test_range_limits_the_grammar() -> None:
    """A step whose range stays below a hundred is not listened to for thousands."""
    narrow = Expectation(NumberForm((Unit.OHM,), plausible=(Decimal(1), Decimal(40))))
    wide = Expectation(NumberForm((Unit.OHM,), plausible=(Decimal(1), Decimal(4000))))
    assert "thousand" not in grammar_for(narrow).words()
    assert "thousand" in grammar_for(wide).words()
    assert not isinstance(understand("two thousand ohms", narrow), Unclear)


LONG = (
    "okay uh i've got uh two hundred and forty point five two ohms",
    "one two three four five six seven eight nine one two three",
    "fifteen or sixteen no seventeen i mean eighteen point five ohms okay",
    "not about between fifteen point five and sixteen point five ohms maybe",
    "um um the meter says well fifteen point zero five zero volts okay",
    "twenty twenty twenty twenty twenty twenty twenty twenty twenty twenty twenty twenty",
    "oh oh oh oh oh oh oh oh oh oh oh oh",
    "one hundred one hundred one hundred one hundred one hundred one hundred",
    "seventeen point five",
    "two forty",
    "o l",
    "nine eighty seven ohms",
)


def test_understanding_is_quick() -> None:
    """Half the answers take under 1 ms, and none of twelve words over 10 ms (best of five)."""
    turn = expectation("ohm")
    times = []
    for words in LONG:
        best = 1.0
        for _ in range(5):
            start = time.process_time()
            understand(words, turn)
            best = min(best, time.process_time() - start)
        times.append(best)
    assert median(times) < 0.001
    assert max(times) < 0.010
