"""What the ears listen for at a turn: its own phrases, foreign ones, and what each word costs.

A closed grammar turns any sound into one of its phrases: "volts" into "ohms" and "yes" into "half".
So every other reading and yes and no compete with the turn's own phrases, at a price; a
foreign phrase that wins is given as it was heard, and the layer above says what is wrong with it.
"""

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache

from assistant.ears.wordnet import WordNet, word_net
from assistant.quantity import Unit
from assistant.spoken.commands import SHORT_YES
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.grammar import grammar_for
from assistant.spoken.lexicon import HESITATIONS
from assistant.spoken.meaning import Expectation

_ASIDES = frozenset(
    {
        *HESITATIONS,
        *SHORT_YES,
        "nah",
        "nope",
        "is",
        "isn't",
        "an",
        "getting",
        "looks",
        "measures",
        "niner",
        "reading",
        "reads",
        "showing",
    }
    | {"wide"}
)
"""Words that a decoder likes to hear in a number, a breath, a yes or a no; seldom said."""

_LURES = frozenset({"drawing", "note", "please", "pulling"})
"""Words that a decoder likes to hear in "point" and "no": taking them for it changes the answer."""

_OF_CURRENT = frozenset({"drawing", "pulling"})
"""Said of amps only."""

_POINTS = frozenset({"point", "decimal", "dot"})
_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_PAIRED = frozenset({"ten", "eleven", "twelve", *_TEENS, *_TENS})
_FIGURES = frozenset({"one", "two", "three", "four", "five", "six", "seven", "eight", "nine"})

_FOREIGN, _ASIDE, _LURE, _MISPLACED_PAIR = 1e-2, 1e-3, 1e-5, 1e-2


@dataclass(frozen=True, slots=True)
class Search:
    """What a decoder looks for.

    Args:
        arcs: from state, to state, weight (1 is free), word; state 0 is the start.
        final: the state where a phrase is whole.
    """

    arcs: tuple[tuple[int, int, float, str], ...]
    final: int

    @property
    def words(self) -> frozenset[str]:
        """Every word that is listened for."""
        return frozenset(word for _, _, _, word in self.arcs)


def _weight(word: str, is_no_pair: bool, own: AbstractSet[str]) -> float:
    weight = _ASIDE if word in _ASIDES else _LURE if word in _LURES else 1.0
    if word not in own:
        weight *= _FOREIGN
    return weight * _MISPLACED_PAIR if is_no_pair and word in _PAIRED else weight


def _places_of_no_pair(net: WordNet) -> set[int]:
    """Find where ten to ninety-nine is seldom said: behind a point, and behind itself.

    "Two forty" is said, while "twenty nine twenty eight" is only what "twenty nine point eight" can
    sound like.
    """
    behind_point = {to for _, to, word in net.arcs if word in _POINTS}
    behind_tens = {to for _, to, word in net.arcs if word in _PAIRED}
    behind_figure = {to for source, to, word in net.arcs if source == 0 and word in _FIGURES}
    behind_both = {
        to for source, to, word in net.arcs if source in behind_tens and word in _FIGURES
    }
    return behind_point | ((behind_tens | behind_both) - behind_figure - {net.final})


def _weighed(net: WordNet, own: AbstractSet[str], without: AbstractSet[str]) -> Search:
    no_pair = _places_of_no_pair(net)
    arcs = [
        (source, to, _weight(word, source in no_pair, own), word)
        for source, to, word in net.arcs
        if word not in without
    ]
    return Search(tuple(arcs), net.final)


@lru_cache(maxsize=64)
def search_for(expectation: Expectation) -> Search:
    """Give what is listened for at a turn."""
    grammar = grammar_for(expectation)
    foreign = grammar_for(expectation_for_unit("any"))
    number = expectation.number
    is_current = number is not None and Unit.AMPERE in number.units
    net = word_net(grammar.to_jsgf(), foreign.to_jsgf())
    return _weighed(net, grammar.words(), frozenset() if is_current else _OF_CURRENT)


def search_for_phrases(phrases: tuple[str, ...]) -> Search:
    """Give a search for a few phrases alone, each of at least one word, at no price."""
    arcs: list[tuple[int, int, float, str]] = []
    newest = final = 1
    for phrase in phrases:
        *before, last = phrase.split()
        at = 0
        for word in before:
            newest += 1
            arcs.append((at, newest, 1.0, word))
            at = newest
        arcs.append((at, final, 1.0, last))
    return Search(tuple(arcs), final)
