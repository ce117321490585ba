"""Remarks and sign-off: appended beside the journal, never to it; any change of them is named."""

import errno
from collections.abc import Callable
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from journal_clock import ticking

from assistant.journal.errors import JournalError
from assistant.journal.files import File
from assistant.journal.memory import MemoryFile, MemoryFiles
from assistant.journal.problem import Fault
from assistant.journal.reading import JOURNAL
from assistant.journal.remarking import RemarkBook, remark, sign_off
from assistant.journal.remarks import (
    REMARKS,
    REMARKS_TEXT,
    Remarks,
    journal_end,
    read_remarks,
    remarks_of,
)
from assistant.journal.store import Journal

FOLDER = Path("s/one")
HARD = 'שלום مرحبا 👩‍🔧 "quoted"\n\tline two\u2028\x00\x1b[31m\u202e'
Clock = Callable[[], datetime]


def memory(journal: bytes) -> MemoryFiles:
    """Give a place in memory that holds one session."""
    files = MemoryFiles()
    files.make_folder(FOLDER)
    files.contents[FOLDER / JOURNAL] = bytearray(journal)
    return files


def say_all(files: MemoryFiles, clock: Clock) -> Remarks:
    """Say four things of a session."""
    remark(FOLDER, "Why no photo?", author="LT", line=3, clock=clock, files=files)
    remark(FOLDER, HARD, author="L\u00e9a \N{WRENCH}", clock=clock, files=files)
    sign_off(FOLDER, author="LT", agrees=False, why="Too few.", clock=clock, files=files)
    return sign_off(
        FOLDER,
        author="LT",
        agrees=True,
        why="Readings fit.",
        findings=["cap"],
        clock=clock,
        files=files,
    )


@pytest.fixture(scope="module")
def three(sealed_content: bytes) -> tuple[bytes, bytes, bytes]:
    """Give remarks, journal and text of one session with four things said of it."""
    files = memory(sealed_content)
    say_all(files, ticking())
    names = (REMARKS, JOURNAL, REMARKS_TEXT)
    remarks, journal, told = (bytes(files.contents[FOLDER / name]) for name in names)
    return remarks, journal, told


def test_what_was_said_is_read_back(sealed_content: bytes, clock: Clock) -> None:
    """Author, line, words and time come back as given; the last sign-off stands."""
    found = say_all(memory(sealed_content), clock)
    assert [("LT", "Why no photo?", 3), ("L\u00e9a \N{WRENCH}", HARD, 0)] == [
        (one.author, one.text, one.line) for one in found.remarks
    ]
    assert [False, True] == [one.agrees for one in found.sign_offs]
    assert found.standing is not None
    assert ("Readings fit.", ("cap",), 8) == (
        found.standing.why,
        found.standing.findings,
        found.standing.seen,
    )
    assert ("Why no photo?",) == tuple(one.text for one in found.on(3))
    assert () == found.problems


def test_the_journal_is_never_changed(sealed_content: bytes, clock: Clock) -> None:
    """Whatever is said of a session, its journal keeps every byte."""
    files = memory(sealed_content)
    say_all(files, clock)
    assert sealed_content == bytes(files.contents[FOLDER / JOURNAL])


def test_a_session_nobody_spoke_of_has_no_remarks(tmp_path: Path) -> None:
    """No file is no remark and no problem."""
    assert Remarks() == read_remarks(tmp_path)


def test_the_disk_gives_back_what_it_was_given(
    tmp_path: Path, sealed_content: bytes, clock: Clock
) -> None:
    """On a real disk the files are read back alike, and the text tells each remark on one line."""
    (tmp_path / JOURNAL).write_bytes(sealed_content)
    said = remark(tmp_path, HARD, author="LT", line=2, clock=clock)
    assert said == read_remarks(tmp_path)
    assert () == said.problems
    told = (tmp_path / REMARKS_TEXT).read_text(encoding="utf-8").splitlines()
    assert 4 == len(told)
    assert "on line 2" in told[2]


@given(st.data())
def test_any_cut_is_found(three: tuple[bytes, bytes, bytes], data: st.DataObject) -> None:
    """Cut at any byte, the lines before the cut are read and the cut is named by its line."""
    remarks, journal, told = three
    cut = data.draw(st.integers(0, len(remarks) - 1))
    found = remarks_of(remarks[:cut], journal, told)
    whole = remarks[:cut].count(b"\n")
    assert [(whole + 1, Fault.CUT_OFF)] == [
        (p.line, p.fault) for p in found.problems if p.fault is not Fault.TORN
    ]
    full = remarks_of(remarks, journal, told)
    assert found.remarks == tuple(one for one in full.remarks if one.number <= whole)
    assert found.sign_offs == tuple(one for one in full.sign_offs if one.number <= whole)


@given(st.data())
def test_any_changed_byte_is_found(three: tuple[bytes, bytes, bytes], data: st.DataObject) -> None:
    """One byte changed anywhere is damage, named by its line or the one before or after."""
    remarks, journal, told = three
    place = data.draw(st.integers(0, len(remarks) - 2))
    byte = data.draw(st.integers(0, 255).filter(lambda one: one != remarks[place]))
    changed = remarks[:place] + bytes([byte]) + remarks[place + 1 :]
    damage = remarks_of(changed, journal, told).damage
    assert damage
    line = remarks[:place].count(b"\n") + 1
    assert min(abs(problem.line - line) for problem in damage) <= 1


@given(st.permutations(range(5)))
def test_any_other_order_is_found(three: tuple[bytes, bytes, bytes], order: list[int]) -> None:
    """Lines in any other order than they were written are damage."""
    remarks, journal, told = three
    lines = remarks.splitlines(keepends=True)
    moved = b"".join(lines[place] for place in order)
    is_same = all(before < after for before, after in pairwise(order))
    assert is_same is not bool(remarks_of(moved, journal, told).damage)


@pytest.mark.parametrize("gone", range(5))
def test_a_removed_line_is_found(three: tuple[bytes, bytes, bytes], gone: int) -> None:
    """Each line taken out, the last one too, is missed."""
    remarks, journal, told = three
    lines = remarks.splitlines(keepends=True)
    assert remarks_of(b"".join(lines[:gone] + lines[gone + 1 :]), journal, told).damage


def test_removed_remarks_are_missed(three: tuple[bytes, bytes, bytes]) -> None:
    """The whole file gone is a cut at line 1, as the text tells of more."""
    _, journal, told = three
    (problem,) = remarks_of(None, journal, told).problems
    assert (1, Fault.CUT_OFF) == (problem.line, problem.fault)


def test_a_missing_text_is_said(three: tuple[bytes, bytes, bytes]) -> None:
    """Without the text a cut would not show: that is said, and is no damage."""
    remarks, journal, _ = three
    found = remarks_of(remarks, journal, None)
    assert [Fault.UNTOLD] == [problem.fault for problem in found.problems]
    assert () == found.damage


def test_a_journal_written_anew_no_longer_fits(three: tuple[bytes, bytes, bytes]) -> None:
    """A journal rewritten after it was signed off shows, even where its own chain is whole."""
    remarks, journal, told = three
    found = remarks_of(remarks, journal.replace(b"17.50", b"15.70"), told)
    assert () == tuple(p for p in found.damage if p.fault is not Fault.OTHER_SESSION)
    changed = journal.splitlines(keepends=True)
    anew = b"".join(changed[:-1]) + changed[-1].replace(b'"seq":8', b'"seq":9')
    damage = remarks_of(remarks, anew, told).damage
    assert [1, 2, 3, 4, 5] == [problem.line for problem in damage]
    assert {Fault.OTHER_SESSION} == {problem.fault for problem in damage}


def test_a_session_that_went_on_still_fits(open_content: bytes, clock: Clock) -> None:
    """What was said of an open session stays good when the session goes on."""
    files = memory(open_content)
    remark(FOLDER, "Is he still there?", author="LT", clock=clock, files=files)
    with Journal.open(FOLDER, clock=clock, files=files) as journal:
        journal.append([{"kind": "noted", "text": "back"}])
        journal.seal()
    said = remark(FOLDER, "Good.", author="LT", clock=clock, files=files)
    assert () == said.problems
    assert 2 == len(said.remarks)


def test_a_torn_remark_is_set_aside(sealed_content: bytes, clock: Clock) -> None:
    """Bytes left by a write that a power cut ended never join the next remark."""
    files = memory(sealed_content)
    remark(FOLDER, "One.", author="LT", clock=clock, files=files)
    files.contents[FOLDER / REMARKS] += b'{"data":{"author":"L'
    said = remark(FOLDER, "Two.", author="LT", clock=clock, files=files)
    assert ["One.", "Two."] == [one.text for one in said.remarks]
    assert () == said.problems
    assert b'{"data":{"author":"L' == files.contents[FOLDER / "remarks.torn-1"]


@pytest.mark.parametrize("left", [b"", b'{"da'])
def test_a_first_remark_that_never_arrived_is_begun_again(
    sealed_content: bytes, clock: Clock, left: bytes
) -> None:
    """A power cut during the very first remark leaves nothing that stops the next."""
    files = memory(sealed_content)
    files.contents[FOLDER / REMARKS] = bytearray(left)
    said = remark(FOLDER, "One.", author="LT", clock=clock, files=files)
    assert ["One."] == [one.text for one in said.remarks]
    assert () == said.problems


def test_nothing_is_added_to_damaged_remarks(
    three: tuple[bytes, bytes, bytes], clock: Clock
) -> None:
    """Adding to remarks that were cut would hide the cut, so it is refused with the line."""
    remarks, journal, told = three
    files = memory(journal)
    files.contents[FOLDER / REMARKS] = bytearray(b"".join(remarks.splitlines(True)[:-1]))
    files.contents[FOLDER / REMARKS_TEXT] = bytearray(told)
    with pytest.raises(JournalError, match="From line 5 on"):
        remark(FOLDER, "More.", author="LT", clock=clock, files=files)


def test_two_writers_are_not_let_in(sealed_content: bytes, clock: Clock) -> None:
    """While one process writes remarks, another is told so."""
    files = memory(sealed_content)
    with (
        RemarkBook.take(FOLDER, clock=clock, files=files),
        pytest.raises(JournalError, match="another Rungside"),
    ):
        remark(FOLDER, "Me too.", author="LT", clock=clock, files=files)


@pytest.mark.parametrize(
    ("text", "author", "line"),
    [("", "LT", 0), (" \n", "LT", 0), ("Good.", " ", 0), ("Good.", "LT", 9), ("Good.", "LT", -1)],
)
def test_a_remark_says_what_by_whom_and_where(
    sealed_content: bytes, clock: Clock, text: str, author: str, line: int
) -> None:
    """Without words, without a name, or on a line that is not there, nothing is written."""
    files = memory(sealed_content)
    with pytest.raises(JournalError):
        remark(FOLDER, text, author=author, line=line, clock=clock, files=files)
    said = bytes(files.contents.get(FOLDER / REMARKS, b""))
    assert b"remarked" not in said


def test_a_sign_off_says_why(sealed_content: bytes, clock: Clock) -> None:
    """Neither agreeing nor disagreeing goes without a reason."""
    files = memory(sealed_content)
    with pytest.raises(JournalError):
        sign_off(FOLDER, author="LT", agrees=True, why="  ", clock=clock, files=files)


def test_there_must_be_a_session(clock: Clock) -> None:
    """Where there is no journal, there is nothing to say something of."""
    with pytest.raises(JournalError, match="no session"):
        remark(FOLDER, "Good.", author="LT", clock=clock, files=MemoryFiles())


def test_the_end_of_a_journal_is_its_last_whole_line(open_content: bytes) -> None:
    """Torn bytes behind the last newline are no line."""
    assert journal_end(open_content) == journal_end(open_content + b'{"seq')
    assert 7 == journal_end(open_content)[0]


class FullFile(MemoryFile):
    """A file on a disk that takes some bytes, then no more."""

    def write(self, data: bytes) -> int:
        """Take half, then fail."""
        super().write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, "No space left on device")


class FullFiles(MemoryFiles):
    """A place whose remarks cannot be added to any more."""

    def open(self, path: Path) -> File:
        """Open a file that is there; the remarks on a full disk."""
        if path.name != REMARKS:
            return super().open(path)
        super().open(path).close()
        return FullFile(self.contents[path], self._locked)


def test_a_full_disk_leaves_what_was_said(sealed_content: bytes, clock: Clock) -> None:
    """A remark that does not fit is refused in a sentence; those before stay whole."""
    files = memory(sealed_content)
    said = remark(FOLDER, "One.", author="LT", clock=clock, files=files)
    full = FullFiles()
    full.folders, full.contents = files.folders, files.contents
    before = bytes(files.contents[FOLDER / REMARKS])
    with pytest.raises(JournalError, match="the disk is full"):
        remark(FOLDER, "Two.", author="LT", clock=clock, files=full)
    assert before == bytes(files.contents[FOLDER / REMARKS])
    told = bytes(files.contents[FOLDER / REMARKS_TEXT])
    assert said == remarks_of(before, sealed_content, told)
