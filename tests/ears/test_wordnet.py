"""The word net accepts exactly the phrases of its grammar, and is small."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.ears.sound import EarsError
from assistant.ears.wordnet import WordNet, word_net
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.grammar import grammar_for


def accepts(net: WordNet, words: str) -> bool:
    """Walk the net by hand."""
    here = {0}
    for word in words.split():
        here = {to for source, to, label in net.arcs if source in here and label == word}
    return net.final in here


def phrases(net: WordNet) -> set[str]:
    """Spell out every phrase of a small net."""
    found: set[str] = set()
    waiting: list[tuple[int, tuple[str, ...]]] = [(0, ())]
    while waiting:
        state, words = waiting.pop()
        if state == net.final:
            found.add(" ".join(words))
        waiting += [(to, (*words, word)) for source, to, word in net.arcs if source == state]
    return found


CASES = {
    "a": {"a"},
    "a | b c": {"a", "b c"},
    "a [b] c": {"a c", "a b c"},
    "(a | b) (c | d)": {"a c", "a d", "b c", "b d"},
    "[a] [b] c": {"c", "a c", "b c", "a b c"},
    "a [b [c]]": {"a", "a b", "a b c"},
    "<x> and <x>": {"p and p", "p and q r", "q r and p", "q r and q r"},
    "a b | a c | a": {"a", "a b", "a c"},
}


@pytest.mark.parametrize("body", CASES)
def test_small_grammars_are_spelled_out(body: str) -> None:
    """Alternatives, options, groups and rules mean what the JSGF note says (from memory)."""
    net = word_net(f"#JSGF V1.0;\ngrammar g;\npublic <g> = {body};\n<x> = p | q r;\n")
    assert CASES[body] == phrases(net)


def test_several_grammars_are_one_net() -> None:
    """Phrases of each grammar are in the net, also where both begin alike."""
    first = "#JSGF V1.0;\ngrammar a;\npublic <a> = two volts;\n"
    second = "#JSGF V1.0;\ngrammar b;\npublic <b> = two [more] <u>;\n<u> = amps | volts;\n"
    expected = {"two volts", "two amps", "two more amps", "two more volts"}
    assert expected == phrases(word_net(first, second))


def test_equal_futures_are_one_state() -> None:
    """Ten words, twice in a row, need three states and twenty arcs, not a hundred paths."""
    digits = "one | two | three | four | five | six | seven | eight | nine | zero"
    net = word_net(f"#JSGF V1.0;\ngrammar g;\npublic <g> = ({digits}) <d>;\n<d> = {digits};\n")
    assert (3, 20) == (len({n for arc in net.arcs for n in arc[:2]}), len(net.arcs))


def test_a_grammar_without_public_rule_is_refused() -> None:
    """A grammar that says nothing is an error, not an empty net."""
    with pytest.raises(EarsError, match="no public rule"):
        word_net("#JSGF V1.0;\ngrammar g;\n<g> = a;\n")


@pytest.mark.parametrize("unit", ["ohm", "microfarad", "volt", "ampere", "in_wc", "yes_no", "any"])
def test_real_grammars_stay_small_and_keep_their_phrases(unit: str) -> None:
    """What a turn can take is in its net; a net has some thousand arcs (measured 1400 to 14100)."""
    grammar = grammar_for(expectation_for_unit(unit))
    net = word_net(grammar.to_jsgf())
    assert len(net.arcs) < 25_000
    lost = [phrase for phrase in grammar.phrases(200) if not accepts(net, phrase)]
    assert [] == lost


WORDS = ["one", "twenty", "point", "five", "oh", "hundred", "ohms", "volts", "and", "l", "yes"]


@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=5).map(" ".join))
def test_what_the_parser_takes_can_be_heard(words: str) -> None:
    """Any words that the parser takes are a phrase of the net.

    Not the other way round: the parser also refuses by value, which a net cannot.
    """
    if OHMS.accepts(words):
        assert accepts(OHM_NET, words)
    else:
        assert not accepts(OHM_NET, f"{words} volts")


OHMS = grammar_for(expectation_for_unit("ohm"))
OHM_NET = word_net(OHMS.to_jsgf())


def test_the_net_is_deterministic() -> None:
    """From one state a word leads to one state, or to that and the end."""
    net = word_net(grammar_for(expectation_for_unit("volt")).to_jsgf())
    for _, arcs in itertools.groupby(sorted((s, w, t) for s, t, w in net.arcs), lambda a: a[:2]):
        targets = {to for _, _, to in arcs}
        assert len(targets - {net.final}) <= 1
