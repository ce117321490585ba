"""A session is written turn by turn, on the disk and in memory alike."""

import os
import stat
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest

from assistant.journal.errors import JournalError
from assistant.journal.files import DiskFiles, Files
from assistant.journal.line import NO_LINE, digest, encode
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, read_content, read_journal
from assistant.journal.seal import MARKS
from assistant.journal.store import Event, Journal
from assistant.journal.transcript import TRANSCRIPT
from assistant.journal.verifying import verify

Clock = Callable[[], datetime]


class ContractOfFiles:
    """What a session does wherever it is kept; `files` and `read` say where."""

    @pytest.fixture
    def files(self) -> Files:
        """Give the place."""
        raise NotImplementedError

    def read(self, files: Files, path: Path) -> bytes:
        """Give a file's bytes."""
        raise NotImplementedError

    def test_lines_are_chained(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """Lines count from 1, each has the hash of the one before, a turn shares one time."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            first, second = journal.append([{"kind": "said", "text": "a"}, {"kind": "heard"}])
            (third,) = journal.append([{"kind": "noted", "text": "b"}])
        content = self.read(files, tmp_path / "one" / JOURNAL)
        lines = read_content(content).lines
        assert lines == (lines[0], first, second, third)
        assert [1, 2, 3, 4] == [line.seq for line in lines]
        hashes = [NO_LINE, *(digest(raw) for raw in content.split(b"\n")[:3])]
        assert hashes == [line.prev for line in lines]
        assert first.time == second.time < third.time
        assert ("began", {**opening, "session": "one"}) == (lines[0].kind, lines[0].event)

    def test_lines_are_on_the_disk_when_append_returns(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """What a turn wrote can be read by others before the session is closed."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            journal.append([{"kind": "noted", "text": "now"}])
            content = self.read(files, tmp_path / "one" / JOURNAL)
            assert journal.lines == read_content(content).lines

    def test_continuing_goes_on_with_the_chain(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """A session that was closed is opened again and its lines follow on."""
        Journal.create(tmp_path, "one", opening, clock=clock, files=files).close()
        with Journal.open(tmp_path / "one", clock=clock, files=files) as journal:
            journal.append([{"kind": "noted", "text": "again"}])
        record = read_content(self.read(files, tmp_path / "one" / JOURNAL))
        assert (1, 2) == tuple(line.seq for line in record.lines)
        assert () == record.damage

    def test_torn_end_is_set_aside_and_told(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """Torn bytes are kept in a file beside, a line tells of them, and lines follow on."""
        Journal.create(tmp_path, "one", opening, clock=clock, files=files).close()
        file = files.open(tmp_path / "one" / JOURNAL)
        file.write(b'{"data":{"te')
        file.close()
        with Journal.open(tmp_path / "one", clock=clock, files=files) as journal:
            assert "torn" == journal.lines[-1].kind
            assert journal.lines[-1].data["sha256"] == digest(b'{"data":{"te')
            journal.append([{"kind": "noted", "text": "after"}])
        assert b'{"data":{"te' == self.read(files, tmp_path / "one" / "journal.torn-1")
        record = read_content(self.read(files, tmp_path / "one" / JOURNAL))
        assert ["began", "torn", "noted"] == [line.kind for line in record.lines]
        assert (b"", ()) == (record.torn, record.damage)

    def test_earlier_torn_bytes_are_not_written_over(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """A second torn end goes to a file with the next number."""
        Journal.create(tmp_path, "one", opening, clock=clock, files=files).close()
        for torn in (b"first", b"second"):
            file = files.open(tmp_path / "one" / JOURNAL)
            file.write(torn)
            file.close()
            Journal.open(tmp_path / "one", clock=clock, files=files).close()
        assert b"first" == self.read(files, tmp_path / "one" / "journal.torn-1")
        assert b"second" == self.read(files, tmp_path / "one" / "journal.torn-2")

    def test_seal_ends_the_session(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """The seal counts the lines, has the chain's end and a code; nothing can follow it."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            (last,) = journal.append([{"kind": "noted", "text": "x"}])
            seal = journal.seal({"signed": "A. Lead"})
            assert (2, digest(encode(last))) == (seal.data["lines"], seal.data["chain"])
            assert journal.is_sealed
            assert journal.seal_code == seal.data["code"]
            with pytest.raises(JournalError, match="is sealed, so nothing can be added"):
                journal.append([{"kind": "noted"}])
            with pytest.raises(JournalError, match="is sealed"):
                journal.seal()
        with pytest.raises(JournalError, match="is sealed"):
            Journal.open(tmp_path / "one", clock=clock, files=files)
        record = read_content(self.read(files, tmp_path / "one" / JOURNAL))
        assert (True, ()) == (record.is_sealed, record.problems)
        assert record.seal_code == journal.seal_code
        assert journal.seal_code in self.read(files, tmp_path / "one" / TRANSCRIPT).decode()

    def test_code_can_be_read_out(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """The code is three groups of four marks, none of which looks like another."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            journal.seal()
        groups = journal.seal_code.split("-")
        assert [4, 4, 4] == [len(group) for group in groups]
        assert set("".join(groups)) <= set(MARKS)
        assert not set(MARKS) & set("01OIL5S8B2Z") - set("28")

    def test_second_writer_is_refused(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """While a session is open, opening it once more is refused; after closing it is not."""
        journal = Journal.create(tmp_path, "one", opening, clock=clock, files=files)
        with pytest.raises(JournalError, match="is being written by another Rungside"):
            Journal.open(tmp_path / "one", clock=clock, files=files)
        journal.append([{"kind": "noted"}])
        journal.close()
        Journal.open(tmp_path / "one", clock=clock, files=files).close()

    def test_same_id_is_refused(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """A session is never made over another; the first one stays."""
        Journal.create(tmp_path, "one", opening, clock=clock, files=files).close()
        before = self.read(files, tmp_path / "one" / JOURNAL)
        with pytest.raises(JournalError, match=r"There is a session one in .* already"):
            Journal.create(tmp_path, "one", opening, clock=clock, files=files)
        assert before == self.read(files, tmp_path / "one" / JOURNAL)

    def test_closed_session_takes_nothing(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """After closing, which may be done twice, an append is refused."""
        journal = Journal.create(tmp_path, "one", opening, clock=clock, files=files)
        journal.close()
        journal.close()
        with pytest.raises(JournalError, match="is closed"):
            journal.append([{"kind": "noted"}])

    @pytest.mark.parametrize(
        ("event", "sentence"),
        [
            ({"kind": "sealed"}, "is the journal's own"),
            ({"kind": "torn"}, "is the journal's own"),
            ({"text": "x"}, "without a kind"),
            ({"kind": "noted", "x": float("nan")}, "cannot be written as JSON"),
        ],
    )
    def test_bad_event_changes_nothing(
        self,
        files: Files,
        tmp_path: Path,
        clock: Clock,
        opening: Event,
        event: Event,
        sentence: str,
    ) -> None:
        """An event that cannot be written is refused with its whole turn; the next one goes on."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            with pytest.raises(JournalError, match=sentence):
                journal.append([{"kind": "noted"}, event])
            (line,) = journal.append([{"kind": "noted"}])
        assert 2 == line.seq
        assert 2 == len(read_content(self.read(files, tmp_path / "one" / JOURNAL)).lines)

    def test_no_events_write_nothing(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """A turn without events adds no line."""
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            assert () == journal.append([])
            assert 1 == len(journal.lines)

    def test_no_session_is_one_sentence(self, files: Files, tmp_path: Path, clock: Clock) -> None:
        """Continuing what is not there says so."""
        with pytest.raises(JournalError, match="There is no session at"):
            Journal.open(tmp_path / "none", clock=clock, files=files)

    @pytest.mark.parametrize("name", ["", "..", "a/b", "a\\b", ".hidden", "a b", "x" * 121, "ü"])
    def test_id_that_is_no_folder_name_is_refused(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event, name: str
    ) -> None:
        """An id cannot lead out of the sessions' folder."""
        with pytest.raises(JournalError, match="cannot be the name of a session"):
            Journal.create(tmp_path, name, opening, clock=clock, files=files)

    def test_what_is_kept_is_what_was_written(
        self, files: Files, tmp_path: Path, clock: Clock, opening: Event
    ) -> None:
        """Changing an event after it was handed in changes no line."""
        marks = ["a"]
        with Journal.create(tmp_path, "one", opening, clock=clock, files=files) as journal:
            (line,) = journal.append([{"kind": "noted", "marks": marks}])
            marks.append("b")
            assert ["a"] == line.data["marks"]
            assert journal.lines == read_content(
                self.read(files, tmp_path / "one" / JOURNAL)
            ).lines  # fmt: skip


class TestDisk(ContractOfFiles):
    """The contract on the disk of this machine."""

    @pytest.fixture
    def files(self) -> Files:
        """Give the disk."""
        return DiskFiles()

    def read(self, files: Files, path: Path) -> bytes:  # noqa: ARG002  the disk is one
        """Give a file's bytes."""
        return path.read_bytes()


class TestMemory(ContractOfFiles):
    """The contract in memory."""

    @pytest.fixture
    def files(self) -> Files:
        """Give a place of its own."""
        return MemoryFiles()

    def read(self, files: Files, path: Path) -> bytes:
        """Give a file's bytes."""
        assert isinstance(files, MemoryFiles)
        return bytes(files.contents[path])


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_session_is_private(tmp_path: Path, clock: Clock, opening: Event) -> None:
    """Folders that are made are the user's alone, as is every file, whatever the umask."""
    umask = os.umask(0)
    try:
        sessions = tmp_path / "above" / "sessions"
        with Journal.create(sessions, "one", opening, clock=clock) as journal:
            journal.append([{"kind": "noted"}])
        journal_file = journal.folder / JOURNAL
        journal_file.write_bytes(journal_file.read_bytes() + b"torn")
        with Journal.open(journal.folder, clock=clock) as journal:
            journal.seal()
    finally:
        os.umask(umask)
    folders = [sessions.parent, sessions, journal.folder]
    assert [0o700] * 3 == [stat.S_IMODE(folder.stat().st_mode) for folder in folders]
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in journal.folder.iterdir()}
    names = {JOURNAL, TRANSCRIPT, "journal.torn-1"}
    assert dict.fromkeys(names, 0o600) == modes


@contextmanager
def _as_nobody(folder: Path) -> Iterator[None]:
    """Act as a user who may read `folder` but not write to it, also when tests run as root."""
    folder.chmod(0o555)
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if is_root:
            os.seteuid(0)
        folder.chmod(0o755)


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no folder from its user by a mode")
def test_folder_that_may_not_be_written_is_one_sentence(clock: Clock, opening: Event) -> None:
    """A folder that only may be read gives one sentence and is left as it was."""
    # Not tmp_path: pytest makes that in a folder that only root may enter, another refusal.
    with tempfile.TemporaryDirectory() as name:
        sessions = Path(name)
        sessions.chmod(0o755)
        with Journal.create(sessions, "one", opening, clock=clock):
            pass
        (sessions / "one").chmod(0o755)
        (sessions / "one" / JOURNAL).chmod(0o444)
        with _as_nobody(sessions):
            with pytest.raises(JournalError) as made:
                Journal.create(sessions, "two", opening, clock=clock)
            with pytest.raises(JournalError) as opened:
                Journal.open(sessions / "one", clock=clock)
            assert 1 == len(read_journal(sessions / "one").lines)
        assert ["one"] == [path.name for path in sessions.iterdir()]
    expected = f"The session {sessions / 'two'} could not be made: this user may not write there."
    assert expected == made.value.message
    expected = "The session one could not be opened: this user may not write there."
    assert expected == opened.value.message


def test_torn_first_line_is_no_session(tmp_path: Path, clock: Clock) -> None:
    """Where not even the opening is whole nothing was promised, and continuing says so."""
    (tmp_path / JOURNAL).write_bytes(b'{"data":')
    with pytest.raises(JournalError, match="holds no whole line"):
        Journal.open(tmp_path, clock=clock)
    assert b'{"data":' == (tmp_path / JOURNAL).read_bytes()


def test_damaged_session_is_not_continued(
    tmp_path: Path, clock: Clock, open_content: bytes
) -> None:
    """Damage before the end is named by line when continuing, and nothing is written."""
    damaged = open_content.replace(b"17.50", b"11.50")
    (tmp_path / JOURNAL).write_bytes(damaged)
    with pytest.raises(JournalError, match="cannot be continued: Line 4 was changed"):
        Journal.open(tmp_path, clock=clock)
    assert damaged == (tmp_path / JOURNAL).read_bytes()


def test_session_of_a_newer_edition_is_not_continued(
    tmp_path: Path, clock: Clock, open_content: bytes
) -> None:
    """A schema version not known yet is read but not added to."""
    first = open_content.split(b"\n")[0].replace(b'"schema":1', b'"schema":7') + b"\n"
    (tmp_path / JOURNAL).write_bytes(first)
    assert 7 == read_journal(tmp_path).lines[0].schema
    with pytest.raises(JournalError, match="schema version 7, which this Rungside does not know"):
        Journal.open(tmp_path, clock=clock)


def test_clock_set_back_is_a_warning(tmp_path: Path, opening: Event, clock: Clock) -> None:
    """Lines are written with the time the clock gives, and verifying tells where it went back."""
    early, late = clock(), clock()
    times = iter([late, early, late])
    with Journal.create(tmp_path, "one", opening, clock=lambda: next(times)) as journal:
        journal.append([{"kind": "noted"}])
        journal.seal()
    (problem,) = verify(journal.folder)
    assert (2, "clock", False) == (problem.line, problem.fault.value, problem.is_damage)
