"""A session meets a full disk, a cut at any byte, a lost seal: nothing moves that is not kept."""

import errno
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.flow.library import open_flow
from assistant.journal.account import Account, give_account
from assistant.journal.errors import JournalError
from assistant.journal.files import File
from assistant.journal.memory import MemoryFile, MemoryFiles
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.replay import replay
from assistant.journal.resuming import resume
from assistant.journal.session import Session, conduct
from assistant.journal.store import Journal
from assistant.journal.transcript import TRANSCRIPT
from assistant.quantity import OverLimit
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence, Sound, Utterance
from assistant.walk.state import State
from assistant.walk.walk import Walk

FLOWS = Path(__file__).parents[1] / "walk" / "flows"
KETTLE = Walk(open_flow(str(FLOWS / "kettle.yaml")))
HUB = Walk(open_flow(str(FLOWS / "hub.yaml")))
FOLDER = Path("sessions")

GOOD = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart", "ten", "yes", "seventeen point five", "yes"),
    *("nine point eight seven", "yes", "all clear", "ready for live test", "power is on"),
    *("one eighteen", "yes", "it is closed up"),
)
"""A kettle's walk from end to end."""


class Disk(MemoryFiles):
    """A disk with room for so many bytes more; None: for all."""

    def __init__(self) -> None:
        super().__init__()
        self.room: int | None = None

    def open(self, path: Path) -> File:
        """Open a file of this disk."""
        super().open(path)
        return DiskFile(self.contents[path], self._locked, self)


class DiskFile(MemoryFile):
    """A file of such a disk."""

    def __init__(self, content: bytearray, locked: set[int], disk: Disk) -> None:
        super().__init__(content, locked)
        self._disk = disk

    def write(self, data: bytes) -> int:
        """Write what there is room for; fail where there is none."""
        if self._disk.room is None:
            return super().write(data)
        if not self._disk.room:
            raise OSError(errno.ENOSPC, "No space left on device")
        written = super().write(data[: self._disk.room])
        self._disk.room -= written
        return written


def clock() -> Callable[[], datetime]:
    """Give a clock that goes a second at each look."""
    ticks = count()
    return lambda: datetime(2026, 3, 1, tzinfo=UTC) + timedelta(seconds=next(ticks))


def begin(files: MemoryFiles, walk: Walk = KETTLE) -> Session:
    """Begin a session in memory."""
    return Session.begin(walk, FOLDER, "s", clock=clock(), technician="QX", files=files)


def sound(words: str) -> Heard | Silence:
    """Make a sound of words; an empty one is silence."""
    return Heard(words) if words else Silence()


def content(files: MemoryFiles) -> bytes:
    """Give the journal's bytes."""
    return bytes(files.contents[FOLDER / "s" / JOURNAL])


def account_of(files: MemoryFiles) -> Account:
    """Fold what is on the disk."""
    return give_account(read_content(content(files)))


def assert_folds_to(state: State, account: Account) -> None:
    """Hold that a record says exactly what the walk knows."""
    values = {
        name: "OL" if isinstance(taken.reading, OverLimit) else f"{taken.reading.value:f}"
        for name, taken in state.values.items()
    }
    assert values == {v.id: "OL" if v.over_limit else v.value for v in account.values}
    kinds = {n: t.verdict.kind.value for n, t in state.values.items() if t.verdict is not None}
    assert kinds == {v.id: v.verdict for v in account.values if v.verdict}
    assert list(state.findings) == [finding.id for finding in account.findings]
    assert dict(state.answers) == {answer.step: answer.choice for answer in account.answers}
    assert (state.outcome or "stopped") == account.outcome


@pytest.mark.parametrize("room", [0, 1, 100, 700])
def test_a_full_disk_moves_nothing_and_the_same_words_work_later(room: int) -> None:
    """With no room the walk has not moved, at any turn; with room again it goes on."""
    disk = Disk()
    session = begin(disk)
    for words in GOOD:
        before, kept = session.state, content(disk)
        disk.room = room
        try:
            session.hear(sound(words))
        except JournalError:
            assert before is session.state
            assert kept == content(disk)
            disk.room = None
            session.hear(sound(words))
        disk.room = None
    assert session.state.outcome == "no_fault"
    session.close()
    record = read_content(content(disk))
    assert record.is_sealed
    assert replay(record, KETTLE).differences == ()


def test_a_seal_that_finds_no_room_is_written_by_the_next_call() -> None:
    """A walk that is over but not sealed says its last words once the seal is there."""
    disk = Disk()
    session = begin(disk)
    for words in GOOD[:-1]:
        session.hear(sound(words))
    real, calls = Journal.seal, []

    def full(self: Journal) -> object:
        calls.append(self)
        raise JournalError("The disk is full.", "Free some space.")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Journal, "seal", full)
        with pytest.raises(JournalError):
            session.hear(sound(GOOD[-1]))
    assert real is Journal.seal
    assert len(calls) == 1
    assert session.state.is_over
    assert session.journal.seal_code == ""
    said = session.hear(Silence())
    assert session.journal.is_sealed
    assert "found no fault" in said[-1].text
    assert said == session.hear(Heard("scratch that"))
    session.close()
    assert account_of(disk).outcome == "no_fault"


def test_a_transcript_that_finds_no_room_does_not_undo_the_seal() -> None:
    """The seal is on the disk; that the transcript is not is said once, and is no second seal."""
    disk = Disk()
    session = begin(disk)
    for words in GOOD[:-1]:
        session.hear(sound(words))
    size = len(content(disk))
    probe = Disk()
    other = begin(probe)
    for words in GOOD:
        other.hear(sound(words))
    disk.room = len(content(probe)) - size
    with pytest.raises(JournalError, match=TRANSCRIPT):
        session.hear(sound(GOOD[-1]))
    assert session.journal.is_sealed
    assert "found no fault" in session.hear(Silence())[-1].text
    session.close()
    assert read_content(content(disk)).is_sealed


def test_a_walk_that_is_over_at_once_is_sealed(tmp_path: Path) -> None:
    """A flow that ends before its first question leaves a sealed record, not an open one."""
    text = (FLOWS / "kettle.yaml").read_text(encoding="utf-8")
    (tmp_path / "shared").mkdir()
    for file in (FLOWS / "shared").iterdir():
        (tmp_path / "shared" / file.name).write_bytes(file.read_bytes())
    file = tmp_path / "kettle.yaml"
    text = text.replace("start: look", "start: low").replace("make_safe: safe\n", "")
    file.write_text(text, encoding="utf-8")
    files = MemoryFiles()
    session = begin(files, Walk(open_flow(str(file))))
    assert session.state.outcome == "stopped"
    assert session.journal.is_sealed


PHRASES = st.sampled_from(
    [
        *("to low", "to high", "to capacitor", "to rating", "to dual", "to gap", "make it dead"),
        *("lock it out", "locked out", "zero", "it may be charged", "it is bled", "fingers clear"),
        *("leads are apart", "leads are connected", "ten", "fifteen", "fourteen", "o l", "yes"),
        *("yes", "no", "not printed", "no such lead", "scratch that", "scratch that", "hold on"),
        *("go ahead", "stop", "skip because no tool", "forty five five", "", "make it live"),
        *("all clear", "ready for live test", "power is on", "that is all"),
        *("note 👩\u200d🔧 שלום", "note half \ud83d", "note tab\there"),
    ]
)
SOUNDS = st.builds(
    lambda words, others: (
        Heard(words, tuple(others), clip="ab12") if words else Silence("microphone")
    ),
    PHRASES,
    st.lists(PHRASES.filter(bool), max_size=2),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(SOUNDS, max_size=70))
def test_any_conversation_folds_and_replays(sounds: list[Heard | Silence]) -> None:
    """The record says what the walk knows, whatever was taken back; the replay is exact."""
    files = MemoryFiles()
    session = begin(files, HUB)
    for one in sounds:
        session.hear(one)
    session.close()
    record = read_content(content(files))
    assert record.damage == ()
    assert_folds_to(session.state, give_account(record))
    again = replay(record, HUB)
    assert again.differences == ()
    state, other = session.state, again.state
    while state.before is not None and other.before is not None:  # the way back is the same too
        assert state == other
        state, other = state.before, other.before
    assert state == other
    assert other.before is None


RETAKEN = ("to rating", "ten", "yes", "to rating", "not printed")
SKIPPED = ("to rating", "skip because no tool", "to rating", "ten", "yes")
PAIR = ("to dual", "twelve five", "yes", "to dual", "ten", "yes")


@pytest.mark.parametrize(
    ("phrases", "values", "answers", "earlier"),
    [
        (RETAKEN, {}, {"hub": "rating", "rating": "not_printed"}, ["rated"]),
        ((*RETAKEN, "scratch that"), {"rated": "10"}, {"hub": "rating"}, []),
        (
            (*RETAKEN, "to rating", "fifteen", "yes"),
            {"rated": "15"},
            {"hub": "rating"},
            ["rated"],
        ),
        (
            (*RETAKEN, "to rating", "fifteen", "yes", "scratch that"),
            {},
            {"hub": "rating", "rating": "not_printed"},
            ["rated"],
        ),
        (SKIPPED, {"rated": "10"}, {"hub": "rating"}, []),
        ((*SKIPPED, "scratch that"), {}, {"hub": "rating", "rating": "skipped"}, []),
        (PAIR, {"pair": "10"}, {"hub": "dual"}, ["pair_second", "pair"]),
        ((*PAIR, "scratch that"), {"pair_second": "5", "pair": "12"}, {"hub": "dual"}, []),
    ],
)
def test_a_record_says_what_stands_and_what_stood(
    phrases: tuple[str, ...], values: dict[str, str], answers: dict[str, str], earlier: list[str]
) -> None:
    """Retaken as a choice, as a number, or one number less: scratch brings each back."""
    files = MemoryFiles()
    session = begin(files, HUB)
    for words in phrases:
        session.hear(Heard(words))
    session.close()
    account = account_of(files)
    assert values == {value.id: value.value for value in account.values}
    assert answers == {answer.step: answer.choice for answer in account.answers}
    assert earlier == [value.id for value in account.earlier]
    assert_folds_to(session.state, account)


@settings(max_examples=60, deadline=None)
@given(st.lists(PHRASES, min_size=1, max_size=40), st.data())
def test_a_session_cut_anywhere_goes_on(phrases: list[str], data: st.DataObject) -> None:
    """Cut at any byte behind its first line, a session is opened again and walked on."""
    files = MemoryFiles()
    session = begin(files, HUB)
    for words in phrases:
        session.hear(sound(words))
    session.close()
    whole = content(files)
    first = whole.index(b"\n") + 1
    cut = data.draw(st.integers(first, len(whole)))
    files.contents[FOLDER / "s" / JOURNAL] = bytearray(whole[:cut])
    if read_content(whole[:cut]).is_sealed:
        return
    torn = replay(read_content(whole[:cut]), HUB)
    assert torn.differences == ()
    again = resume(HUB, FOLDER / "s", clock=clock(), files=files)
    assert HUB.go_on(torn.state).state == again.state
    assert again.journal.is_sealed is again.state.is_over
    for words in phrases:
        again.hear(sound(words))
    again.close()
    record = read_content(content(files))
    assert record.damage == ()
    assert_folds_to(again.state, give_account(record))
    assert replay(record, HUB).differences == ()


def test_what_waits_is_asked_again() -> None:
    """A session that goes on says the turn it stands at; a hold before the break is over."""
    files = MemoryFiles()
    session = begin(files)
    session.hear(Heard("it runs"))
    session.hang_up("end of lines")
    session.close()
    again = resume(KETTLE, FOLDER / "s", clock=clock(), files=files)
    assert "Rated microfarads" in again.utterances[-1].text
    again.hear(Heard("hold on"))
    again.close()
    again = resume(KETTLE, FOLDER / "s", clock=clock(), files=files)
    assert "Rated microfarads" in again.utterances[-1].text
    assert not again.state.is_held
    again.close()
    kinds = [line.kind for line in read_content(content(files)).lines]
    assert (1, 2) == (kinds.count("hung_up"), kinds.count("resumed"))


def test_another_edition_does_not_go_on_with_a_session() -> None:
    """Words that are judged otherwise now are no basis to go on; the journal stays as it was."""
    files = MemoryFiles()
    session = begin(files)
    session.hear(Heard("it runs"))
    session.close()
    before = content(files)
    with pytest.raises(JournalError, match="reads otherwise"):
        resume(HUB, FOLDER / "s", clock=clock(), files=files)
    assert before == content(files)
    resume(KETTLE, FOLDER / "s", clock=clock(), files=files).close()


@pytest.mark.parametrize("key", ["words", "is_silence", "alternatives"])
def test_a_heard_line_that_makes_no_sense_is_one_sentence(key: str) -> None:
    """What cannot be walked again is named by its line; no crash."""
    files = MemoryFiles()
    session = begin(files)
    session.hear(Heard("it runs"))
    session.close()
    old, new = {
        "words": (b'"words":"it runs"', b'"wards":"it runs"'),
        "is_silence": (b'"is_silence":false', b'"is_silence":"so so"'),
        "alternatives": (b'"alternatives":[]', b'"alternatives":7'),
    }[key]
    raw = content(files)
    assert old in raw
    with pytest.raises(JournalError, match=f"'{key}' is missing or wrong"):
        replay(read_content(raw.replace(old, new)), KETTLE)


class _Lines:
    """Ears that hear lines, and a voice that keeps what it was to say."""

    def __init__(self, *lines: str) -> None:
        self._lines = list(lines)
        self.said: list[str] = []

    def listen(self, expectation: Expectation) -> Sound:
        """Give the next line."""
        assert expectation is not None
        return Heard(self._lines.pop(0)) if self._lines else HungUp("No more lines.")

    def say(self, utterance: Utterance) -> None:
        """Keep it."""
        self.said.append(utterance.text)

    def close(self) -> None:
        """Nothing is held."""


def test_nothing_is_said_that_is_not_on_the_disk() -> None:
    """When a turn cannot be kept, conduct raises and no word of that turn was said."""
    disk = Disk()
    session = begin(disk)
    ends = _Lines("it runs")
    disk.room = 10
    with pytest.raises(JournalError):
        conduct(session, ends, ends)
    assert [u.text for u in session.utterances] == ends.said
    assert session.state.answers == {}


def test_a_long_walk_compares_copies_and_replays() -> None:
    """Two thousand turns: the way back is as long as the walk, and nothing recurses over it."""
    files = MemoryFiles()
    session = begin(files, HUB)
    for turn in range(1000):
        session.hear(Heard("to rating"))
        session.hear(Heard("not printed" if turn % 2 else "skip because no tool"))
    session.close()
    assert session.state.answer == 2000
    again = replay(read_content(content(files)), HUB)
    assert again.differences == ()
    assert session.state == again.state
    assert len(repr(session.state)) < 10_000
    state: State | None = session.state
    for _ in range(2000):
        assert state is not None
        state = HUB.hear(state, Heard("scratch that")).state
    assert state is not None
    assert (0, {}) == (state.answer, dict(state.answers))
