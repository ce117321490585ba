"""The parser: every way in which words can be said by a grammar.

Nodes are compiled once into small functions `(run, position) -> ((end, value), ...)`. Each rule is
parsed once at each position (memoised) and yields all its meanings, so an ambiguous phrase is one
that has two. A node that is asked for at the end of the words sets `run.wants_more`: the words so
far are then the beginning of a longer phrase.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import TypeAlias

from assistant.spoken.nodes import (
    TYPED_KEY,
    Act,
    Alt,
    Free,
    Lexicon,
    Maybe,
    Node,
    Repeat,
    Rule,
    Seq,
    Typed,
    TypedOnly,
    Word,
)

Ends: TypeAlias = tuple[tuple[int, Hashable], ...]


@dataclass(slots=True)
class Run:
    """One parse: the words, what was found so far, and whether more words would be taken."""

    tokens: tuple[str, ...]
    keys: tuple[str, ...]
    memo: dict[tuple[int, int], Ends] = field(default_factory=dict)
    wants_more: bool = False


Matcher: TypeAlias = Callable[[Run, int], Ends]


def start_run(tokens: tuple[str, ...]) -> Run:
    """Make a parse of these words."""
    keys = tuple(TYPED_KEY if is_typed_number(token) else token for token in tokens)
    return Run(tokens, keys)


_LONGEST_WHOLE, _LONGEST_DECIMALS = 9, 6
"""No meter and no label shows more figures."""


def is_typed_number(token: str) -> bool:
    """Tell whether a word is a number in digits, of a length that can be shown, with one point."""
    whole, _, decimals = token.partition(".")
    is_short = len(whole) <= _LONGEST_WHOLE and len(decimals) <= _LONGEST_DECIMALS
    return is_short and (whole + decimals).isdecimal() and token.isascii()


@dataclass(frozen=True, slots=True)
class _Opening:
    """Which words a node can begin with, and whether it can be empty."""

    keys: frozenset[str]
    is_empty: bool = False
    is_any: bool = False


class Compiler:
    """Turns nodes into matchers; shared rules are compiled once."""

    def __init__(self) -> None:
        self._rules: dict[int, tuple[Rule, Matcher]] = {}
        self._openings: dict[int, tuple[Node, _Opening]] = {}

    def compile(self, node: Node) -> Matcher:  # noqa: C901, PLR0911 - one arm a kind of node
        """Give the matcher of a node."""
        match node:
            case Word():
                return _word(node.text)
            case Lexicon():
                return _lexicon(node)
            case Seq():
                return _sequence(tuple(self.compile(item) for item in node.items))
            case Alt():
                return self._choice(node.items)
            case Maybe():
                return _maybe(self.compile(node.item))
            case Repeat():
                return _repeat(self.compile(node.item), node.least, node.most)
            case Act():
                return _act(self.compile(node.item), node.means)
            case Rule():
                return self._rule(node)
            case Typed():
                return _typed
            case TypedOnly():
                return self.compile(node.item)
            case Free():
                return _free

    def _rule(self, rule: Rule) -> Matcher:
        if id(rule) not in self._rules:
            body = self.compile(rule.body)
            self._rules[id(rule)] = rule, _memoised(len(self._rules), body)
        return self._rules[id(rule)][1]

    def _choice(self, items: tuple[Node, ...]) -> Matcher:
        compiled = [(self.opening(item), self.compile(item)) for item in items]
        always = tuple(m for o, m in compiled if o.is_empty or o.is_any)
        keys = frozenset().union(*(o.keys for o, _ in compiled))
        table = {
            key: tuple(m for o, m in compiled if key in o.keys or o.is_empty or o.is_any)
            for key in keys
        }
        is_open = any(o.keys or o.is_any for o, _ in compiled)
        return _alternatives(table, always, is_open)

    def opening(self, node: Node) -> _Opening:
        """Give what a node can begin with."""
        if id(node) not in self._openings:
            self._openings[id(node)] = node, self._find_opening(node)
        return self._openings[id(node)][1]

    def _find_opening(self, node: Node) -> _Opening:  # noqa: C901, PLR0911 - the same
        match node:
            case Word():
                return _Opening(frozenset({node.text}))
            case Lexicon():
                return _Opening(frozenset(phrase.split()[0] for phrase, _ in node.entries))
            case Typed():
                return _Opening(frozenset({TYPED_KEY}))
            case Free():
                return _Opening(frozenset(), is_any=True)
            case Seq():
                return self._opening_of_all(node.items)
            case Alt():
                openings = [self.opening(item) for item in node.items]
                return _Opening(
                    frozenset().union(*(o.keys for o in openings)),
                    any(o.is_empty for o in openings),
                    any(o.is_any for o in openings),
                )
            case Maybe():
                inner = self.opening(node.item)
                return _Opening(inner.keys, is_empty=True, is_any=inner.is_any)
            case Repeat():
                inner = self.opening(node.item)
                return _Opening(inner.keys, inner.is_empty or node.least == 0, inner.is_any)
            case Rule():
                return self.opening(node.body)
            case Act() | TypedOnly():
                return self.opening(node.item)

    def _opening_of_all(self, items: tuple[Node, ...]) -> _Opening:
        keys: frozenset[str] = frozenset()
        is_any = False
        for item in items:
            opening = self.opening(item)
            keys |= opening.keys
            is_any = is_any or opening.is_any
            if not opening.is_empty:
                return _Opening(keys, is_empty=False, is_any=is_any)
        return _Opening(keys, is_empty=True, is_any=is_any)


def _word(text: str) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        if at == len(run.keys):
            run.wants_more = True
            return ()
        return ((at + 1, None),) if run.keys[at] == text else ()

    return matches


class _Twig:
    """One place in a table of phrases: the words that may follow, and the values that end here."""

    __slots__ = ("next", "values")

    def __init__(self) -> None:
        self.next: dict[str, _Twig] = {}
        self.values: list[Hashable] = []


def _lexicon(lexicon: Lexicon) -> Matcher:
    root = _Twig()
    for phrase, value in lexicon.entries:
        twig = root
        for word in phrase.split():
            twig = twig.next.setdefault(word, _Twig())
        twig.values.append(value)

    def matches(run: Run, at: int) -> Ends:
        twig: _Twig | None = root
        found: list[tuple[int, Hashable]] = []
        while twig is not None:
            found.extend((at, value) for value in twig.values)
            if not twig.next:
                break
            if at == len(run.keys):
                run.wants_more = True
                break
            twig = twig.next.get(run.keys[at])
            at += 1
        return tuple(found)

    return matches


def _sequence(items: tuple[Matcher, ...]) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        paths: list[tuple[int, tuple[Hashable, ...]]] = [(at, ())]
        for item in items:
            paths = [
                (end, (*values, value))
                for start, values in paths
                for end, value in item(run, start)
            ]
            if not paths:
                return ()
        return tuple(paths)

    return matches


def _alternatives(
    table: dict[str, tuple[Matcher, ...]], always: tuple[Matcher, ...], is_open: bool
) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        if at == len(run.keys):
            run.wants_more = run.wants_more or is_open
            items = always
        else:
            items = table.get(run.keys[at], always)
        if len(items) == 1:
            return items[0](run, at)
        return tuple(found for item in items for found in item(run, at))

    return matches


def _maybe(item: Matcher) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        return ((at, None), *item(run, at))

    return matches


def _repeat(item: Matcher, least: int, most: int) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        paths: list[tuple[int, tuple[Hashable, ...]]] = [(at, ())]
        found = list(paths) if least == 0 else []
        for count in range(1, most + 1):
            paths = list(
                dict.fromkeys(
                    (end, (*values, value))
                    for start, values in paths
                    for end, value in item(run, start)
                    if end > start
                )
            )
            if not paths:
                break
            if count >= least:
                found.extend(paths)
        return tuple(found)

    return matches


def _act(item: Matcher, means: Callable[..., tuple[Hashable, ...]]) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        return tuple(
            dict.fromkeys(
                (end, meaning) for end, value in item(run, at) for meaning in means(value)
            )
        )

    return matches


def _memoised(number: int, body: Matcher) -> Matcher:
    def matches(run: Run, at: int) -> Ends:
        place = number, at
        found = run.memo.get(place)
        if found is None:
            found = run.memo[place] = tuple(dict.fromkeys(body(run, at)))
        return found

    return matches


def _typed(run: Run, at: int) -> Ends:
    if at == len(run.keys):
        return ()
    return ((at + 1, run.tokens[at]),) if run.keys[at] == TYPED_KEY else ()


def _free(run: Run, at: int) -> Ends:
    if at == len(run.keys):
        run.wants_more = True
        return ()
    return ((len(run.tokens), " ".join(run.tokens[at:])),)
