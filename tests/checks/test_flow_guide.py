"""The guide for those who write flows: its example is a flow, and what it promises holds."""

import re
import shutil
from pathlib import Path

import pytest

from assistant.checks.table import check_file
from assistant.flow.library import flow_names, shipped

GUIDE = (shipped("flows") / "README.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"```yaml\n(.*?)```", GUIDE, re.DOTALL)[0]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a copy of the flows' folder, where the example can stand."""
    shutil.copytree(shipped("flows"), tmp_path / "flows")
    return tmp_path / "flows"


def _said(folder: Path, text: str) -> list[str]:
    file = folder / "filter-only.yaml"
    file.write_text(text, encoding="utf-8")
    return [str(problem).removeprefix(f"{folder}/") for problem in check_file(file)]


def test_the_example_is_a_flow_without_a_complaint(folder: Path) -> None:
    """What the guide tells to save can be walked as it stands."""
    assert _said(folder, EXAMPLE) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "next: drop}",
            "next: drp}",
            "unknown-target: 'drp' is not a step to go to. Did you mean 'drop'?",
        ),
        (
            "static_pressure",
            "voltage",
            "unsafe-path: 'drop' can be reached without: live test agreed.",
        ),
    ],
)
def test_the_complaints_it_shows_are_made(folder: Path, old: str, new: str, said: str) -> None:
    """The mistakes that the guide makes on purpose are named in the words it quotes."""
    assert said in GUIDE
    text = EXAMPLE.replace(old, new)
    if new == "voltage":
        text = text.replace("unit: in_wc", "unit: volt").replace(
            "meter: manometer", "meter: volts_ac"
        )
    assert any(said in one for one in _said(folder, text))


def test_every_shipped_flow_is_listed() -> None:
    """Who looks for a flow finds it in the guide's table."""
    assert [] == [name for name in flow_names() if f"`{name}.yaml`" not in GUIDE]
