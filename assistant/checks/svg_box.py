"""A step as a box of lines: what is written in it, how high it is, where arrows leave it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from assistant.checks.lettering import NO_BREAK, fold
from assistant.checks.outline import Exit, Node, Outline

BOX_WIDTH = 262
"""How wide each box is."""
_MARGIN = 11
_TOP = 8
_SIZES = {"name": 13.0, "head": 11.0, "fact": 11.0, "guard": 11.0, "exit": 11.0, "walk": 11.0}
_BOLD = frozenset({"name", "guard", "walk"})
_LEADING = 1.32


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of text in a box.

    Args:
        text: the words; they fit between the box's margins.
        role: what it is, which says how it looks: name, head, fact, guard, walk, exit.
        x: where it begins, from the left of the box.
        y: its base line, from the top of the box.
        link: the step it leads to; empty where it leads nowhere.
    """

    text: str
    role: str
    x: float
    y: float
    link: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """A step's box.

    Args:
        node: the step.
        lines: what is written in it.
        height: how high it is.
        rule: the height of the line between what the step is and where it leads.
        ports: for each target, the height at which its arrow leaves.
    """

    node: Node
    lines: tuple[TextLine, ...]
    height: float
    rule: float
    ports: Mapping[str, float]


def size_of(role: str) -> float:
    """Give the letter size of a role."""
    return _SIZES[role]


def is_bold(role: str) -> bool:
    """Whether a role is written bold."""
    return role in _BOLD


def make_box(outline: Outline, node: Node) -> Box:
    """Write a step into a box."""
    pen = _Pen()
    for role, text in _about(node):
        pen.write(role, text)
    rule = pen.y + 5
    pen.y = rule + 3
    ports = {}
    for way in (*node.exits, *node.returns):
        ports[way.target] = pen.y + _SIZES["exit"] * _LEADING / 2
        link = way.target if way.target in outline.nodes else ""
        pen.write("exit", _exit_text(outline, way), link=link, indent=12)
    return Box(node, tuple(pen.lines), pen.y + 7, rule, ports)


class _Pen:
    def __init__(self) -> None:
        self.lines: list[TextLine] = []
        self.y = float(_TOP)

    def write(self, role: str, text: str, *, link: str = "", indent: float = 0) -> None:
        """Write text under what stands there, folded; further lines of it are set in."""
        size = _SIZES[role]
        width = BOX_WIDTH - 2 * _MARGIN - indent
        for position, line in enumerate(fold(text, width, size, is_bold=role in _BOLD)):
            self.y += size * _LEADING
            x = _MARGIN + (indent if position else 0)
            self.lines.append(TextLine(line, role, x, round(self.y - size * 0.3, 1), link))


def _about(node: Node) -> Iterator[tuple[str, str]]:
    """Give what is written of a step, its role first."""
    yield "head", f"{node.number} · {node.kind}"
    yield "name", node.id
    if node.is_hold:
        yield "guard", "HOLD POINT"
    yield from (("guard", f"Caution: {name}") for name in node.cautions)
    yield "fact", node.power.words
    if node.finding is not None:
        licensed = "; licensed person" if node.finding.is_licensed else ""
        yield "guard", f"Finding {node.finding.id}: {node.finding.part}{licensed}"
    if node.takes:
        yield "fact", node.takes
    for number, rule in enumerate(node.rules, start=1):
        yield "fact", f"check {number}: {rule}"
    if node.entered_from:
        yield "fact", f"from {', '.join(map(str, node.entered_from))}"
    if node.visits:
        yield "walk", f"Walked {', '.join(map(str, node.visits))}"
    yield from (("walk", mark[0].upper() + mark[1:]) for mark in node.marks)


def _exit_text(outline: Outline, way: Exit) -> str:
    walked = f" (walked {', '.join(map(str, way.walked))})" if way.walked else ""
    target = outline.target_words(way.target)
    if way.target in outline.nodes:
        target = target.replace(" ", NO_BREAK)
    return f"{'; '.join(way.words)} →{NO_BREAK}{target}{walked}"
