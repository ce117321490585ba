"""Phrases out of a grammar, numbered, so that a sample needs no chance.

At each fork a phrase takes a branch by the digits of its number, each branch equally often, so that
rare long numbers do not crowd out short ones. What can only be typed is never taken.
"""

from dataclasses import dataclass
from hashlib import sha256

from assistant.spoken.nodes import Act, Alt, Free, Lexicon, Maybe, Node, Repeat, Rule, Seq, Word
from assistant.spoken.speakable import can_be_spoken


@dataclass(slots=True)
class _Forks:
    """The branch to take at each fork, drawn from a number."""

    left: int

    def take(self, branches: int) -> int:
        self.left, branch = divmod(self.left, branches)
        return branch


def phrase_by_number(start: Node, number: int) -> str:
    """Give one phrase; equal numbers give equal phrases.

    Args:
        start: the node of a whole answer.
        number: any whole number from 0; neighbouring numbers give very different phrases.
    """
    digest = sha256(str(number).encode()).digest() + sha256(f"{number}+".encode()).digest()
    return " ".join(_words(start, _Forks(int.from_bytes(digest, "big"))))


def _words(node: Node, forks: _Forks) -> list[str]:  # noqa: PLR0911 - one arm a kind of node
    match node:
        case Word():
            return [node.text]
        case Lexicon():
            return node.entries[forks.take(len(node.entries))][0].split()
        case Seq():
            return [word for item in node.items for word in _words(item, forks)]
        case Alt():
            spoken = [item for item in node.items if can_be_spoken(item)]
            return _words(spoken[forks.take(len(spoken))], forks)
        case Maybe():
            is_said = can_be_spoken(node.item) and forks.take(2)
            return _words(node.item, forks) if is_said else []
        case Repeat():
            times = node.least + forks.take(node.most - node.least + 1)
            return [word for _ in range(times) for word in _words(node.item, forks)]
        case Rule():
            return _words(node.body, forks)
        case Act():
            return _words(node.item, forks)
        case Free():
            times = 1 + forks.take(node.most)
            return [node.heard[forks.take(len(node.heard))] for _ in range(times)]
        case _:
            raise ValueError(node)
