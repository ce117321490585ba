"""The pieces that a grammar is made of: plain data, from which all else is derived.

A node matches some words and yields a value. The parser (`matching`), the recogniser's grammar
(`jsgf`) and the sample phrases (`samples`) each walk the same nodes, so they cannot drift apart.
There is no recursion: a `Rule` holds its body, and the nodes form a tree with shared branches.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import TypeAlias

TYPED_KEY = "a number"
"""What stands for any typed number when the parser looks at the next word; no word has a space."""


@dataclass(frozen=True, slots=True)
class Word:
    """Exactly one word; its value is None."""

    text: str


@dataclass(frozen=True, slots=True)
class Lexicon:
    """One of a table of phrases, each with the value it stands for.

    Args:
        entries: phrase (words with single spaces) and value.
    """

    entries: tuple[tuple[str, Hashable], ...]


@dataclass(frozen=True, slots=True)
class Seq:
    """All of these in order; the value is the tuple of their values."""

    items: tuple["Node", ...]


@dataclass(frozen=True, slots=True)
class Alt:
    """One of these; the value is that one's."""

    items: tuple["Node", ...]


@dataclass(frozen=True, slots=True)
class Maybe:
    """This or nothing; the value is None for nothing."""

    item: "Node"


@dataclass(frozen=True, slots=True)
class Repeat:
    """This from `least` to `most` times; the value is the tuple of the values."""

    item: "Node"
    least: int
    most: int


@dataclass(frozen=True, slots=True)
class Rule:
    """A named node: parsed once at each place, and one rule of a recogniser's grammar."""

    name: str
    body: "Node"


@dataclass(frozen=True, slots=True)
class Act:
    """A node with its meaning.

    Args:
        item: what must be said.
        means: gives every meaning that the item's value can have; none refuses the words.
    """

    item: "Node"
    means: Callable[..., tuple[Hashable, ...]]


@dataclass(frozen=True, slots=True)
class Typed:
    """A number typed in digits, as `17.5`; the value is its text. It cannot be spoken."""


@dataclass(frozen=True, slots=True)
class TypedOnly:
    """Symbols and short forms that are understood when typed but never listened for."""

    item: "Node"


@dataclass(frozen=True, slots=True)
class Free:
    """One or more words that are kept as they were said.

    A recogniser with a closed grammar can only hear words that it was given, so it listens for up
    to `most` of `heard`; typed text may hold anything.
    """

    heard: tuple[str, ...]
    most: int


Node: TypeAlias = (
    Word | Lexicon | Seq | Alt | Maybe | Repeat | Rule | Act | Typed | TypedOnly | Free
)


def seq(*items: Node) -> Seq:
    """Put nodes in order."""
    return Seq(items)


def alt(*items: Node) -> Alt:
    """Let one of the nodes be said."""
    return Alt(items)


def words(table: dict[str, Hashable]) -> Lexicon:
    """Make a table of phrases and their values."""
    return Lexicon(tuple(table.items()))


def same(value: Hashable, *phrases: str) -> Lexicon:
    """Make a table of phrases that all mean one thing."""
    return Lexicon(tuple((phrase, value) for phrase in phrases))


def quiet(item: Node) -> Act:
    """Match the item and forget what it was."""
    return Act(item, lambda _: (None,))
