"""Whatever fails, and whenever the power goes: what was acknowledged is there, and only once."""

import errno
import random
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import Self

import pytest

from assistant.journal.errors import JournalError
from assistant.journal.files import File
from assistant.journal.line import Line
from assistant.journal.memory import MemoryFile, MemoryFiles
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.store import Event, Journal
from assistant.journal.transcript import TRANSCRIPT

Clock = Callable[[], datetime]
Turns = tuple[tuple[Event, ...], ...]

SESSIONS = Path("s")
FOLDER = SESSIONS / "one"
CALLS = 40
"""More calls than any scenario here makes; `test_every_call_is_reached` holds that."""


class PowerCutError(BaseException):
    """The machine went off: nothing after this runs, not even the tidying up."""


class Disk(MemoryFiles):
    """A disk of which any call can fail, and that forgets what was not synced.

    Args:
        first: the first call that fails, counted from 1; 0: none.
        last: the last call that fails.
        number: the error's number; 0: the power goes instead.
    """

    def __init__(self, first: int = 0, last: int = 0, number: int = 0) -> None:
        super().__init__()
        self.first, self.last, self.number = first, last, number
        self.calls = 0
        self.durable: dict[Path, bytearray] = {}
        self.synced: dict[int, bytes] = {}

    def heal(self) -> None:
        """Let no further call fail."""
        self.first = 0

    def is_failing(self) -> bool:
        """Count a call and tell whether it fails."""
        self.calls += 1
        return 0 < self.first <= self.calls <= self.last

    def fail(self) -> None:
        """Raise what this disk raises."""
        if not self.number:
            self.last = 1_000_000
            raise PowerCutError
        raise OSError(self.number, "failed on purpose")

    def pass_or_fail(self) -> None:
        """Count a call; raise when it is one that fails."""
        if self.is_failing():
            self.fail()

    def make_folder(self, folder: Path) -> None:
        """Make a folder, or fail."""
        self.pass_or_fail()
        super().make_folder(folder)

    def create(self, path: Path) -> File:
        """Make a file, or fail."""
        self.pass_or_fail()
        return super().create(path)

    def open(self, path: Path) -> File:
        """Open a file that fails as this disk does."""
        super().open(path)
        return DiskFile(self.contents[path], self._locked, self)

    def rename(self, path: Path, target: Path) -> None:
        """Rename, or fail."""
        self.pass_or_fail()
        super().rename(path, target)

    def remove(self, path: Path) -> None:
        """Remove, or fail."""
        self.pass_or_fail()
        super().remove(path)

    def sync_folder(self, folder: Path) -> None:
        """Make the names in a folder last, or fail."""
        self.pass_or_fail()
        here = {path: data for path, data in self.contents.items() if path.parent == folder}
        there = {path: data for path, data in self.durable.items() if path.parent != folder}
        self.durable = there | here

    def after_power_cut(self, chance: random.Random) -> "Disk":
        """Give the disk as it may be found: of what was not synced any part is there."""
        found = Disk()
        found.folders = set(self.folders)
        names = self.durable if chance.random() < 0.5 else self.contents
        for path, content in names.items():
            found.contents[path] = self._left(content, chance)
        return found

    def _left(self, content: bytearray, chance: random.Random) -> bytearray:
        synced = self.synced.get(id(content), b"")
        if not content.startswith(synced):  # cut, and the cut may not have come through
            return bytearray(chance.choice([bytes(content), synced]))
        rest = content[len(synced) :]
        left = bytearray(rest[: chance.randint(0, len(rest))])
        if chance.random() < 0.25:  # the size came through, the last bytes did not
            start = chance.randint(0, len(left))
            left[start:] = bytes(len(left) - start)
        return bytearray(synced) + left


class DiskFile(MemoryFile):
    """A file on such a disk."""

    def __init__(self, content: bytearray, locked: set[int], disk: Disk) -> None:
        super().__init__(content, locked)
        self._disk = disk

    def write(self, data: bytes) -> int:
        """Write, some bytes at a time; or write a part and fail."""
        if self._disk.is_failing():
            super().write(data[: len(data) // 2])
            self._disk.fail()
        return super().write(data[:200])

    def sync(self) -> None:
        """Make the content last, or fail."""
        self._disk.pass_or_fail()
        self._disk.synced[id(self.content)] = bytes(self.content)

    def truncate(self, size: int) -> None:
        """Cut, or fail."""
        self._disk.pass_or_fail()
        super().truncate(size)


def walk(disk: Disk, opening: Event, turns: Turns, clock: Clock, done: list[Line]) -> None:
    """Make a session, write all turns and seal it; `done` has every acknowledged line."""
    with Journal.create(SESSIONS, "one", opening, clock=clock, files=disk) as journal:
        done += journal.lines
        for turn in turns:
            done += journal.append(turn)
        journal.seal()
        done += journal.lines[len(done) :]


def content_of(disk: Disk) -> bytes:
    """Give the journal's bytes; none when there is no journal."""
    return bytes(disk.contents.get(FOLDER / JOURNAL, b""))


def assert_kept(disk: Disk, done: Sequence[Line], clock: Clock) -> None:
    """Hold that what was acknowledged is on the disk once, and that the session goes on."""
    record = read_content(content_of(disk))
    assert tuple(done) == record.lines[: len(done)]
    assert () == record.damage
    if not record.lines or record.lines[-1].kind == "sealed":
        return
    with Journal.open(FOLDER, clock=clock, files=disk) as journal:
        journal.append([{"kind": "noted", "text": "on we go"}])
        journal.seal()
    again = read_content(content_of(disk))
    assert record.lines == again.lines[: len(record.lines)]
    assert (True, ()) == (again.is_sealed, again.problems)
    if record.torn:
        kept = [data for path, data in disk.contents.items() if "torn" in path.name]
        assert record.torn in kept


def test_every_call_is_reached(opening: Event, turns: Turns, clock: Clock) -> None:
    """The undisturbed walk makes fewer calls than the tests below try, and seals."""
    disk = Disk()
    walk(disk, opening, turns, clock, [])
    assert 15 < disk.calls < CALLS
    assert read_content(content_of(disk)).is_sealed


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EROFS])
@pytest.mark.parametrize("call", range(1, CALLS))
def test_one_failure_is_told_and_the_same_turn_goes_through_again(
    call: int, number: int, opening: Event, turns: Turns, clock: Clock
) -> None:
    """After one failed call the error is one sentence, and doing the same again leaves no trace."""
    disk = Disk(call, call, number)
    errors = []

    def do(action: Callable[[], object]) -> None:
        try:
            action()
        except JournalError as error:
            errors.append(error.message)
            action()

    made: list[Journal] = []
    do(lambda: made.append(Journal.create(SESSIONS, "one", opening, clock=clock, files=disk)))
    (journal,) = made
    for turn in turns:
        do(lambda turn=turn: journal.append(turn))  # type: ignore[misc]
    do(lambda: journal.is_sealed or journal.seal())
    record = read_content(content_of(disk))
    assert (True, ()) == (record.is_sealed, record.problems)
    expected = ["began", *(event["kind"] for turn in turns for event in turn), "sealed"]
    assert expected == [line.kind for line in record.lines]
    assert (1 if call <= disk.calls and errors else 0) == len(errors)
    assert all(message.endswith(".") and "\n" not in message for message in errors)


def test_failures_are_told_in_words() -> None:
    """A full disk, a faulty disk and a refusal are told apart."""
    said = []
    for number in (errno.ENOSPC, errno.EIO, errno.EROFS):
        with pytest.raises(JournalError) as caught:
            Journal.create(
                SESSIONS, "one", {"kind": "began"}, clock=_no_clock, files=Disk(1, 1, number)
            )
        said.append(caught.value.message.partition(": ")[2])
    assert [
        "the disk is full.",
        "this user may not write there.",
        "the disk reported a fault.",
    ] == [
        said[0],
        said[2],
        said[1],
    ]


def _no_clock() -> datetime:
    raise AssertionError("nothing was to be written")


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
@pytest.mark.parametrize("call", range(1, CALLS))
def test_lasting_failure_loses_nothing(
    call: int, number: int, opening: Event, turns: Turns, clock: Clock
) -> None:
    """When every call from some moment on fails, what was acknowledged is there afterwards."""
    disk = Disk(call, 1_000_000, number)
    done: list[Line] = []
    try:
        walk(disk, opening, turns, clock, done)
    except JournalError as error:
        assert "\n" not in error.message  # noqa: PT017  the walk may also end well
    disk.heal()
    assert_kept(disk, done, clock)


@pytest.mark.parametrize("call", range(1, CALLS))
def test_stuck_writer_writes_no_more(call: int, opening: Event, turns: Turns, clock: Clock) -> None:
    """Where a failed write could not be cut off, the same journal refuses to go on."""
    disk = Disk(call, 1_000_000, errno.EIO)
    journal = None
    try:
        with Journal.create(SESSIONS, "one", opening, clock=clock, files=disk) as journal:
            for turn in turns:
                journal.append(turn)
    except JournalError:
        disk.heal()
        if journal is not None:
            before = content_of(disk)
            with pytest.raises(JournalError, match="stopped half-way before"):
                journal.append(turns[0])
            assert before == content_of(disk)


@pytest.mark.parametrize("call", range(1, CALLS))
def test_power_cut_at_any_call_loses_nothing(
    call: int, opening: Event, turns: Turns, clock: Clock
) -> None:
    """However much of the unsynced bytes is left, every acknowledged line is there."""
    chance = random.Random(call)  # noqa: S311  a test's own chance, the same each time
    for _ in range(12):
        disk = Disk(call, call)
        done: list[Line] = []
        try:
            walk(disk, opening, turns, clock, done)
        except PowerCutError:
            pass
        else:
            assert read_content(content_of(disk)).is_sealed
        assert_kept(disk.after_power_cut(chance), done, clock)


def _torn_disks(content: bytes, number: int) -> Iterator[Disk]:
    for call in range(1, CALLS):
        disk = Disk(call, 1_000_000 if number else call, number)
        disk.folders.add(FOLDER)
        disk.contents[FOLDER / JOURNAL] = bytearray(content)
        disk.durable = dict(disk.contents)
        disk.synced = {id(data): bytes(data) for data in disk.contents.values()}
        yield disk


@pytest.mark.parametrize("number", [0, errno.ENOSPC, errno.EIO])
def test_failure_while_torn_bytes_are_set_aside_loses_none(
    number: int, open_content: bytes, clock: Clock
) -> None:
    """Whatever call fails while a torn session is opened, all of its bytes are still somewhere."""
    torn = b'{"data":{"text":"half a li'
    whole = read_content(open_content).lines
    for disk in _torn_disks(open_content + torn, number):
        try:
            Journal.open(FOLDER, clock=clock, files=disk).close()
        except (JournalError, PowerCutError):
            disk.heal()
        chance = random.Random(disk.calls)  # noqa: S311  a test's own chance, the same each time
        found = disk if number else disk.after_power_cut(chance)
        kept = [bytes(data) for path, data in found.contents.items() if "torn" in path.name]
        assert torn in kept or content_of(found) == open_content + torn
        with Journal.open(FOLDER, clock=clock, files=found) as journal:
            assert whole == journal.lines[: len(whole)]
            assert {"torn"} == {line.kind for line in journal.lines[len(whole) :]}


def test_interrupt_in_a_write_doubles_nothing(
    opening: Event, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A Ctrl-C in the middle of a write takes the turn back; the next one has its number."""
    files = MemoryFiles()
    with Journal.create(SESSIONS, "one", opening, clock=clock, files=files) as journal:
        with monkeypatch.context() as patch:
            patch.setattr(MemoryFile, "sync", _interrupt)
            with pytest.raises(KeyboardInterrupt):
                journal.append([{"kind": "noted", "text": "never"}])
        with pytest.raises(JournalError, match="stopped half-way before"):
            journal.append([{"kind": "noted", "text": "again"}])
    with Journal.open(FOLDER, clock=clock, files=files) as journal:
        journal.seal()
    record = read_content(bytes(files.contents[FOLDER / JOURNAL]))
    assert (True, ()) == (record.is_sealed, record.problems)


class _InterruptedList(list[Line]):
    """A list at whose growing a Ctrl-C comes."""

    def __iadd__(self, _other: object) -> Self:  # type: ignore[override,misc]
        raise KeyboardInterrupt


def test_interrupt_just_after_a_write_doubles_nothing(opening: Event, clock: Clock) -> None:
    """A Ctrl-C when the turn is on the disk but not yet remembered stops this writer."""
    files = MemoryFiles()
    with Journal.create(SESSIONS, "one", opening, clock=clock, files=files) as journal:
        journal._lines = _InterruptedList(journal._lines)
        with pytest.raises(KeyboardInterrupt):
            journal.append([{"kind": "noted", "text": "there"}])
        with pytest.raises(JournalError, match="stopped half-way before"):
            journal.append([{"kind": "noted", "text": "not there"}])
    with Journal.open(FOLDER, clock=clock, files=files) as journal:
        assert ["there"] == [line.data["text"] for line in journal.lines[1:]]


def _interrupt(_file: MemoryFile) -> None:
    raise KeyboardInterrupt


def test_seal_stands_without_its_transcript(opening: Event, turns: Turns, clock: Clock) -> None:
    """When only the transcript fails, the session is sealed all the same and the error says so."""
    seen = 0
    for call in range(1, CALLS):
        disk = Disk(call, 1_000_000, errno.ENOSPC)
        done: list[Line] = []
        try:
            walk(disk, opening, turns, clock, done)
        except JournalError as error:
            if TRANSCRIPT in error.message:
                seen += 1
                assert read_content(content_of(disk)).is_sealed
    assert seen > 3
