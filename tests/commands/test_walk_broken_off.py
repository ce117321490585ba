"""However a walk's process ends, short of being killed, its folder holds a transcript."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.transcript import OPEN, SEAL_WORD, TRANSCRIPT
from assistant.journal.verifying import read_verified

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")
WALK = [sys.executable, "-m", "assistant", "walk", FLOW, "--plain"]

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals")


@pytest.fixture
def session(tmp_path: Path) -> Path:
    """A walk whose answers ran out."""
    (tmp_path / "answers.txt").write_text("it runs\n", encoding="utf-8")
    options = ["--answers", str(tmp_path / "answers.txt"), "--sessions", str(tmp_path / "s")]
    assert 1 == run(["walk", FLOW, *options])
    return only_session(tmp_path / "s")


def only_session(folder: Path) -> Path:
    """Give the one session in a folder."""
    (session,) = folder.iterdir()
    return session


def told(session: Path) -> str:
    """Give the transcript."""
    return (session / TRANSCRIPT).read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_walk_that_is_ended(number: signal.Signals, tmp_path: Path) -> None:
    """One sentence says where the session is; the process ends as the signal would have it."""
    with subprocess.Popen(
        [*WALK, "--sessions", str(tmp_path / "s")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as walk:
        assert walk.stdin
        assert walk.stdout
        walk.stdin.write("it runs\n")
        walk.stdin.flush()
        while "Rated microfarads" not in walk.stdout.readline():
            pass
        walk.send_signal(number)
        said = walk.communicate(timeout=60)[1]
    session = only_session(tmp_path / "s")
    assert (1 if number is signal.SIGINT else -number) == walk.returncode
    assert f"What was acknowledged is kept in {session}." in said
    assert 1 == said.count("\n")
    assert told(session).rstrip().endswith(OPEN)
    assert 'Heard: "it runs"' in told(session)
    assert not read_verified(session).damage


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_walk_on_the_screen_that_is_ended(number: signal.Signals, tmp_path: Path) -> None:
    """The terminal is as before, the sentence stands on it, and the session has its transcript."""
    from tests.tools.pty_program import PtyProgram

    places = {"RUNGSIDE_SESSIONS": str(tmp_path / "s"), "XDG_CONFIG_HOME": str(tmp_path / "c")}
    terminal = PtyProgram([*WALK[:-1], "--text"], places)
    try:
        terminal.see("What does it do?")
        terminal.program.send_signal(number)
        assert -number == terminal.end()
        assert terminal.is_as_before
        assert f"Ended by {number.name}. What was acknowledged is kept in" in terminal.seen
    finally:
        terminal.close()
    assert told(only_session(tmp_path / "s")).rstrip().endswith(OPEN)


def test_a_walk_whose_reader_leaves(tmp_path: Path) -> None:
    """What was heard until then is in the transcript."""
    line = ["sh", "-c", '"$@" | head -n 1', "sh", *WALK, "--sessions", str(tmp_path / "s")]
    subprocess.run(line, input="it runs\nten\n", capture_output=True, text=True, check=True)
    assert told(only_session(tmp_path / "s")).rstrip().endswith(OPEN)


def test_an_open_session_with_a_transcript_is_used_as_before(
    session: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is verified, reviewed, packed, unpacked, walked on, sealed and purged."""
    assert OPEN in told(session)
    assert 1 == run(["verify", str(session)])
    assert "not sealed" in capsys.readouterr().out
    assert 0 == run(["review", str(session.parent)])
    assert 0 == run(["pack", str(session), "-o", str(tmp_path / "pack")])
    assert "2 files" in capsys.readouterr().out
    assert 0 == run(["unpack", str(tmp_path / "pack"), "--sessions", str(tmp_path / "other")])
    assert told(session) == told(only_session(tmp_path / "other"))
    (tmp_path / "answers.txt").write_text("stop\nyes\n", encoding="utf-8")
    answers = ["--answers", str(tmp_path / "answers.txt")]
    assert 0 == run(["walk", FLOW, "--resume", str(session), *answers])
    assert SEAL_WORD in told(session).splitlines()[-1]
    assert 0 == run(["verify", str(session)])
    other = only_session(tmp_path / "other")
    assert 0 == run(["purge", str(other), "--yes"])
    assert not (other / TRANSCRIPT).exists()
