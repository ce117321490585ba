"""The outline in words: complete, narrow, the same words for eye and ear."""

import re

import pytest
from drawing_tools import AT_CAN, DRAWN, KETTLE, flow_of, outline_of, squeezed, walked

from assistant.checks.drawing import draw_flow
from assistant.checks.drawing_text import draw_text
from assistant.checks.drawing_words import ending_words
from assistant.flow.model import SpokenStep


def blocks(text: str) -> dict[str, str]:
    """Give each step's lines by its name."""
    found = {}
    for block in text.split("\n\n"):
        head = re.match(r"\s*\d+\. (\S+):\s", block)
        if head:
            found[head.group(1)] = block
    return found


@pytest.mark.parametrize("name", DRAWN)
def test_every_step_arrow_and_guard_is_told(name: str) -> None:
    """Each step's lines name its guards, its finding with its part, its power and each target."""
    flow, outline = flow_of(name), outline_of(name)
    told = blocks(draw_text(outline))
    assert list(outline.nodes) == list(told)
    for step_id, step in flow.steps.items():
        block = squeezed(told[step_id])
        assert squeezed(outline.nodes[step_id].power.words) in block
        assert ("holdpoint" in block) == getattr(step, "hold", False)
        for caution in step.cautions if isinstance(step, SpokenStep) else ():
            assert f"caution:{caution}" in block
        if hasattr(step, "finding"):
            part = flow.findings[step.finding].part
            assert squeezed(f"finding {step.finding}: {part}") in block
        for _, target in step.exits():
            node = outline.nodes.get(target)
            shown = f"{node.number}{target}" if node else squeezed(ending_words(target))
            assert f"->{shown}" in block


@pytest.mark.parametrize("name", DRAWN)
def test_lines_fit_a_terminal(name: str) -> None:
    """No line is wider than 79, nor ends in a space."""
    text = draw_text(outline_of(name))
    assert [] == [line for line in text.splitlines() if len(line) > 79 or line != line.rstrip()]
    assert text.endswith("\n")


def test_includes_are_set_in_and_said() -> None:
    """An include's steps stand further right, and its beginning and end are told in words."""
    lines = draw_text(outline_of(str(KETTLE))).splitlines()
    assert "  Inside safe: Make it dead." in lines
    assert "Back in the flow kettle." in lines
    (inside,) = [line for line in lines if "safe/test: measure" in line]
    assert inside.startswith("  ")
    (outside,) = [line for line in lines if ". can: measure" in line]
    assert not outside.startswith(" ")


def test_a_step_says_what_it_takes() -> None:
    """A reading is told with its unit, its places, its range and the meter's setting."""
    block = squeezed(blocks(draw_text(outline_of(str(KETTLE))))["low"])
    assert squeezed("resistance, common to low; in ohm, 0 to 200 or over limit") in block


def test_a_walk_is_told_by_numbers_in_order() -> None:
    """Each step that was walked says when, and the arrow that was taken says so too."""
    told = blocks(draw_flow(flow_of(str(KETTLE)), "text", walked(*AT_CAN, "six point two", "yes")))
    assert "walked 1\n" in told["look"]
    assert "passes; any number" not in told["look"]
    assert "it runs; it hums; skipped -> 3 rating (walked 1)" in told["look"]
    assert "walked" not in told["find_dead"]
    assert "found in this walk" in told["find_weak"]
    assert "the walk stands here" in told["low"]
