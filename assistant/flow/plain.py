"""The plain values of a YAML text, with the place of each.

Made from the parser's nodes without a round trip: half the time, and `0.10` keeps its digits.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, StringMark
from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

Where: TypeAlias = tuple[str | int, ...]
"""The way to a value in a file: keys and list positions."""
Places: TypeAlias = dict[Where, tuple[int, int]]
"""Line and column, from 1, of each key or list member."""

try:
    from _ruamel_yaml import CParser
except ImportError:  # a platform without the parser in C reads the same, slower
    CParser = None

_MOST_VALUES = 200_000
"""Aliases of aliases can stand for more than any memory holds; a long flow has 15 000 values."""


class DuplicateKeyError(MarkedYAMLError):
    """A key that stands twice in one mapping; `problem` is the key."""


def plain_values(text: str) -> tuple[Any, Places]:
    """Give the dicts, lists, words and numbers of a YAML 1.2 text, and where each stands.

    Raises:
        YAMLError: when it is no YAML, says a key twice, or stands for too much.
        RecursionError: when it is nested too deeply.
    """
    if _is_deep(text):
        raise RecursionError
    quick = _quick_values(text)
    if quick is not None:
        return quick
    maker = _Maker()
    return maker.make(_loader().compose(text), ()), maker.places


def _loader() -> YAML:
    loader = YAML(typ="safe", pure=True)
    loader.version = (1, 2)
    return loader


def _quick_values(text: str) -> tuple[Any, Places] | None:
    """Give the same by the parser in C, thirty times as fast; None where it has a complaint.

    Every complaint is left to the other parser, which words it. Tags are resolved by its resolver
    too, so that both read YAML 1.2.
    """
    if CParser is None or _ODD.search(text):
        return None
    maker = _Maker()
    try:
        return maker.make(_QuickParser(text).get_single_node(), ()), maker.places
    except Exception:  # noqa: BLE001 - whatever it is, the other parser says it better
        return None


class _QuickParser(CParser or object):  # type: ignore[misc]
    """The parser in C, with tags resolved as by the other one."""

    def resolve(self, kind: type, value: str | None, implicit: tuple[bool, bool]) -> str:
        """Give the tag of a node."""
        if kind is not ScalarNode:
            return "tag:yaml.org,2002:map" if kind is MappingNode else "tag:yaml.org,2002:seq"
        return _tag(value or "", implicit[0])

    def descend_resolver(self, parent: object, index: object) -> None:
        """Paths of tags are not used here."""

    def ascend_resolver(self) -> None:
        """Paths of tags are not used here."""


_ODD = re.compile(
    "[&\t\r\x85\u2028\u2029\ufeff]|^(?:%|---|\\.\\.\\.)|[{,[] *[?:]|^ *\\?", re.MULTILINE
)
"""What the two parsers read differently, or count lines by; a flow has no need of it."""


_DEEPEST = 100
_BRACKETS = re.compile(r"[\[\]{}]")
_INDENTED = re.compile(rf"^[ -]{{{2 * _DEEPEST}}}", re.MULTILINE)


def _is_deep(text: str) -> bool:
    """Say whether a text is nested so deeply that no flow is.

    The parser in C would run out of its stack and take the whole program with it.
    """
    depth = 0
    for mark in _BRACKETS.findall(text):
        # What closes more than was opened stands in somebody's words.
        depth = depth + 1 if mark in "[{" else max(0, depth - 1)
        if depth > _DEEPEST:
            return True
    return _INDENTED.search(text) is not None


@lru_cache(maxsize=1)
def _resolver() -> Any:  # noqa: ANN401 - the other parser's
    return _loader().resolver


@lru_cache(maxsize=8192)
def _tag(value: str, is_plain: bool) -> str:
    return str(_resolver().resolve(ScalarNode, value, (is_plain, not is_plain)))


class _Maker:
    def __init__(self) -> None:
        self.places: Places = {}
        self._count = 0

    def make(self, node: Any, way: Where) -> Any:  # noqa: ANN401 - a YAML node, any plain value
        self._count += 1
        if self._count > _MOST_VALUES:
            raise _at(node.start_mark, "its aliases stand for too many values")
        if isinstance(node, MappingNode):
            return self._mapping(node, way)
        if isinstance(node, SequenceNode):
            return self._sequence(node, way)
        return None if node is None else _scalar(node)

    def _mapping(self, node: MappingNode, way: Where) -> dict[str, Any]:
        out: dict[str, Any] = {}
        for key_node, value in node.value:
            if not isinstance(key_node, ScalarNode):
                raise _at(key_node.start_mark, "a key must be a word")
            key = str(key_node.value)
            if key in out:
                raise DuplicateKeyError(problem=key, problem_mark=key_node.start_mark)
            here = (*way, key)
            self.places[here] = _place(key_node.start_mark)
            out[key] = self.make(value, here)
        return out

    def _sequence(self, node: SequenceNode, way: Where) -> list[Any]:
        members = []
        for position, value in enumerate(node.value):
            here = (*way, position)
            self.places[here] = _place(value.start_mark)
            members.append(self.make(value, here))
        return members


def _place(mark: StringMark) -> tuple[int, int]:
    return mark.line + 1, mark.column + 1


def _at(mark: StringMark, problem: str) -> MarkedYAMLError:
    return MarkedYAMLError(problem=problem, problem_mark=mark)


def _scalar(node: ScalarNode) -> Any:  # noqa: ANN401 - any plain value
    """Give a scalar by the kind that YAML 1.2 gives it; a date stays the words it is."""
    tag, text = str(node.tag), str(node.value)
    kind = tag.rpartition(":")[2]
    if not tag.startswith("tag:yaml.org,2002:"):
        raise _at(node.start_mark, f"the tag '{tag}' is not known here")
    try:
        return _KINDS.get(kind, str)(text)
    except (ValueError, ArithmeticError) as error:
        raise _at(node.start_mark, f"'{text}' is no number") from error


def _whole(text: str) -> int:
    digits = text.replace("_", "")
    bare = digits.lstrip("+-")
    return int(digits, 0) if bare[:2].lower() in {"0x", "0o"} else int(digits)


def _decimal(text: str) -> Decimal:
    digits = text.replace("_", "").lower()
    return Decimal(digits.replace(".inf", "inf").replace(".nan", "nan"))


_KINDS: Mapping[str, Any] = {
    "int": _whole,
    "float": _decimal,
    "bool": lambda text: text.lower() == "true",
    "null": lambda _: None,
}
