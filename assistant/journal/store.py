"""A session being written: each turn is synced to the disk before anyone says "got it"."""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import ClassVar, Self

from assistant.journal.book import Book, event_data
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles, File, Files
from assistant.journal.line import SCHEMA, Line, encode, stamp
from assistant.journal.opening import TORN, clear, sealed_error, title
from assistant.journal.reading import JOURNAL, Record, read_content
from assistant.journal.seal import SEALED, seal_line
from assistant.journal.transcript import TELLERS, Teller, write_open_transcript, write_transcript
from assistant.journal.writer import Clock, Event

__all__ = ["Clock", "Event", "Journal"]

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,119}")


class Journal(Book):
    """The one writer of one session; use `create` or `open`, and `close` or a `with` block."""

    name: ClassVar[str] = JOURNAL
    own_kinds: ClassVar[frozenset[str]] = frozenset({SEALED, TORN})

    @classmethod
    def title(cls, folder: Path) -> str:
        """Give what the session is called in a sentence."""
        return title(folder)

    @classmethod
    def read(cls, content: bytes) -> Record:
        """Read a journal's bytes as they were written."""
        return read_content(content, upgrades={})

    @classmethod
    def create(
        cls,
        sessions: Path,
        session_id: str,
        opening: Event,
        *,
        rest: Sequence[Event] = (),
        clock: Clock,
        files: Files | None = None,
    ) -> Self:
        """Make the folder `sessions/session_id` with a journal of the first turn, synced.

        Args:
            sessions: the folder that holds all sessions; made when it is not there.
            session_id: the session's name; letters, digits, `.`, `_` and `-`.
            opening: the first event: its kind, with the flow's id, edition and content hash. The
                session's id is added to its data as `session`.
            rest: the other events of the first turn, written in the same write.
            clock: gives the time of each turn, with its time zone.
            files: where to keep it; the disk of this machine when None.

        Raises:
            JournalError: when it is there already or cannot be written; then nothing is left.
        """
        if _ID.fullmatch(session_id) is None:
            raise JournalError(
                f"'{session_id}' cannot be the name of a session.",
                "Use letters, digits, '.', '_' and '-'.",
            )
        files = files or DiskFiles()
        folder = sessions / session_id
        try:
            files.make_folder(folder)
        except FileExistsError as error:
            raise JournalError(
                f"There is a session {session_id} in {sessions} already.",
                "Choose another name or continue that one.",
            ) from error
        except OSError as error:
            raise journal_error(f"The session {folder} could not be made", error) from error
        first = [{**opening, "session": session_id}, *rest]
        return cls._begin(folder, first, clock, files)

    @classmethod
    def _begin(cls, folder: Path, first: Sequence[Event], clock: Clock, files: Files) -> Self:
        file: File | None = None
        try:
            file = files.create(folder / JOURNAL)
            journal = cls._first(folder, file, clock, files)
            journal.append(first)
            files.sync_folder(folder)
        except BaseException as error:
            clear(folder, file, files)
            if isinstance(error, OSError):
                raise journal_error(f"The session {folder} could not be made", error) from error
            raise
        return journal

    @classmethod
    def open(cls, folder: Path, *, clock: Clock, files: Files | None = None) -> Self:
        """Continue a session that was interrupted.

        Torn bytes at the end are moved to `journal.torn-1` (or the next free number) beside the
        journal, and a `torn` event says so; so nothing joins them and nothing is lost.

        Raises:
            JournalError: when there is no session, another process has it, it is sealed, damaged
                before its end, or cannot be written. The journal is then as it was.
        """
        files = files or DiskFiles()
        try:
            file = files.open(folder / JOURNAL)
        except FileNotFoundError as error:
            raise JournalError(
                f"There is no session at {folder}.", f"Name a folder that holds {JOURNAL}."
            ) from error
        except OSError as error:
            raise journal_error(f"{title(folder)} could not be opened", error) from error
        return cls._again(folder, file, clock, files)

    @property
    def is_sealed(self) -> bool:
        """Whether the seal is on the disk, so that nothing can follow."""
        return bool(self._lines) and self._lines[-1].kind == SEALED

    @property
    def seal_code(self) -> str:
        """Give the seal's code, which two people can compare by phone; empty before the seal."""
        return str(self._lines[-1].data["code"]) if self.is_sealed else ""

    def seal(self, extra: Event | None = None, tellers: Mapping[str, Teller] = TELLERS) -> Line:
        """Write the last line, then the transcript; nothing can follow.

        Args:
            extra: what else the seal is to say.
            tellers: how kinds of events are told in the transcript.

        Returns:
            The seal; `seal_code` gives its code.

        Raises:
            JournalError: when the seal is not on the disk, or when it is but the transcript is
                not; `is_sealed` tells which.
        """
        self._refuse_when_over()
        seal = seal_line(
            len(self._lines) + 1, stamp(self._clock()), SCHEMA, self._last, event_data(extra or {})
        )
        (written,) = self._put([encode(seal)])
        write_transcript(self.folder, self._lines, tellers, self._files)
        return written

    def write_open_transcript(self, tellers: Mapping[str, Teller] = TELLERS) -> None:
        """Write the transcript of a session that stays open; nothing happens when it is sealed.

        Args:
            tellers: how kinds of events are told in the transcript.

        Raises:
            JournalError: when it cannot be written; an older transcript then stays as it is.
        """
        if not (self._is_closed or self.is_sealed):
            write_open_transcript(self.folder, self._lines, tellers, self._files)

    def _refuse_when_over(self) -> None:
        super()._refuse_when_over()
        if self.is_sealed:
            raise sealed_error(title(self.folder))
