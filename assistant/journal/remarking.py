"""Saying something of a session: appended to the remarks beside its journal, never to the journal.

Each remark is synced to the disk before it is shown as made.
"""

from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import ClassVar, Self

from assistant.journal.adjoining import AdjoiningBook
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles, Files
from assistant.journal.line import JSON, Line
from assistant.journal.opening import set_aside, title
from assistant.journal.problem import Fault
from assistant.journal.reading import JOURNAL, read_unsealed
from assistant.journal.remarks import (
    ABOUT,
    REMARKED,
    REMARKS,
    REMARKS_TEXT,
    SIGNED_OFF,
    Remarks,
    journal_end,
    remarks_of,
)
from assistant.journal.seal import seal_code
from assistant.journal.transcript import Teller, transcript, write_beside
from assistant.journal.writer import Clock, Event

_ITS_OWN = "Read the remarks; this file can only be put right by hand."


class RemarkBook(AdjoiningBook):
    """The one writer of the remarks on one session; use `take`, and `close` or a `with` block."""

    name: ClassVar[str] = REMARKS

    @classmethod
    def take(cls, folder: Path, *, clock: Clock, files: Files | None = None) -> Self:
        """Open the remarks on a session, or begin them.

        Raises:
            JournalError: when there is no session, another process has the remarks, they are
                damaged, or cannot be written.
        """
        files = files or DiskFiles()
        journal = _content(folder, JOURNAL, files)
        if journal is None:
            raise JournalError(
                f"There is no session at {folder}.", f"Name a folder that holds {JOURNAL}."
            )
        content = _content(folder, REMARKS, files)
        told = _content(folder, REMARKS_TEXT, files)
        _refuse_damaged(folder, remarks_of(content, journal, told))
        if content is not None and told is None and not read_unsealed(content).lines:
            _clear(folder, content, files)
        there = cls._opened(folder, clock, files)
        return cls._begin(folder, journal, clock, files) if there is None else there

    @classmethod
    def _begin(cls, folder: Path, journal: bytes, clock: Clock, files: Files) -> Self:
        book = cls._made(folder, clock, files)
        try:
            book.say({"kind": ABOUT, "session": folder.absolute().name}, journal)
            files.sync_folder(folder)
        except BaseException:
            book.close()
            files.remove(folder / REMARKS)
            raise
        return book

    def say(self, event: Event, journal: bytes) -> None:
        """Add one line, with the end of the journal that it was said of.

        Raises:
            JournalError: when it is not on the disk.
        """
        seen, found = journal_end(journal)
        self.append([{**event, "seen_lines": seen, "seen_hash": found}])

    def tell(self) -> None:
        """Write the remarks as text, with the code that shows a cut at the end.

        Raises:
            JournalError: when it is not on the disk.
        """
        write_beside(self.folder, REMARKS_TEXT, remarks_text(self.lines), self._files)


def remark(
    folder: Path,
    text: str,
    *,
    author: str,
    line: int = 0,
    clock: Clock,
    files: Files | None = None,
) -> Remarks:
    """Make a remark on a session.

    Args:
        folder: the session's folder.
        text: what is to be said.
        author: who says it.
        line: the journal's line that it is about; 0 for the whole session.
        clock: gives the time, with its time zone.
        files: where the session is kept; the disk of this machine when None.

    Raises:
        JournalError: when text or author is empty, there is no such line, or it is not on disk.
    """
    _refuse_empty(text, "A remark says something.")
    event = {"kind": REMARKED, "author": author.strip(), "text": text.strip(), "line": line}
    return _add(folder, event, author, clock, files)


def sign_off(
    folder: Path,
    *,
    author: str,
    agrees: bool,
    why: str,
    findings: Sequence[str] = (),
    clock: Clock,
    files: Files | None = None,
) -> Remarks:
    """Sign a session off: agree or disagree with what was found, and say why.

    Args:
        folder: the session's folder.
        author: who signs.
        agrees: whether with the finding.
        why: why; for the technician and for who comes after.
        findings: the ids of the findings that are judged.
        clock: gives the time, with its time zone.
        files: where the session is kept; the disk of this machine when None.

    Raises:
        JournalError: when the reason or the author is empty, or it is not on disk.
    """
    _refuse_empty(why, "A sign-off says why.")
    event = {
        "kind": SIGNED_OFF,
        "author": author.strip(),
        "agrees": agrees,
        "why": why.strip(),
        "findings": list(findings),
    }
    return _add(folder, event, author, clock, files)


def _add(folder: Path, event: Event, author: str, clock: Clock, files: Files | None) -> Remarks:
    _refuse_empty(author, "Whoever says something of a session is named.")
    files = files or DiskFiles()
    with RemarkBook.take(folder, clock=clock, files=files) as book:
        journal = _content(folder, JOURNAL, files) or b""
        about = event.get("line", 0)
        last, _ = journal_end(journal)
        if not isinstance(about, int) or not 0 <= about <= last:
            raise JournalError(f"{title(folder)} has no line {about}.", f"It has {last} lines.")
        book.say(event, journal)
        book.tell()
    read = [_content(folder, name, files) for name in (REMARKS, REMARKS_TEXT)]
    return remarks_of(read[0], journal, read[1])


def _refuse_empty(text: str, sentence: str) -> None:
    if not text.strip():
        raise JournalError(sentence, "Write at least one word.")


def _refuse_damaged(folder: Path, remarks: Remarks) -> None:
    """Refuse to add where the remarks themselves are damaged: adding would hide a cut."""
    own = [problem for problem in remarks.damage if problem.fault is not Fault.OTHER_SESSION]
    if own:
        called = RemarkBook.title(folder)
        raise JournalError(f"{called} cannot be continued: {own[0].sentence}", _ITS_OWN)


def _clear(folder: Path, torn: bytes, files: Files) -> None:
    """Set aside what a first remark left that never reached the disk."""
    try:
        if torn:
            set_aside(folder, REMARKS, torn, files)
        files.remove(folder / REMARKS)
    except OSError as error:
        raise journal_error(f"{RemarkBook.title(folder)} could not be made", error) from error


def _content(folder: Path, name: str, files: Files) -> bytes | None:
    try:
        with closing(files.open(folder / name)) as file:
            return file.read()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise journal_error(f"{name} of {folder.name} could not be read", error) from error


def remarks_text(lines: Sequence[Line]) -> str:
    """Tell the lines of the remarks as text, with their code at the end."""
    count = f"{len(lines)} line" if len(lines) == 1 else f"{len(lines)} lines"
    return f"{transcript(lines, _TELLERS)}Code: {seal_code(lines[-1])} ({count})\n"


def _tell_remark(data: Mapping[str, JSON]) -> str:
    place = f"line {data.get('line')}" if data.get("line") else "the whole session"
    return f"Remark by {data.get('author')} on {place}: {data.get('text')}"


def _tell_sign_off(data: Mapping[str, JSON]) -> str:
    verb = "agrees with" if data.get("agrees") else "DISAGREES with"
    return f"Signed off by {data.get('author')}, who {verb} the finding: {data.get('why')}"


_TELLERS: Mapping[str, Teller] = {
    ABOUT: lambda data: (
        f"About: session {data.get('session')}, {data.get('seen_lines')} lines at the time,"
        f" the last with hash {data.get('seen_hash')}"
    ),
    REMARKED: _tell_remark,
    SIGNED_OFF: _tell_sign_off,
}
