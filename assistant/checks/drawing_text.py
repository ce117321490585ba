"""A flow as an outline of lines: for a terminal of 80 columns, and for a screen reader.

Every line stands by itself, in words; nothing is told by a line's place alone but the include,
which is also said where it begins and where it is left.
"""

from collections.abc import Iterator
from textwrap import wrap

from assistant.checks.outline import Exit, Node, Outline

_WIDTH = 79
_DEEPEST = 6
_STEP = "  "


def draw_text(outline: Outline) -> str:
    """Draw a flow as an outline in words; lines end with a newline and are under 80 wide.

    A name that is longer than a line is not cut.
    """
    return "\n".join(line.rstrip() for line in _lines(outline)) + "\n"


def _lines(outline: Outline) -> Iterator[str]:
    yield from _folded(outline.title, "")
    yield from _folded(_summary(outline), "")
    for sentence in outline.sentences:
        yield from _folded(sentence, "")
    before: Node | None = None
    for node in outline.nodes.values():
        yield ""
        indent = _STEP * min(_depth(node), _DEEPEST)
        if before is not None and node.group != before.group:
            yield from _folded(_group_line(outline, node), indent)
            yield ""
        yield from _node_lines(outline, node, before, indent)
        before = node


def _depth(node: Node) -> int:
    return node.group.count("/") + 1 if node.group else 0


def _summary(outline: Outline) -> str:
    nodes = outline.nodes.values()
    counts = (
        (len(outline.nodes), "step"),
        (sum(len(node.exits) for node in nodes), "arrow"),
        (len({node.finding.id for node in nodes if node.finding}), "finding"),
        (sum(node.is_hold for node in nodes), "hold point"),
    )
    counted = ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts)
    return f"Flow {outline.id}, edition {outline.edition}: {counted}."


def _group_line(outline: Outline, node: Node) -> str:
    if not node.group:
        return f"Back in the flow {outline.id}."
    return f"Inside {node.group}: {outline.groups[node.group].title}."


def _node_lines(outline: Outline, node: Node, before: Node | None, indent: str) -> Iterator[str]:
    """Give a step's lines: its head, then what it takes, what guards it, where it leads."""
    yield from _folded(f"{node.number}. {node.id}: {node.kind}{_head_marks(node)}", indent)
    inner = indent + "   "
    for line in (*_facts(node), *_walk_lines(node)):
        yield from _folded(line, inner)
    came_from = [one for one in node.entered_from if before is None or one != before.number]
    if came_from:
        yield from _folded(f"from {', '.join(map(str, node.entered_from))}", inner)
    for way in (*node.exits, *node.returns):
        yield from _folded(_exit_line(outline, way), inner)


def _head_marks(node: Node) -> str:
    return ", hold point" if node.is_hold else ""


def _facts(node: Node) -> Iterator[str]:
    yield from (f"caution: {name}" for name in node.cautions)
    yield node.power.words
    if node.finding is not None:
        licensed = ", licensed person" if node.finding.is_licensed else ""
        yield f"finding {node.finding.id}: {node.finding.part}{licensed}"
    if node.takes:
        yield node.takes
    for number, rule in enumerate(node.rules, start=1):
        yield f"check {number}: {rule}"


def _walk_lines(node: Node) -> Iterator[str]:
    if node.visits:
        yield f"walked {', '.join(map(str, node.visits))}"
    yield from node.marks


def _exit_line(outline: Outline, way: Exit) -> str:
    walked = f" (walked {', '.join(map(str, way.walked))})" if way.walked else ""
    return f"{'; '.join(way.words)} -> {outline.target_words(way.target)}{walked}"


def _folded(text: str, indent: str) -> list[str]:
    """Fold a line at the width, what follows set in under it."""
    return wrap(
        text,
        _WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + "    ",
        break_long_words=False,
        break_on_hyphens=False,
    )
