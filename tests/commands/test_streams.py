"""A standard stream that is closed, full or left costs one sentence, and nothing of a session."""

import subprocess
import sys
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.verifying import read_verified

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")
FULL, CLOSED = ">/dev/full", ">&-"

pytestmark = pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no /dev/full")


@pytest.fixture
def answers(tmp_path: Path) -> list[str]:
    """Answer by a file of phrases that ends before the walk; the sessions go beside it."""
    file = tmp_path / "answers.txt"
    file.write_text("it runs\nten\n", encoding="utf-8")
    return ["--answers", str(file), "--sessions", str(tmp_path / "s")]


def called(arguments: list[str], streams: str) -> tuple[int, str, str]:
    """Call the command in a process of its own; give its exit code, output and complaints."""
    line = ["sh", "-c", f'"$@" {streams}', "sh", sys.executable, "-m", "assistant", *arguments]
    done = subprocess.run(line, capture_output=True, text=True, check=False, timeout=120)
    return done.returncode, done.stdout, done.stderr


def only_session(folder: Path) -> Path:
    """Give the one session in a folder."""
    (session,) = folder.iterdir()
    return session


@pytest.mark.parametrize(
    ("streams", "why"), [(FULL, "the disk is full"), (CLOSED, "standard output is closed")]
)
@pytest.mark.parametrize(
    "arguments",
    [["hear", "--text", "hi"], ["check", FLOW], ["--version"], ["doctor", "--seconds", "0"]],
    ids=lambda arguments: arguments[0],
)
def test_what_cannot_be_printed_is_told(arguments: list[str], streams: str, why: str) -> None:
    """No output is lost in silence, and the end of the program adds nothing."""
    told = f"rungside: What is to be printed cannot be written: {why}.\n"
    assert (1, "", told) == called(arguments, streams)


@pytest.mark.parametrize("streams", [FULL, CLOSED])
def test_a_report_that_cannot_be_printed(streams: str, answers: list[str], tmp_path: Path) -> None:
    """A report is longer than what a stream keeps back, and fails the same way."""
    run(["walk", FLOW, *answers])
    code, _, said = called(["report", str(only_session(tmp_path / "s"))], streams)
    assert (1, 1) == (code, said.count("\n"))
    assert said.startswith("rungside: What is to be printed")


@pytest.mark.parametrize("streams", [FULL, CLOSED, "| head -n 1 >&2"])
def test_a_walk_that_cannot_be_shown_is_kept(
    streams: str, answers: list[str], tmp_path: Path
) -> None:
    """The walk ends, what was acknowledged is whole on disk, and the sentence says where."""
    code, _, said = called(["walk", FLOW, *answers], streams)
    told = [line for line in said.splitlines() if line.startswith("rungside: ")]
    session = only_session(tmp_path / "s")
    assert len(told) == 1
    assert str(session) in told[0]
    assert "Traceback" not in said
    assert code == (0 if "head" in streams else 1)  # a pipe's code is its last command's
    record = read_verified(session)
    assert not record.damage
    assert "heard" in [line.kind for line in record.lines]


@pytest.mark.parametrize("arguments", [["walk", FLOW, "--plain"], ["practice"]])
def test_nothing_can_be_typed_into_a_closed_input(arguments: list[str], tmp_path: Path) -> None:
    """It is told before a session begins."""
    code, out, said = called([*arguments, "--sessions", str(tmp_path / "s")], "<&-")
    assert (1, "") == (code, out)
    assert said.startswith("rungside: Standard input is closed")
    assert 1 == said.count("\n")
    assert not (tmp_path / "s").exists()


@pytest.mark.parametrize("streams", ["2>&-", "2>/dev/full", "<&- 2>&-"])
def test_an_error_is_no_output(streams: str) -> None:
    """Where no error can be told, it does not go among the results, and the code tells it."""
    assert (1, "", "") == called(["report", "nowhere"], streams)


def test_a_journal_is_no_stream(answers: list[str], tmp_path: Path) -> None:
    """With every stream closed a session is written whole, and nothing else gets into it."""
    code, *_ = called(["walk", FLOW, *answers], "<&- >&- 2>&-")
    assert code == 1
    assert not read_verified(only_session(tmp_path / "s")).damage
