"""Two processes on one session, and a process that is killed at any moment."""

import os
import random
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from assistant.journal.errors import JournalError
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.store import Event, Journal
from assistant.journal.verifying import verify

Clock = Callable[[], datetime]

OPENER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from assistant.journal.errors import JournalError
from assistant.journal.store import Journal
try:
    with Journal.open(Path(sys.argv[1]), clock=lambda: datetime.now(UTC)) as journal:
        print("open", flush=True)
        sys.stdin.readline()
except JournalError as error:
    print(error.message, flush=True)
"""

APPENDER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from assistant.journal.store import Journal
with Journal.open(Path(sys.argv[1]), clock=lambda: datetime.now(UTC)) as journal:
    print("open", len(journal.lines), flush=True)
    for turn in range(1_000_000):
        text = "x" * (200_000 if turn % 3 else 20)
        lines = journal.append([
            {"kind": "said", "text": text},
            {"kind": "heard", "words": str(turn)},
        ])
        print("ack", lines[-1].seq, flush=True)
"""

RUNS = 10
"""Kills of one session; with three sessions, thirty in all."""


def start(code: str, folder: Path) -> "subprocess.Popen[str]":
    """Start a Python of our own on a session's folder."""
    return subprocess.Popen(
        [sys.executable, "-c", code, str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )


def line_of(process: "subprocess.Popen[str]") -> str:
    """Give the next line a process prints."""
    assert process.stdout is not None
    return process.stdout.readline().strip()


def test_second_process_is_refused(tmp_path: Path, clock: Clock, opening: Event) -> None:
    """While this process has a session, another one is told so in a sentence, and reads it."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        with start(OPENER, journal.folder) as other:
            said = line_of(other)
            other.communicate()
        journal.append([{"kind": "noted"}])
    assert "The session one is being written by another Rungside." == said
    assert 2 == len(read_journal(tmp_path / "one").lines)


def test_killed_process_lets_go(tmp_path: Path, clock: Clock, opening: Event) -> None:
    """A session that another process has is refused here, until that one is gone."""
    Journal.create(tmp_path, "one", opening, clock=clock).close()
    with start(OPENER, tmp_path / "one") as other:
        assert "open" == line_of(other)
        with pytest.raises(JournalError, match="is being written by another Rungside"):
            Journal.open(tmp_path / "one", clock=clock)
        other.kill()
        other.communicate()
    with Journal.open(tmp_path / "one", clock=clock) as journal:
        journal.append([{"kind": "noted"}])


def test_reading_here_keeps_the_lock(tmp_path: Path, clock: Clock, opening: Event) -> None:
    """Reading a session in the process that writes it lets no other process in."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        assert verify(journal.folder)
        with start(OPENER, journal.folder) as other:
            said = line_of(other)
            other.communicate()
    assert "The session one is being written by another Rungside." == said


@pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL on Windows")
@pytest.mark.parametrize("number", [20260203, 20260204, 20260205])
def test_kill_at_any_moment_loses_nothing(
    tmp_path: Path, clock: Clock, opening: Event, number: int
) -> None:
    """Ten times: kill while it appends; what was acknowledged is there, once, and it goes on."""
    folder = tmp_path / "one"
    Journal.create(tmp_path, "one", opening, clock=clock).close()
    chance = random.Random(number)  # noqa: S311  a test's own chance, the same each time
    for _ in range(RUNS):
        acknowledged = _run_and_kill(folder, chance)
        record = read_journal(folder)
        assert acknowledged <= len(record.lines)
        assert list(range(1, len(record.lines) + 1)) == [line.seq for line in record.lines]
        assert () == record.damage
    with Journal.open(folder, clock=lambda: datetime.now().astimezone()) as journal:
        journal.seal()
    assert [] == [problem for problem in verify(folder) if problem.is_damage]
    turns = [line.data for line in read_journal(folder).lines if line.kind == "heard"]
    assert len(turns) >= RUNS


def _run_and_kill(folder: Path, chance: random.Random) -> int:
    """Let a process append for some turns and a moment, kill it, and give its last promise."""
    with start(APPENDER, folder) as process:
        opened, count = line_of(process).split()
        assert "open" == opened
        acknowledged = int(count)
        for _ in range(chance.randint(1, 5)):
            acknowledged = int(line_of(process).removeprefix("ack "))
        time.sleep(chance.random() * 0.01)
        process.kill()
        rest, _ = process.communicate()
    whole = [word for word in rest.split("\n")[:-1] if word.startswith("ack ")]
    return int(whole[-1].removeprefix("ack ")) if whole else acknowledged


def test_torn_journal_is_read_while_another_writes(
    tmp_path: Path, clock: Clock, opening: Event
) -> None:
    """A reader never needs the lock, and takes a half-written line as torn."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        with (journal.folder / JOURNAL).open("ab") as file:
            file.write(b'{"half')
        record = read_journal(journal.folder)
    assert (1, b'{"half') == (len(record.lines), record.torn)
