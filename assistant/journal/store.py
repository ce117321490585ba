"""A session being written: each turn is synced to the disk before anyone says "got it"."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self, TypeAlias, cast

from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles, File, Files
from assistant.journal.line import JSON, NO_LINE, SCHEMA, Line, decode, digest, encode, stamp
from assistant.journal.opening import (
    TORN,
    clear,
    refuse_to_continue,
    sealed_error,
    set_aside,
    take_lock,
    title,
    untold_torn,
)
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.seal import SEALED, seal_line
from assistant.journal.transcript import TELLERS, Teller, write_transcript
from assistant.journal.writer import Writer

Clock: TypeAlias = Callable[[], datetime]
Event: TypeAlias = Mapping[str, object]
"""An event to be written: its `kind`, and keys whose values must be what JSON can say."""

_OWN_KINDS = {SEALED, TORN}
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,119}")


class Journal:
    """The one writer of one session; use `create` or `open`, and `close` or a `with` block.

    It belongs to one thread. No other process can write the session while it is open.

    Args:
        folder: the session's folder.
        file: its journal, locked.
        lines: what stands in it, all of it good.
        writer: the end of the file.
        clock: gives the time of each turn, with its time zone.
        files: where the session is kept.
    """

    def __init__(
        self,
        folder: Path,
        file: File,
        lines: Sequence[Line],
        writer: Writer,
        clock: Clock,
        files: Files,
    ) -> None:
        self.folder = folder
        self._file = file
        self._lines = list(lines)
        self._last = digest(encode(lines[-1])) if lines else NO_LINE
        self._writer = writer
        self._clock = clock
        self._files = files
        self._is_closed = False
        self._is_unsure = False

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
            take_lock(file, folder)
            journal = cls(folder, file, (), Writer(file, 0, title(folder)), clock, files)
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
        try:
            return cls._continue(folder, file, clock, files)
        except BaseException as error:
            file.close()
            if isinstance(error, OSError):
                raise journal_error(f"{title(folder)} could not be opened", error) from error
            raise

    @classmethod
    def _continue(cls, folder: Path, file: File, clock: Clock, files: Files) -> Self:
        take_lock(file, folder)
        content = file.read()
        record = read_content(content, upgrades={})
        refuse_to_continue(folder, record)
        size = len(content) - len(record.torn)
        writer = Writer(file, size, title(folder))
        journal = cls(folder, file, record.lines, writer, clock, files)
        if record.torn:
            set_aside(folder, record.torn, files)
            writer.cut()
        if untold := untold_torn(folder, record.lines, files):
            journal._add(untold)
        return journal

    @property
    def lines(self) -> tuple[Line, ...]:
        """Give all lines that are on the disk, as they were written."""
        return tuple(self._lines)

    @property
    def is_sealed(self) -> bool:
        """Whether the seal is on the disk, so that nothing can follow."""
        return bool(self._lines) and self._lines[-1].kind == SEALED

    @property
    def seal_code(self) -> str:
        """Give the seal's code, which two people can compare by phone; empty before the seal."""
        return str(self._lines[-1].data["code"]) if self.is_sealed else ""

    def append(self, events: Sequence[Event]) -> tuple[Line, ...]:
        """Write all events of one turn in one write; they are on the disk when this returns.

        Args:
            events: each with its `kind`; its other keys become the line's data.

        Returns:
            The lines as written, all with the same time.

        Raises:
            JournalError: when they are not on the disk; none of them is then in the journal,
                unless the error says that the write stopped half-way.
        """
        for event in events:
            if event.get("kind") in _OWN_KINDS:
                raise JournalError(
                    f"The event '{event['kind']}' is the journal's own.", "Use seal()."
                )
        return self._add(events)

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
            len(self._lines) + 1, stamp(self._clock()), SCHEMA, self._last, _data(extra or {})
        )
        (written,) = self._put([encode(seal)])
        write_transcript(self.folder, self._lines, tellers, self._files)
        return written

    def close(self) -> None:
        """Let go of the session, sealed or not; may be called twice."""
        self._is_closed = True
        self._file.close()

    def __enter__(self) -> Self:
        """Give the journal itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def _add(self, events: Sequence[Event]) -> tuple[Line, ...]:
        self._refuse_when_over()
        time = stamp(self._clock())
        raws: list[bytes] = []
        prev = self._last
        for seq, event in enumerate(events, start=len(self._lines) + 1):
            raws.append(encode(Line(seq, time, SCHEMA, prev, _kind(event), _data(event))))
            prev = digest(raws[-1])
        return self._put(raws)

    def _put(self, raws: Sequence[bytes]) -> tuple[Line, ...]:
        """Write whole lines; what is kept in memory is read from the very bytes written."""
        if not raws:
            return ()
        lines = tuple(_read_back(raw) for raw in raws)
        before = self._writer.size
        self._is_unsure = True
        try:
            self._writer.put(b"".join(raw + b"\n" for raw in raws))
        except BaseException:
            # An interrupt may come at any place, even when all is on the disk and only the
            # lines in memory are behind: then only reading the file again tells.
            self._is_unsure = self._writer.is_stuck or self._writer.size != before
            raise
        self._lines += lines
        self._last = digest(raws[-1])
        self._is_unsure = False
        return lines

    def _refuse_when_over(self) -> None:
        if self._is_unsure:
            raise JournalError(
                f"{title(self.folder)} stopped half-way before, so nothing more is written.",
                "Open the session again.",
            )
        if self._is_closed:
            raise JournalError(f"{title(self.folder)} is closed.", "Open it again.")
        if self.is_sealed:
            raise sealed_error(self.folder)


def _kind(event: Event) -> str:
    kind = event.get("kind")
    if not isinstance(kind, str) or not kind:
        raise JournalError("An event without a kind cannot be written.", "Give it a 'kind'.")
    return kind


def _data(event: Event) -> dict[str, JSON]:
    # Writing it as JSON is the check: what JSON cannot say is refused there.
    return {key: cast("JSON", value) for key, value in event.items() if key != "kind"}


def _read_back(raw: bytes) -> Line:
    try:
        return decode(raw)
    except ValueError as error:
        raise JournalError(
            f"An event could not be read back: it {error}.", "Use flatter data."
        ) from error
