"""A walk with its journal: on disk before it moves, folded to what the walk knows, replayed."""

from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.flow.library import open_flow
from assistant.journal.account import give_account
from assistant.journal.errors import JournalError
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import read_content
from assistant.journal.replay import replay
from assistant.journal.session import Session
from assistant.journal.store import Journal
from assistant.quantity import OverLimit
from assistant.walk.ends import Heard, Silence
from assistant.walk.walk import Walk

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
WALK = Walk(open_flow(str(KETTLE)))
FOLDER = Path("sessions")

PHRASES = st.sampled_from(
    [
        *("it runs", "it hums", "it is dead", "not printed", "ten", "fifteen", "zero", "o l"),
        *("lock it out", "locked out", "it is bled", "it may be charged", "leads are apart"),
        *("all clear", "ready for live test", "power is on", "one eighteen", "yes", "yes", "no"),
        *("scratch that", "back", "skip because no tool", "hold on", "go ahead", "stop", "help"),
        *("note wet floor \N{DROPLET}", "", "mumble", "nine point eight seven", "fourteen"),
    ]
)


def begin(files: MemoryFiles) -> Session:
    """Begin a session in memory with a clock of its own."""
    ticks = count()

    def clock() -> datetime:
        return datetime(2026, 3, 1, tzinfo=UTC) + timedelta(seconds=next(ticks))

    return Session.begin(WALK, FOLDER, "s", clock=clock, technician="QX", unit="u", files=files)


def say(session: Session, phrases: list[str]) -> None:
    """Say phrases until the walk is over; an empty one is silence."""
    for phrase in phrases:
        if session.state.is_over:
            return
        session.hear(Heard(phrase) if phrase else Silence())


def content(files: MemoryFiles) -> bytes:
    """Give the journal's bytes."""
    return bytes(files.open(FOLDER / "s" / "journal.jsonl").read())


@settings(max_examples=60, deadline=None)
@given(st.lists(PHRASES, max_size=60))
def test_the_record_says_what_the_walk_knows(phrases: list[str]) -> None:
    """Folded from its events alone, a record has the walk's values, findings, answers and end."""
    files = MemoryFiles()
    session = begin(files)
    say(session, phrases)
    session.close()
    account = give_account(read_content(content(files)))
    state = session.state
    values = {
        name: "OL" if isinstance(taken.reading, OverLimit) else f"{taken.reading.value:f}"
        for name, taken in state.values.items()
    }
    assert values == {v.id: "OL" if v.over_limit else v.value for v in account.values}
    verdicts = {n: t.verdict.outcome for n, t in state.values.items() if t.verdict is not None}
    assert set(verdicts) == {v.id for v in account.values if v.verdict}
    assert list(state.findings) == [finding.id for finding in account.findings]
    assert dict(state.answers) == {answer.step: answer.choice for answer in account.answers}
    assert (state.outcome or "stopped") == account.outcome
    assert account.is_sealed is state.is_over
    assert account.problems == ()


@settings(max_examples=40, deadline=None)
@given(st.lists(PHRASES, max_size=50))
def test_replay_is_exact(phrases: list[str]) -> None:
    """The heard words walked again give the same events and the same state."""
    files = MemoryFiles()
    session = begin(files)
    say(session, phrases)
    session.close()
    again = replay(read_content(content(files)), WALK)
    assert again.differences == ()
    assert session.state == again.state


def other_edition(folder: Path, old: str, new: str) -> Walk:
    """Give the kettle's flow with one text in it replaced."""
    text = KETTLE.read_text(encoding="utf-8")
    assert old in text
    (folder / "shared").mkdir()
    for file in (KETTLE.parent / "shared").iterdir():
        (folder / "shared" / file.name).write_bytes(file.read_bytes())
    (folder / "kettle.yaml").write_text(text.replace(old, new), encoding="utf-8")
    return Walk(open_flow(str(folder / "kettle.yaml")))


def test_an_edition_that_judges_alike_shows_no_difference(tmp_path: Path) -> None:
    """That another edition was asked to judge is itself no difference."""
    files = MemoryFiles()
    session = begin(files)
    say(session, ["it runs", "ten"])
    session.close()
    other = other_edition(tmp_path, 'edition: "3"', 'edition: "4"')
    assert WALK.flow.digest != other.flow.digest
    assert () == replay(read_content(content(files)), other).differences


def test_another_edition_shows_where_it_differs(tmp_path: Path) -> None:
    """Judged by a flow with other limits, the replay names the lines that differ."""
    files = MemoryFiles()
    session = begin(files)
    phrases = ["it runs", "ten", "lock it out", "locked out", "zero", "it may be charged"]
    say(session, [*phrases, "it is bled", "it may be charged", "leads are apart", "nine", "yes"])
    session.close()
    other = other_edition(tmp_path, "rating: rated,", "rating: rated, default: 20,")
    found = replay(read_content(content(files)), other).differences
    assert found
    assert any("cap" in d.recorded or "can" in d.recorded for d in found)


def test_a_turn_that_cannot_be_kept_is_not_walked() -> None:
    """A full disk leaves walk and journal where they were, and the same answer works later."""
    files = MemoryFiles()
    session = begin(files)
    before = session.state
    real = Journal.append

    def full(self: Journal, events: object) -> object:
        del self, events
        raise JournalError("The disk is full.", "Free some space.")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Journal, "append", full)
        with pytest.raises(JournalError):
            session.hear(Heard("it runs"))
    assert before is session.state
    assert real is Journal.append
    session.hear(Heard("it runs"))
    assert session.state.answers == {"look": "runs"}


@pytest.mark.parametrize("key", ["name", "value", "answer", "unit"])
def test_a_line_that_lost_a_key_is_named(key: str) -> None:
    """A value whose line lost what it must say is left out and named; nothing crashes."""
    files = MemoryFiles()
    session = begin(files)
    say(session, ["it runs", "ten"])
    session.close()
    raw = content(files).replace(f'"{key}":'.encode(), f'"{key}x":'.encode())
    account = give_account(read_content(raw))
    assert account.values == ()
    assert any(f"'{key}'" in problem for problem in account.problems)
