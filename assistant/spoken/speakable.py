"""What of a grammar can be spoken: not typed digits, not symbols."""

from assistant.spoken.nodes import Act, Alt, Free, Lexicon, Maybe, Node, Repeat, Rule, Seq, Word


def can_be_spoken(node: Node) -> bool:  # noqa: PLR0911 - one arm a kind of node
    """Tell whether a node has any way of speaking."""
    match node:
        case Word() | Free():
            return True
        case Lexicon():
            return bool(node.entries)
        case Seq():
            return all(can_be_spoken(item) for item in node.items)
        case Alt():
            return any(can_be_spoken(item) for item in node.items)
        case Maybe():
            return True
        case Repeat():
            return node.least == 0 or can_be_spoken(node.item)
        case Rule():
            return can_be_spoken(node.body)
        case Act():
            return can_be_spoken(node.item)
        case _:
            return False


def spoken_words(node: Node) -> frozenset[str]:  # noqa: PLR0911 - one arm a kind of node
    """Give every word that can be spoken by a node."""
    if not can_be_spoken(node):
        return frozenset()
    match node:
        case Word():
            return frozenset({node.text})
        case Lexicon():
            return frozenset(word for phrase, _ in node.entries for word in phrase.split())
        case Seq() | Alt():
            return frozenset().union(*(spoken_words(item) for item in node.items))
        case Maybe() | Repeat() | Act():
            return spoken_words(node.item)
        case Rule():
            return spoken_words(node.body)
        case Free():
            return frozenset(node.heard)
        case _:
            return frozenset()
