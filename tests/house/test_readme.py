"""The README's examples name what ships."""

import re
from pathlib import Path

from assistant.flow.library import flow_names, open_flow

ROOT = Path(__file__).parents[2]


def test_every_step_that_the_readme_names_is_there() -> None:
    """Each FLOW:STEP is a shipped flow and a step of it, and there is one to look at."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    named = re.findall(r"--for ([\w-]+):([\w/]+)", text)
    assert named
    assert set(flow_names()) >= {flow for flow, _ in named}
    assert [] == [(flow, step) for flow, step in named if step not in open_flow(flow).steps]
