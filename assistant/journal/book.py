"""A file of chained lines being written: each addition is synced before anyone says "got it".

A session's journal is one, the remarks on it are another; both are begun, continued after a torn
end, and written by this one mechanism.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import ClassVar, Self, cast

from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import File, Files
from assistant.journal.line import JSON, NO_LINE, SCHEMA, Line, decode, digest, encode, stamp
from assistant.journal.opening import TORN, refuse_to_continue, set_aside, take_lock, untold_torn
from assistant.journal.reading import Record
from assistant.journal.writer import Clock, Event, Writer


class Book:
    """The one writer of one such file; use `close` or a `with` block.

    It belongs to one thread. No other process can write the file while it is open.

    Args:
        folder: the session's folder.
        file: the file in it, locked.
        lines: what stands in it, all of it good.
        writer: the end of the file.
        clock: gives the time of each addition, with its time zone.
        files: where the session is kept.
    """

    name: ClassVar[str]
    """The file's name in the session's folder."""
    own_kinds: ClassVar[frozenset[str]] = frozenset({TORN})
    """The kinds of lines that only this class itself writes."""

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
    def title(cls, folder: Path) -> str:
        """Give what the file is called in a sentence."""
        raise NotImplementedError

    @classmethod
    def read(cls, content: bytes) -> Record:
        """Read the file's bytes as they were written, old schema versions not upgraded."""
        raise NotImplementedError

    @classmethod
    def _first(cls, folder: Path, file: File, clock: Clock, files: Files) -> Self:
        """Take a file just made; nothing is written yet."""
        take_lock(file, cls.title(folder))
        return cls(folder, file, (), Writer(file, 0, cls.title(folder)), clock, files)

    @classmethod
    def _again(cls, folder: Path, file: File, clock: Clock, files: Files) -> Self:
        """Take a file that stands there, or close it.

        Raises:
            JournalError: when it is another process's, or cannot be continued.
        """
        try:
            return cls._continue(folder, file, clock, files)
        except BaseException as error:
            file.close()
            if isinstance(error, OSError):
                raise journal_error(f"{cls.title(folder)} could not be opened", error) from error
            raise

    @classmethod
    def _continue(cls, folder: Path, file: File, clock: Clock, files: Files) -> Self:
        take_lock(file, cls.title(folder))
        content = file.read()
        record = cls.read(content)
        refuse_to_continue(cls.title(folder), record)
        size = len(content) - len(record.torn)
        writer = Writer(file, size, cls.title(folder))
        book = cls(folder, file, record.lines, writer, clock, files)
        if record.torn:
            set_aside(folder, cls.name, record.torn, files)
            writer.cut()
        if untold := untold_torn(folder, cls.name, record.lines, files):
            book._add(untold)
        return book

    @property
    def lines(self) -> tuple[Line, ...]:
        """Give all lines that are on the disk, as they were written."""
        return tuple(self._lines)

    def append(self, events: Sequence[Event]) -> tuple[Line, ...]:
        """Write events in one write; they are on the disk when this returns.

        Args:
            events: each with its `kind`; its other keys become the line's data.

        Returns:
            The lines as written, all with the same time.

        Raises:
            JournalError: when they are not on the disk; none of them is then in the file, unless
                the error says that the write stopped half-way.
        """
        for event in events:
            if event.get("kind") in self.own_kinds:
                raise JournalError(
                    f"The event '{event['kind']}' is the journal's own.", "Use seal()."
                )
        return self._add(events)

    def close(self) -> None:
        """Let go of the file; may be called twice."""
        self._is_closed = True
        self._file.close()

    def __enter__(self) -> Self:
        """Give the book itself."""
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
            raws.append(encode(Line(seq, time, SCHEMA, prev, _kind(event), event_data(event))))
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
        title = self.title(self.folder)
        if self._is_unsure:
            raise JournalError(
                f"{title} stopped half-way before, so nothing more is written.",
                "Open the session again.",
            )
        if self._is_closed:
            raise JournalError(f"{title} is closed.", "Open it again.")


def _kind(event: Event) -> str:
    kind = event.get("kind")
    if not isinstance(kind, str) or not kind:
        raise JournalError("An event without a kind cannot be written.", "Give it a 'kind'.")
    return kind


def event_data(event: Event) -> Mapping[str, JSON]:
    """Give what an event says besides its kind."""
    # Writing it as JSON is the check: what JSON cannot say is refused there.
    return {key: cast("JSON", value) for key, value in event.items() if key != "kind"}


def _read_back(raw: bytes) -> Line:
    try:
        return decode(raw)
    except ValueError as error:
        raise JournalError(
            f"An event could not be read back: it {error}.", "Use flatter data."
        ) from error
