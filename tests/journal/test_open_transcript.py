"""A session that is not sealed leaves a transcript too, which says so and hides nothing."""

import errno
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.flow.library import open_flow
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL
from assistant.journal.resuming import resume
from assistant.journal.session import Session
from assistant.journal.transcript import OPEN, SEAL_WORD, TRANSCRIPT, is_told_as_sealed
from assistant.walk.ends import Heard
from assistant.walk.walk import Walk

KETTLE = Walk(open_flow(str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")))
FOLDER = Path("sessions") / "s"


def clock() -> datetime:
    """Give the time of a clock that stands still."""
    return datetime(2026, 3, 1, 14, 5, 6, tzinfo=UTC)


@pytest.fixture
def files() -> MemoryFiles:
    """A place in memory."""
    return MemoryFiles()


def begin(files: MemoryFiles) -> Session:
    """Begin a session and answer its first step."""
    session = Session.begin(KETTLE, FOLDER.parent, "s", clock=clock, files=files)
    session.hear(Heard("it runs"))
    return session


def lines(files: MemoryFiles) -> list[str]:
    """Give the transcript's lines."""
    return bytes(files.contents[FOLDER / TRANSCRIPT]).decode().splitlines()


def test_an_open_session_leaves_a_transcript(files: MemoryFiles) -> None:
    """All that was heard and said so far, and in its last line that it is not sealed."""
    begin(files).close()
    told = lines(files)
    assert '14:05:06  Heard: "it runs"' in told
    assert f"14:05:06  {OPEN}" == told[-1]
    assert not is_told_as_sealed("\n".join(told))


def test_a_walk_that_goes_on_writes_it_again(files: MemoryFiles) -> None:
    """What came since is in it; once sealed it ends with the seal and no longer says open."""
    begin(files).close()
    again = resume(KETTLE, FOLDER, clock=clock, files=files)
    again.hear(Heard("ten"))
    again.close()
    assert any('"ten"' in line for line in lines(files))
    assert 1 == sum(OPEN in line for line in lines(files))
    last = resume(KETTLE, FOLDER, clock=clock, files=files)
    last.hear(Heard("stop"))
    last.hear(Heard("yes"))
    last.close()
    assert SEAL_WORD in lines(files)[-1]
    assert not any(OPEN in line for line in lines(files))


def test_a_session_that_is_closed_writes_nothing_more(files: MemoryFiles) -> None:
    """Its lock is let go, so another process may have it."""
    session = begin(files)
    session.close()
    del files.contents[FOLDER / TRANSCRIPT]
    session.close()
    assert FOLDER / TRANSCRIPT not in files.contents


@pytest.mark.parametrize("call", ["create", "rename", "sync_folder"])
def test_one_that_cannot_be_written_is_no_failure(
    call: str, files: MemoryFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The walk's own end is told and the journal is let go, whatever the disk says."""

    def full(*_parts: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    session = begin(files)
    before = bytes(files.contents[FOLDER / JOURNAL])
    monkeypatch.setattr(files, call, full)
    session.close()
    monkeypatch.undo()
    assert before == bytes(files.contents[FOLDER / JOURNAL])
    resume(KETTLE, FOLDER, clock=clock, files=files).close()


def test_one_that_tells_of_a_lost_seal_stays(files: MemoryFiles) -> None:
    """A journal whose seal was cut off is told by its transcript, so that is not written over."""
    begin(files).close()
    sealed = b"14:05:12  Sealed: 2222-2222-2222 (7 lines before it)\n"
    files.contents[FOLDER / TRANSCRIPT][:] = sealed
    resume(KETTLE, FOLDER, clock=clock, files=files).close()
    assert sealed == files.contents[FOLDER / TRANSCRIPT]
