"""A session broken off and gone on with: asked again what was proven, nothing doubled, refused."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from assistant.flow.library import open_flow
from assistant.journal.errors import JournalError
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.replay import replay
from assistant.journal.resuming import resume
from assistant.journal.session import Session
from assistant.walk.ends import Heard
from assistant.walk.walk import Walk

FLOWS = Path(__file__).parents[1] / "walk" / "flows"
KETTLE = Walk(open_flow(str(FLOWS / "kettle.yaml")))
FOLDER = Path("sessions")

DEAD = ("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled")
"""A kettle's walk to the first reading that needs it dead and bled."""


def clock() -> Callable[[], datetime]:
    """Give a clock that goes a second at each look."""
    ticks = count()
    return lambda: datetime(2026, 3, 1, tzinfo=UTC) + timedelta(seconds=next(ticks))


def broken_off(files: MemoryFiles, *words: str, after: str = "") -> None:
    """Walk a session so far and let go of it."""
    session = Session.begin(KETTLE, FOLDER, "s", clock=clock(), after=after, files=files)
    for one in words:
        session.hear(Heard(one))
    session.close()


def go_on(files: MemoryFiles) -> Session:
    """Open it again."""
    return resume(KETTLE, FOLDER / "s", clock=clock(), files=files)


def content(files: MemoryFiles) -> bytes:
    """Give the journal's bytes."""
    return bytes(files.contents[FOLDER / "s" / JOURNAL])


def test_the_power_is_proven_off_again() -> None:
    """Broken off at a reading of a dead unit, it is locked, proven dead and bled once more."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    session = go_on(files)
    assert "safe/lock" == session.state.step
    assert {"power": "unknown", "lock": "unlocked"} == {
        name: session.state.conditions[name] for name in ("power", "lock")
    }
    for words in DEAD[2:]:
        session.hear(Heard(words))
    assert "off" == session.state.conditions["power"]
    assert "can" == session.state.step
    session.close()


def test_a_reading_is_not_taken_before_it_is_proven_again() -> None:
    """The number that the step would have taken before the break is not taken now."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    session = go_on(files)
    session.hear(Heard("ten"))
    assert "can" not in session.state.values
    assert [] == [
        line for line in read_content(content(files)).lines if "can" in str(line.data.get("name"))
    ]
    session.close()


def test_gone_on_with_again_and_again_it_replays() -> None:
    """However often it is broken off, its replay is exact and each break is one event."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    for _ in range(3):
        session = go_on(files)
        session.hear(Heard("lock it out"))
        session.close()
    record = read_content(content(files))
    assert 3 == [line.kind for line in record.lines].count("resumed")
    assert () == replay(record, KETTLE).differences
    assert () == record.damage


def test_cut_inside_going_on_it_goes_on_once_more() -> None:
    """Cut at any byte of what going on wrote, it opens, replays, and nothing stands twice."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    before = len(content(files))
    go_on(files).close()
    whole = content(files)
    for cut in range(before, len(whole)):
        files = MemoryFiles()
        files.folders.add(FOLDER / "s")
        files.contents[FOLDER / "s" / JOURNAL] = bytearray(whole[:cut])
        session = go_on(files)
        assert "safe/lock" == session.state.step
        session.close()
        record = read_content(content(files))
        assert () == record.damage
        assert () == replay(record, KETTLE).differences
        kinds = [line.kind for line in record.lines]
        assert kinds.count("began") == 1
        assert kinds.count("heard") == len(DEAD)


def test_a_session_that_was_sent_on_here_goes_on() -> None:
    """That the first line says which session it comes from is no other edition."""
    files = MemoryFiles()
    broken_off(files, "it runs", after="the-one-before")
    session = go_on(files)
    assert "the-one-before" == session.journal.lines[0].data["after"]
    session.close()


def test_scratch_does_not_bring_a_proof_back() -> None:
    """What was proven before the break is not had back by taking an answer back."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    session = go_on(files)
    for _ in DEAD:
        session.hear(Heard("scratch that"))
        assert "off" != session.state.conditions["power"]
        assert "bled" != session.state.conditions["capacitor"]
        assert "locked" != session.state.conditions["lock"]
    session.close()


def test_a_sealed_session_is_not_gone_on_with() -> None:
    """Nothing is added to a sealed one, and one sentence says so."""
    files = MemoryFiles()
    broken_off(files, "stop", "yes")
    before = content(files)
    with pytest.raises(JournalError, match="is sealed, so nothing can be added"):
        go_on(files)
    assert before == content(files)


def test_two_do_not_go_on_at_once() -> None:
    """While one has it, another is refused and changes nothing."""
    files = MemoryFiles()
    broken_off(files, *DEAD)
    session = go_on(files)
    before = content(files)
    with pytest.raises(JournalError, match="is being written by another Rungside"):
        go_on(files)
    assert before == content(files)
    session.close()
    go_on(files).close()
