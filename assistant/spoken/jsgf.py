"""A grammar as JSGF, the Java Speech Grammar Format that pocketsphinx takes.

Source of the form: W3C note "JSpeech Grammar Format", 5 June 2000 (from memory): a header, a
grammar name, and rules with `|`, `[]`, `()`. One public rule stands first; each `Rule` node becomes
one private rule. What can only be typed is left out.
"""

import re

from assistant.spoken.nodes import (
    Act,
    Alt,
    Free,
    Lexicon,
    Maybe,
    Node,
    Repeat,
    Rule,
    Seq,
    Word,
)


class JsgfWriter:
    """Writes the rules of one grammar."""

    def __init__(self) -> None:
        self._names: dict[int, str] = {}
        self._rules: dict[str, str | None] = {}
        self._kept: list[Node] = []

    def write(self, start: Node, name: str) -> str:
        """Give the whole text.

        Args:
            start: what a whole answer may be.
            name: the name of the grammar and of its public rule.
        """
        safe = re.sub(r"\W", "_", name) or "step"
        body = self._text(start)
        lines = ["#JSGF V1.0;", f"grammar {safe};", f"public <{safe}> = {body};"]
        lines += [f"<{rule}> = {text};" for rule, text in self._rules.items() if text]
        return "\n".join(lines) + "\n"

    def _text(self, node: Node) -> str | None:  # noqa: PLR0911 - one arm a kind of node
        """Give the expansion; None where nothing of it can be spoken."""
        match node:
            case Word():
                return node.text
            case Lexicon():
                return _either([phrase for phrase, _ in node.entries])
            case Seq():
                parts = [self._text(item) for item in node.items]
                spoken = [part for part in parts if part is not None]
                return " ".join(spoken) if len(spoken) == len(parts) else None
            case Alt():
                texts = [self._text(item) for item in node.items]
                return _either([text for text in texts if text is not None])
            case Maybe():
                inner = self._text(node.item)
                return "" if inner is None else f"[{inner}]"
            case Repeat():
                return _repeated(self._text(node.item), node.least, node.most)
            case Act():
                return self._text(node.item)
            case Rule():
                return self._reference(node)
            case Free():
                return _repeated(self._free(node), 1, node.most)
            case _:
                return None

    def _reference(self, rule: Rule) -> str | None:
        if id(rule) not in self._names:
            name = rule.name
            while name in self._rules:
                name += "x"
            self._names[id(rule)] = name
            self._kept.append(rule)
            self._rules[name] = None
            self._rules[name] = self._text(rule.body)
        name = self._names[id(rule)]
        return f"<{name}>" if self._rules[name] else None

    def _free(self, free: Free) -> str:
        self._rules["anything"] = _either(list(free.heard))
        return "<anything>"


def _either(texts: list[str]) -> str | None:
    distinct = list(dict.fromkeys(texts))
    if not distinct:
        return None
    return distinct[0] if len(distinct) == 1 else "(" + " | ".join(distinct) + ")"


def _repeated(text: str | None, least: int, most: int) -> str | None:
    if text is None:
        return "" if least == 0 else None
    optional = ""
    for _ in range(most - least):
        optional = f"[{text} {optional}]".replace(" ]", "]")
    return " ".join([text] * least + [optional]).strip()
