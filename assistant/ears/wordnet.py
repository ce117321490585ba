"""A grammar as the smallest net of words, for a decoder that pays for every arc.

A JSGF grammar with its options and repeats written out makes pocketsphinx build more than a
hundred thousand arcs for one step. Its language is finite, so it has one smallest deterministic
acceptor (Hopcroft, Motwani and Ullman, "Introduction to Automata Theory", the subset construction
and the merging of states with equal futures; from memory), which is some hundred times smaller and
gives no phrase an advantage for having fewer ways to be said.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

from assistant.ears.sound import EarsError

_TOKEN = re.compile(r"<[^>]+>|[()\[\]|;=]|[^\s()\[\]|;=<>]+")
_HEADER = re.compile(r"^\s*(#JSGF[^;]*;|grammar\s+[^;]*;)", re.MULTILINE)
_RULE = re.compile(r"(public\s+)?(<[^>]+>)\s*=\s*([^;]*);")


@dataclass(frozen=True, slots=True)
class WordNet:
    """A deterministic acceptor of phrases; state 0 is the start.

    Args:
        arcs: from state, to state, word.
        final: the one state where a phrase is whole; nothing leaves it.
        states: how many states there are.
    """

    arcs: tuple[tuple[int, int, str], ...]
    final: int
    states: int


@dataclass(slots=True)
class _Fragments:
    """An acceptor with empty arcs, grown one fragment at a time."""

    rules: dict[str, list[str]] = field(default_factory=dict)
    empty: list[list[int]] = field(default_factory=list)
    worded: list[list[tuple[str, int]]] = field(default_factory=list)
    reached: dict[int, frozenset[int]] = field(default_factory=dict)

    def _state(self) -> int:
        self.empty.append([])
        self.worded.append([])
        return len(self.empty) - 1

    def alternatives(self, tokens: list[str], at: int, start: int, end: int) -> int:
        """Read alternatives = sequence, { "|", sequence }."""
        at = self._sequence(tokens, at, start, end)
        while at < len(tokens) and tokens[at] == "|":
            at = self._sequence(tokens, at + 1, start, end)
        return at

    def _sequence(self, tokens: list[str], at: int, start: int, end: int) -> int:
        """Read sequence = { item }."""
        here = start
        while at < len(tokens) and tokens[at] not in {"|", ")", "]"}:
            after = self._state()
            at = self._item(tokens, at, here, after)
            here = after
        self.empty[here].append(end)
        return at

    def _item(self, tokens: list[str], at: int, start: int, end: int) -> int:
        """Read item = word | rule | "(", alternatives, ")" | "[", alternatives, "]"."""
        piece = tokens[at]
        if piece in {"(", "["}:
            if piece == "[":
                self.empty[start].append(end)
            return self.alternatives(tokens, at + 1, start, end) + 1
        if piece.startswith("<"):
            self._splice(_part(piece, self.rules), start, end)
        else:
            self.worded[start].append((piece, end))
        return at + 1

    def _splice(self, part: "_Part", start: int, end: int) -> None:
        """Put in the smallest net of a rule; nothing leads into its start or out of its end."""
        names = {0: start, part.net.final: end}
        for source, target, word in part.net.arcs:
            for one in (source, target):
                if one not in names:
                    names[one] = self._state()
            self.worded[names[source]].append((word, names[target]))
        if part.takes_nothing:
            self.empty[start].append(end)

    def build(self, first: str, rules: dict[str, list[str]]) -> tuple[int, int]:
        """Build the rule that a phrase starts with; give its first and its last state."""
        self.rules = rules
        start, end = self._state(), self._state()
        self.alternatives(self.rules[first], 0, start, end)
        return start, end

    def closure(self, states: Iterable[int]) -> frozenset[int]:
        """Give the states that matter among those reached without a word."""
        return frozenset().union(*(self._reached(state) for state in states))

    def _reached(self, state: int) -> frozenset[int]:
        """Give the states that matter from one, worked out once for each."""
        known = self.reached.get(state)
        if known is not None:
            return known
        seen, waiting = {state}, [state]
        while waiting:
            fresh = [to for to in self.empty[waiting.pop()] if to not in seen]
            seen.update(fresh)
            waiting.extend(fresh)
        found = frozenset(one for one in seen if self.worded[one] or not self.empty[one])
        self.reached[state] = found
        return found


@dataclass(frozen=True, slots=True)
class _Part:
    """What one rule can say: the smallest net of it, and whether it may be left out."""

    net: WordNet
    takes_nothing: bool


def _part(name: str, rules: dict[str, list[str]]) -> _Part:
    """Give the net of a rule; the same rule stands in many grammars and is worked out once."""
    needed = _needed(name, rules)
    return _worked_part(name, tuple((one, tuple(rules[one])) for one in sorted(needed)))


def _needed(name: str, rules: dict[str, list[str]]) -> set[str]:
    """Name a rule and all that it is made of."""
    found, waiting = {name}, [name]
    while waiting:
        inner = {piece for piece in rules[waiting.pop()] if piece.startswith("<")} - found
        found |= inner
        waiting.extend(inner)
    return found


@lru_cache(maxsize=512)
def _worked_part(name: str, rules: tuple[tuple[str, tuple[str, ...]], ...]) -> _Part:
    fragments = _Fragments()
    start, end = fragments.build(name, {one: list(tokens) for one, tokens in rules})
    minimiser = _Minimiser(fragments, {end})
    top = minimiser.number(fragments.closure([start]))
    net = _with_one_end(minimiser.futures, top)
    return _Part(net, takes_nothing=minimiser.futures[top][0])


def _rules_of(jsgf: str) -> tuple[str, dict[str, list[str]]]:
    found = _RULE.findall(_HEADER.sub("", jsgf))
    first = next((name for is_public, name, _ in found if is_public), "")
    if not first:
        raise EarsError("A grammar for the ears has no public rule.", "Mark one rule as public.")
    return first, {name: _TOKEN.findall(body) for _, name, body in found}


class _Minimiser:
    """Walks the subsets depth first and gives equal futures one number."""

    def __init__(self, fragments: _Fragments, ends: set[int]) -> None:
        self._fragments, self._ends = fragments, ends
        self._done: dict[frozenset[int], int] = {}
        self._known: dict[tuple[object, ...], int] = {}
        self.futures: list[tuple[bool, tuple[tuple[str, int], ...]]] = []

    def number(self, states: frozenset[int]) -> int:
        """Give the number of the state that these states together are."""
        if states in self._done:
            return self._done[states]
        reached: dict[str, set[int]] = {}
        for state in states:
            for word, to in self._fragments.worded[state]:
                reached.setdefault(word, set()).add(to)
        arcs = tuple(
            sorted((word, self.number(self._fragments.closure(to))) for word, to in reached.items())
        )
        future = (not self._ends.isdisjoint(states), arcs)
        if future not in self._known:
            self._known[future] = len(self.futures)
            self.futures.append(future)
        self._done[states] = self._known[future]
        return self._done[states]


@lru_cache(maxsize=64)
def word_net(*grammars: str) -> WordNet:
    """Turn grammars without recursion into the smallest word net of all their phrases.

    Args:
        grammars: JSGF texts of words, rules, `|`, `()` and `[]`; the public rule of each is what
            can be said.

    Raises:
        EarsError: when a grammar has no public rule.
    """
    fragments = _Fragments()
    ends = [fragments.build(*_rules_of(jsgf)) for jsgf in grammars]
    minimiser = _Minimiser(fragments, {end for _, end in ends})
    top = minimiser.number(fragments.closure(start for start, _ in ends))
    return _with_one_end(minimiser.futures, top)


def _with_one_end(futures: list[tuple[bool, tuple[tuple[str, int], ...]]], top: int) -> WordNet:
    """Number the start 0 and give every word that can be the last one an arc into one end."""
    names = {top: 0}
    for state in range(len(futures)):
        names.setdefault(state, len(names))
    final = len(names)
    arcs = []
    for state, (_, leaving) in enumerate(futures):
        for word, to in leaving:
            if futures[to][1]:
                arcs.append((names[state], names[to], word))
            if futures[to][0]:
                arcs.append((names[state], final, word))
    return WordNet(tuple(arcs), final, final + 1)
