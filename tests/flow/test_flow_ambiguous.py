"""What a flow says it cannot tell apart must be something it covers."""

from pathlib import Path

import pytest

from assistant.flow.library import open_flow
from assistant.flow.problems import FlowError

FLOW = """
flow: two
title: Two faults
edition: "1"
covers: [capacitor_weak, capacitor_open]
ambiguous:
  - [capacitor_weak, {other}]
complaints: [slow]
start: seen
steps:
  seen:
    kind: observe
    about: shaft
    say: How does it turn?
    again: How does it turn?
    help: Turn it.
    why: It may be stuck.
    choices: {{turns_free: {{}}, drags: {{}}, stuck: {{}}}}
    next: end
"""


def test_declared_groups_are_kept(tmp_path: Path) -> None:
    """A group of covered faults is part of the flow; the shipped flow's groups are covered."""
    file = tmp_path / "two.yaml"
    file.write_text(FLOW.format(other="capacitor_open"), "utf-8")
    assert (("capacitor_weak", "capacitor_open"),) == open_flow(str(file)).ambiguous
    shipped = open_flow("blower-psc")
    assert {name for group in shipped.ambiguous for name in group} <= set(shipped.covers)


def test_a_group_of_something_else(tmp_path: Path) -> None:
    """A fault that the flow does not cover is named by line and column, with the nearest one."""
    file = tmp_path / "two.yaml"
    file.write_text(FLOW.format(other="capacitor_opne"), "utf-8")
    with pytest.raises(FlowError) as caught:
        open_flow(str(file))
    assert [7] == [problem.line for problem in caught.value.problems]
    assert "Did you mean 'capacitor_open'?" in str(caught.value)
