"""Fifty real walks ended with SIGKILL; and the harness that counts does see what it counts."""

import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.reading import JOURNAL
from tests.benchmarks import kills

pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no fork on Windows")

SCRIPT = Path(kills.__file__)


def test_fifty_kills_lose_and_double_nothing() -> None:
    """Fifty kills at random moments: 0 lost, 0 doubled, 0 unreadable, 0 astray; some are sealed."""
    done = subprocess.run(
        [sys.executable, str(SCRIPT), "--kills", "50", "--cold", "25", "--seed", "20260203"],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert "" == done.stderr
    counts = json.loads(done.stdout)
    assert [0, 0, 0, 0] == [counts[kind] for kind in kills.BAD]
    assert (0, 50) == (done.returncode, counts["killed"])
    assert counts["acknowledged"] > 300
    assert counts["sealed"] >= 1


def lives(tmp_path: Path) -> kills.Lives:
    """Give a session of the small flow that is yet to be walked."""
    (tmp_path / "sessions").mkdir()
    return kills.Lives(kills.kettle(), tmp_path / "sessions", Counter())


def child(
    capsys: pytest.CaptureFixture[str], harm: Callable[[bytes], bytes], sessions: Path
) -> Callable[[Sequence[str]], tuple[str, bool]]:
    """Make a child that walks five answers in this process, and harms the journal at its end."""

    def live(arguments: Sequence[str]) -> tuple[str, bool]:
        answers = Path(arguments[arguments.index("--answers") + 1])
        answers.write_text("\n".join(answers.read_text().split("\n")[:5]), encoding="utf-8")
        capsys.readouterr()
        run(list(arguments))
        printed = capsys.readouterr().out
        (folder,) = sessions.iterdir()
        content = (folder / JOURNAL).read_bytes()
        (folder / JOURNAL).write_bytes(harm(content))
        return printed, False

    return live


def without_last(content: bytes) -> bytes:
    """Take the last turn away, with the line that the answers ended."""
    lines = content.splitlines(keepends=True)
    return b"".join(lines[:-4])


def heard_twice(content: bytes) -> bytes:
    """Let an answer stand there twice."""
    lines = content.splitlines(keepends=True)
    place = next(n for n, line in enumerate(lines) if b'"kind":"heard"' in line)
    return b"".join([*lines[: place + 1], *lines[place:]])


def changed(content: bytes) -> bytes:
    """Change a word of a line in the middle."""
    return content.replace(b'"words":"ten"', b'"words":"two"', 1)


def unharmed(content: bytes) -> bytes:
    """Change nothing."""
    return content


@pytest.mark.parametrize(
    ("harm", "kinds"),
    [
        (unharmed, set()),
        (without_last, {"lost"}),
        (heard_twice, {"doubled", "unreadable"}),
        (changed, {"doubled", "unreadable"}),
    ],
)
def test_what_is_wrong_is_counted(
    harm: Callable[[bytes], bytes],
    kinds: set[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A journal that lost, doubled or changed what was acknowledged is counted as such."""
    one = lives(tmp_path)
    one.live(child(capsys, harm, tmp_path / "sessions"))
    found = {kind for kind in kills.BAD if one.counts[kind]}
    assert kinds <= found
    assert bool(kinds) == bool(found)
    assert one.counts["acknowledged"] > 5
