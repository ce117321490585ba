"""A flow as a Mermaid flowchart, for pages and notes that draw such text themselves."""

import re
from collections.abc import Iterator

from assistant.checks.drawing_words import ending_words
from assistant.checks.outline import Exit, Node, Outline
from assistant.checks.power import Power
from assistant.flow.model import is_end

_SHAPES = {
    "measure": ("[/", "/]"),
    "ask": ("[\\", "\\]"),
    "observe": ("([", "])"),
    "do": ("[", "]"),
    "work out": ("[[", "]]"),
    "decide": ("{", "}"),
    "find": ("{{", "}}"),
    "include": ("[(", ")]"),
    "way out": ("(", ")"),
}
"""The shape of each kind of step; the kind stands in its label too."""

_BORDERS = {
    Power.OFF: "stroke-width:1px",
    Power.ON: "stroke-width:4px",
    Power.UNPROVEN: "stroke-width:2px,stroke-dasharray:7 4",
    Power.MIXED: "stroke-width:2px,stroke-dasharray:12 4 3 4",
    Power.UNREACHED: "stroke-width:1px,stroke-dasharray:2 4",
}
"""The border of each state of power; the state stands in the label too."""

_ENTITIES = {'"': "#quot;", "#": "#35;", "<": "#lt;", ">": "#gt;", "&": "#amp;", "`": "#96;"}


def draw_mermaid(outline: Outline) -> str:
    """Draw a flow as Mermaid text.

    A big flow has more arrows and more text than a renderer draws by itself; the first lines say
    what it must allow.
    """
    body = "\n".join(_body(outline))
    arrows = sum(len(node.exits) for node in outline.nodes.values())
    size = -(-len(body) // 10_000) * 10_000 + 10_000
    head = (
        f"%% {_plain(outline.title)}: {outline.id}, edition {_plain(outline.edition)}",
        f"%% A renderer must allow maxEdges {arrows} and maxTextSize {size}.",
        *(f"%% {_plain(sentence)}" for sentence in outline.sentences),
    )
    return "\n".join(["flowchart TD", *(f"  {line}" for line in head), body]) + "\n"


def _plain(text: str) -> str:
    """Give text for a comment: one line, no braces, which would begin a directive."""
    return " ".join(text.replace("{", "(").replace("}", ")").split())


def _body(outline: Outline) -> Iterator[str]:
    yield f"  accTitle: {_plain(outline.title)}"
    for power, border in _BORDERS.items():
        yield f"  classDef {power.value} {border}"
    yield "  classDef walked font-weight:bold"
    yield from _group_lines(outline, "", "  ")
    targets = {way.target for node in outline.nodes.values() for way in node.exits}
    for ending in sorted(filter(is_end, targets)):
        yield f'  {node_id(outline, ending)}((("{ending_words(ending)}")))'
    yield from (f"  {arrow}" for arrow in _arrows(outline))
    walked = [node_id(outline, node.id) for node in outline.nodes.values() if node.visits]
    if walked:
        yield f"  class {','.join(walked)} walked"


def _group_lines(outline: Outline, group: str, indent: str) -> Iterator[str]:
    """Give the steps of a group, each include's steps in a frame of their own."""
    for node in outline.nodes.values():
        if node.group != group:
            continue
        yield f"{indent}{_node_line(outline, node)}"
        if node.id in outline.groups:
            frame = outline.groups[node.id]
            yield f'{indent}subgraph {_frame_id(node)}["{_label(f"{frame.id}: {frame.title}")}"]'
            yield from _group_lines(outline, node.id, indent + "  ")
            yield f"{indent}end"


def _frame_id(node: Node) -> str:
    return f"frame_{_legal(node.id)}_{node.number}"


def node_id(outline: Outline, name: str) -> str:
    """Give the Mermaid name of a step or an ending: letters, digits and underscores, unique."""
    node = outline.nodes.get(name)
    return f"ending_{_legal(name)}" if node is None else f"n{node.number}_{_legal(name)}"


def _legal(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "_", name).strip("_")


def _node_line(outline: Outline, node: Node) -> str:
    before, after = _SHAPES[node.kind]
    label = "<br/>".join(_label(line) for line in _label_lines(node))
    return f'{node_id(outline, node.id)}{before}"{label}"{after}:::{node.power.power.value}'


def _label_lines(node: Node) -> Iterator[str]:
    yield f"{node.number} {node.id}"
    yield f"{node.kind}{', HOLD POINT' if node.is_hold else ''}"
    if node.takes and node.finding is None:
        yield node.takes
    yield from (f"caution: {name}" for name in node.cautions)
    if node.finding is not None:
        licensed = ", licensed person" if node.finding.is_licensed else ""
        yield f"finding {node.finding.id}: {node.finding.part}{licensed}"
    yield node.power.words
    if node.visits:
        yield f"walked {', '.join(map(str, node.visits))}"
    yield from node.marks


def _label(text: str) -> str:
    """Give text for a quoted label: every mark that Mermaid reads as its own is an entity."""
    return "".join(_ENTITIES.get(mark, mark) for mark in " ".join(text.split()))


def _arrows(outline: Outline) -> Iterator[str]:
    for node in outline.nodes.values():
        for way in node.exits:
            yield _arrow(outline, node, way)


def _arrow(outline: Outline, node: Node, way: Exit) -> str:
    words = "; ".join(way.words)
    line = "-->"
    if way.walked:
        line, words = "==>", f"{', '.join(map(str, way.walked))}: {words}"
    source, target = node_id(outline, node.id), node_id(outline, way.target)
    return f'{source} {line}|"{_label(words)}"| {target}'
