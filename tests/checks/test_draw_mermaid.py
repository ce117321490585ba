"""The flowchart's text: legal names, closed labels, every step and arrow, the walk in thick links.

The grammar is checked here by its shape; the same texts were read without complaint by the parser
of the mermaid package 11.
"""

import re

import pytest
from drawing_tools import AT_CAN, DRAWN, KETTLE, flow_of, outline_of, walked

from assistant.checks.drawing import draw_flow
from assistant.checks.drawing_mermaid import draw_mermaid, node_id
from assistant.flow.model import SpokenStep

NODE = re.compile(r'^\s+(\w+)(?:\[/|\[\\|\(\[|\[\[|\[\(|\[|\{\{|\{|\(\(\(|\()"([^"]*)"(\S+)$')
ARROW = re.compile(r'^\s+(\w+) (-->|==>)\|"([^"]*)"\| (\w+)$')
FRAME = re.compile(r'^\s+subgraph (\w+)\["([^"]*)"\]$')
OTHER = re.compile(
    r"^\s*(flowchart TD|%% .*|accTitle: .*|classDef \w+ [\w:,; -]+|class [\w,]+ \w+|end)$"
)


def read(text: str) -> tuple[dict[str, str], list[tuple[str, str, str, str]]]:
    """Give nodes with their labels and arrows with theirs; every line must be of a known shape."""
    nodes: dict[str, str] = {}
    arrows = []
    depth = 0
    for line in text.splitlines():
        if node := NODE.match(line):
            assert node.group(1) not in nodes
            nodes[node.group(1)] = node.group(2)
        elif arrow := ARROW.match(line):
            arrows.append((arrow[1], arrow[2], arrow[3], arrow[4]))
        elif FRAME.match(line):
            depth += 1
        else:
            assert OTHER.match(line), line
            depth -= line.strip() == "end"
            assert depth >= 0
    assert depth == 0
    return nodes, arrows


@pytest.mark.parametrize("name", DRAWN)
def test_every_step_and_arrow_is_there(name: str) -> None:
    """Each step is one node with its guards in words, each way to a target one labelled link."""
    flow, outline = flow_of(name), outline_of(name)
    nodes, arrows = read(draw_mermaid(outline))
    for step_id, step in flow.steps.items():
        label = nodes[node_id(outline, step_id)]
        for caution in step.cautions if isinstance(step, SpokenStep) else ():
            assert f"caution: {caution}" in label
        assert ("HOLD POINT" in label) == getattr(step, "hold", False)
        assert outline.nodes[step_id].power.words in label
        if hasattr(step, "finding"):
            assert f"finding {step.finding}: " in label
    drawn = {(source, target) for source, _, _, target in arrows}
    wanted = {(node_id(outline, a), node_id(outline, b)) for a, _, b in flow.arrows()}
    assert wanted == drawn
    assert all(label for _, _, label, _ in arrows)


@pytest.mark.parametrize("name", DRAWN)
def test_names_are_legal_and_links_lead_to_nodes(name: str) -> None:
    """A name is letters, digits and underscores, no word of the language, and it is drawn."""
    nodes, arrows = read(draw_mermaid(outline_of(name)))
    for one in nodes:
        assert re.fullmatch(r"[a-z][A-Za-z0-9_]*", one)
        assert one not in {"end", "graph", "flowchart", "subgraph", "class", "style", "click"}
    assert {end for a, _, _, b in arrows for end in (a, b)} <= set(nodes)


@pytest.mark.parametrize("name", DRAWN)
def test_the_limits_a_renderer_needs_are_told(name: str) -> None:
    """The head says how many links and how much text there is, since renderers stop at fewer."""
    text = draw_mermaid(outline_of(name))
    told = re.search(r"maxEdges (\d+) and maxTextSize (\d+)", text)
    assert told is not None
    assert len(read(text)[1]) == int(told[1])
    assert len(text) <= int(told[2])


def test_marks_of_the_language_are_written_as_entities() -> None:
    """Nothing in a label can close it or be read as a mark-up: quotes, angles, hash, ampersand."""
    nodes, _ = read(draw_mermaid(outline_of(str(KETTLE))))
    (label,) = [label for label in nodes.values() if "safe#gt;dead" in label]
    assert ">" not in label.replace("<br/>", "")


def test_a_walk_is_drawn_in_thick_links_with_its_numbers() -> None:
    """The links that were walked are thick and numbered in order; the others are thin."""
    flow = flow_of(str(KETTLE))
    nodes, arrows = read(draw_flow(flow, "mermaid", walked(*AT_CAN, "six point two", "yes")))
    thick = {
        int(number): (a, b)
        for a, line, label, b in arrows
        if line == "==>"
        for number in label.split(":")[0].split(", ")
    }
    assert list(range(1, len(thick) + 1)) == sorted(thick)
    steps = [thick[1][0], *(thick[number][1] for number in sorted(thick))]
    assert [thick[number][0] for number in sorted(thick)] == steps[:-1]
    assert "look" in steps[0]
    assert "low" in steps[-1]
    assert all("walked" in nodes[one] for one in steps)
