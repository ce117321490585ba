"""`rungside review` without a terminal: plain lines, a session a line, and the right exit code."""

from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.catalogue import MEMORY
from assistant.journal.reading import JOURNAL

FEW = ["no gas", "i am qualified", "stop", "yes"]


@pytest.fixture(scope="module")
def sessions(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with one walk that was stopped, and one folder of noise."""
    folder = tmp_path_factory.mktemp("reviewed")
    answers = folder / "answers.txt"
    answers.write_text("\n".join(FEW), encoding="utf-8")
    kept = folder / "sessions"
    words = ["walk", "blower-psc", "--answers", str(answers), "--unit", "AHU 7"]
    run([*words, "--tech", "Q.X.", "--sessions", str(kept), "--mute"])
    (kept / "noise").mkdir()
    (kept / "noise" / JOURNAL).write_bytes(b"\0")
    return kept


def test_a_pipe_gets_plain_lines(sessions: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each session is one line, damage in its sentence; the end counts them; exit 0."""
    assert 0 == run(["review", str(sessions)])
    noise, walk, total = capsys.readouterr().out.splitlines()
    assert "Q.X. | AHU 7 | blower-psc | Stopped before the end" in walk
    assert "DAMAGED | The journal holds no whole line. | noise" in noise
    assert "2 sessions." == total
    assert (sessions / MEMORY).exists()


@pytest.mark.parametrize("option", [["--thorough"], []])
def test_the_folder_can_be_named_either_way(
    sessions: Path, capsys: pytest.CaptureFixture[str], option: list[str]
) -> None:
    """`--sessions` names the folder as for other commands, and gives the same lines."""
    assert 0 == run(["review", "--sessions", str(sessions), *option])
    assert 3 == len(capsys.readouterr().out.splitlines())


def test_one_session_can_be_named(sessions: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder of one session gives its line."""
    (session,) = [one for one in sessions.iterdir() if "ahu-7" in one.name]
    assert 0 == run(["review", str(session)])
    assert "1 session." == capsys.readouterr().out.splitlines()[-1]


def test_no_session_is_no_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An empty folder has none."""
    assert 0 == run(["review", str(tmp_path)])
    assert "0 sessions." == capsys.readouterr().out.strip()


def test_a_folder_that_is_not_there_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A name that is no folder is exit 1 with one sentence."""
    assert 1 == run(["review", str(tmp_path / "none")])
    assert "There is no folder" in capsys.readouterr().err


def test_naming_it_twice_is_wrong_usage(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two folders do not go together."""
    assert 2 == run(["review", str(tmp_path), "--sessions", str(tmp_path)])
    assert "named twice" in capsys.readouterr().err
