"""`rungside draw`: what it prints, where it writes, what it says of what cannot be drawn."""

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from drawing_tools import KETTLE

from assistant.checks.drawing import draw_flow
from assistant.checks.outlining import outline_flow
from assistant.cli import run
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.problems import FlowError


def test_each_format_goes_to_a_file_or_the_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same drawing goes to the terminal and, where asked, to a file."""
    assert 0 == run(["draw", str(KETTLE)])
    assert "1. look: observe" in capsys.readouterr().out
    assert 0 == run(["draw", str(KETTLE), "--format", "mermaid"])
    assert capsys.readouterr().out.startswith("flowchart TD\n")
    file = tmp_path / "kettle.svg"
    assert 0 == run(["draw", str(KETTLE), "--format", "svg", "--output", str(file)])
    root = ET.fromstring(file.read_text(encoding="utf-8"))  # noqa: S314 - our own text
    assert root.tag.endswith("svg")


def test_a_session_is_found_by_its_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A walk kept by `rungside walk` is marked, by its id and by its folder."""
    answers = tmp_path / "answers.txt"
    answers.write_text("it runs\nten\n", encoding="utf-8")
    sessions = tmp_path / "sessions"
    walk = ["walk", str(KETTLE), "--answers", str(answers), "--sessions", str(sessions)]
    run([*walk, "--tech", "QX", "--mute"])
    (folder,) = sessions.iterdir()
    capsys.readouterr()
    for asked in (["--session", folder.name, "--sessions", str(sessions)], ["--session", folder]):
        assert 0 == run(["draw", str(KETTLE), *map(str, asked)])
        assert "walked 2\n" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["draw", "blower-pcs"], 1, "Did you mean 'blower-psc'?"),
        (["draw", str(KETTLE), "--format", "png"], 2, "png"),
        (["draw", str(KETTLE), "--session", "nowhere"], 1, "There is no session 'nowhere'"),
        (["draw", str(KETTLE), "--output", "/nowhere/x.svg"], 1, "/nowhere/x.svg"),
        (["draw"], 2, "flow"),
    ],
)
def test_what_cannot_be_drawn_is_one_sentence(
    arguments: list[str], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line on stderr that says what is wrong, and the exit code that the table promises."""
    assert code == run(arguments)
    error = capsys.readouterr().err.strip()
    assert said.lower() in error.lower()
    assert "\n" not in error


def test_a_flow_with_errors_is_drawn_and_they_are_counted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A flow that no walk may take is drawn, since a drawing helps to mend it."""
    unsafe = KETTLE.parent / "hub.yaml"
    assert 0 == run(["draw", str(unsafe)])
    shown = capsys.readouterr()
    assert "1. hub: do" in shown.out
    assert f"'rungside check {unsafe}' lists them." in shown.err


FLOWS = sorted(
    [*(Path(__file__).parent / "flows").rglob("*.yaml"), *KETTLE.parent.glob("*.yaml")],
    key=lambda file: file.as_posix(),
)


def loaded(file: Path) -> Flow | FlowError:
    """Give the flow of a file, or why it does not load."""
    try:
        return open_flow(str(file))
    except FlowError as error:
        return error


@pytest.mark.parametrize("file", FLOWS, ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_whatever_loads_is_drawn_whole(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A broken flow is drawn in each format as far as it loads; else one sentence says why not."""
    flow = loaded(file)
    if isinstance(flow, FlowError):
        assert 1 == run(["draw", str(file)])
        shown = capsys.readouterr()
        assert ("", f"rungside: {flow}") == (shown.out, shown.err.strip())
        return
    text, mermaid = draw_flow(flow, "text"), draw_flow(flow, "mermaid")
    root = ET.fromstring(draw_flow(flow, "svg"))  # noqa: S314 - our own text
    titles = {one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}title")}
    for number, name in enumerate(outline_flow(flow).nodes, start=1):
        assert f"{number}. {name}: " in text
        assert f"{number} {name}".replace(">", "#gt;") in mermaid
        assert any(title.startswith(f"{number} {name},") for title in titles)
