"""A flow can send the walk on to another: two sessions, each whole, each knowing the other."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from assistant.cli import run
from assistant.flow.library import shipped

FIRST = """\
flow: which
title: Which one
edition: "1"
start: pick

steps:
  pick:
    kind: observe
    about: footing
    say: "Where is it? Say: on the floor, or on a roof."
    again: "On the floor, or on a roof?"
    help: Say where it stands.
    why: It decides the flow.
    choices:
      on_floor: {next: flow.floor-one}
      on_roof: {next: end}
"""
SECOND = """\
flow: floor-one
title: The one on the floor
edition: "1"
start: look

steps:
  look:
    kind: observe
    about: filter_look
    say: "Look at the filter. Say: filter is clean, or filter is dirty."
    again: "Filter is clean, or filter is dirty?"
    help: Pull it out and look.
    why: It is looked at first.
    choices:
      filter_clean: {next: end}
      filter_dirty: {next: end}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with both flows and the shipped vocabulary."""
    shutil.copy(shipped("flows") / "vocabulary.yaml", tmp_path)
    (tmp_path / "which.yaml").write_text(FIRST, encoding="utf-8")
    (tmp_path / "floor-one.yaml").write_text(SECOND, encoding="utf-8")
    return tmp_path


def _walk(folder: Path, *answers: str) -> int:
    lines = folder / "answers.txt"
    lines.write_text("\n".join(answers) + "\n", encoding="utf-8")
    arguments = ["--answers", str(lines), "--sessions", str(folder / "kept"), "--unit", "RTU-9"]
    return run(["walk", str(folder / "which.yaml"), *arguments])


def _reports(folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, dict[str, Any]]:
    found = {}
    for session in (folder / "kept").iterdir():
        capsys.readouterr()
        assert run(["report", str(session), "--format", "json"]) == 0
        report = json.loads(capsys.readouterr().out)
        found[report["flow"]] = report | {"name": session.name}
    return found


def test_a_walk_that_is_sent_on_goes_on_in_the_other_flow(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both sessions are sealed; the first says where it sent, the second where it came from."""
    assert _walk(folder, "on the floor", "filter is clean") == 0
    assert "Next comes: floor one." in capsys.readouterr().out
    reports = _reports(folder, capsys)
    first, second = reports["which"], reports["floor-one"]
    assert ("sent", "floor-one", "") == (first["outcome"], first["sent_to"], first["after"])
    assert ("no_fault", "", first["name"]) == (
        second["outcome"],
        second["sent_to"],
        second["after"],
    )
    assert (True, True, "RTU-9") == (first["sealed"], second["sealed"], second["unit"])


def test_both_sessions_replay_to_the_letter(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whose session it was after is the journal's own and no difference of the walk."""
    _walk(folder, "on the floor", "filter is dirty")
    for flow, report in _reports(folder, capsys).items():
        session = folder / "kept" / report["name"]
        assert run(["replay", str(session), "--flow", str(folder / f"{flow}.yaml")]) == 0


def test_a_flow_that_is_not_there_is_named(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A walk cannot be sent to a flow that is not beside this one: line, and the nearest."""
    text = FIRST.replace("flow.floor-one", "flow.flor-one")
    (folder / "which.yaml").write_text(text, encoding="utf-8")
    assert _walk(folder, "on the floor") == 1
    said = capsys.readouterr().err
    line = text[: text.index("flow.flor-one")].count("\n") + 1
    assert f"which.yaml:{line}:" in said
    assert "There is no flow 'flor-one' beside this one. Did you mean 'floor-one'?" in said
