"""Taking a session's sounds away, or all of it; what is left says what went, when, and the seal.

The tombstone is a chained file beside the journal, synced before anything goes. The journal is
never changed: it names sounds by their hash, so its chain holds without them.
"""

from collections.abc import Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import ClassVar, Self

from assistant.journal.adjoining import AdjoiningBook
from assistant.journal.belongings import look_into
from assistant.journal.catalogue import MEMORY
from assistant.journal.clips import CLIPS
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles, Files
from assistant.journal.line import Line
from assistant.journal.opening import take_lock, title
from assistant.journal.reading import JOURNAL, TOMBSTONE, Record, read_journal, read_unsealed
from assistant.journal.remarks import journal_end
from assistant.journal.writer import Clock

PURGED = "purged"
"""The kind of a tombstone's lines."""
SOUNDS, SESSION = "sounds", "session"
"""What a line says is gone."""


class Tombstone(AdjoiningBook):
    """The one writer of what was purged of a session; use `take`, and `close` or a `with` block."""

    name: ClassVar[str] = TOMBSTONE

    @classmethod
    def take(cls, folder: Path, *, clock: Clock, files: Files | None = None) -> Self:
        """Open a session's tombstone, or begin one.

        Raises:
            JournalError: when another process has it, it is damaged, or cannot be written.
        """
        files = files or DiskFiles()
        there = cls._opened(folder, clock, files)
        return cls._begin(folder, clock, files) if there is None else there

    @classmethod
    def _begin(cls, folder: Path, clock: Clock, files: Files) -> Self:
        made = cls._made(folder, clock, files)
        try:
            files.sync_folder(folder)
        except OSError as error:
            made.close()
            raise journal_error(f"{cls.title(folder)} could not be made", error) from error
        return made


@dataclass(frozen=True, slots=True)
class Purge:
    """What of a session is to go.

    Args:
        folder: the session's folder.
        what: `sounds` or `session`.
        names: the files that go.
        bytes: their size together.
        seal: the code of its seal; empty where there is none.
        left: what lies there besides and stays, since it is no file of a session.
    """

    folder: Path
    what: str
    names: tuple[str, ...]
    bytes: int
    seal: str
    left: tuple[str, ...]


def plan_purge(folder: Path, *, is_clips_only: bool) -> Purge:
    """Say what would go; nothing goes.

    Raises:
        JournalError: when the session cannot be read.
    """
    found = look_into(folder)
    names = found.clips if is_clips_only else tuple(n for n in found.own if n != TOMBSTONE)
    size = sum((folder / name).stat().st_size for name in names)
    seal = read_journal(folder).seal_code
    return Purge(folder, SOUNDS if is_clips_only else SESSION, names, size, seal, found.strange)


def purge(plan: Purge, *, clock: Clock, files: Files | None = None) -> None:
    """Write the tombstone, then take the files away; the journal goes last.

    Broken off, it can be done again: what was taken is gone, the tombstone says so.

    Args:
        plan: what is to go.
        clock: gives the time of the tombstone.
        files: where the session is kept; the disk of this machine when None.

    Raises:
        JournalError: when another process writes the session, or something cannot be removed.
    """
    files = files or DiskFiles()
    folder = plan.folder
    try:
        with closing(files.open(folder / JOURNAL)) as journal:
            take_lock(journal, title(folder))
            _tell(plan, journal.read(), clock, files)
            for name in sorted(plan.names, key=lambda name: name == JOURNAL):
                files.remove(folder / name)
            with suppress(OSError):  # what is no sound may stay in it
                files.remove(folder / CLIPS)
            files.sync_folder(folder)
        _forget(folder.parent, files)
    except OSError as error:
        raise journal_error(f"{title(folder)} could not be purged", error) from error


def _tell(plan: Purge, content: bytes, clock: Clock, files: Files) -> None:
    """Add a line to the tombstone, unless its last one says the very same."""
    lines, last = journal_end(content)
    event = {
        "what": plan.what,
        "session": plan.folder.absolute().name,
        "files": list(plan.names),
        "bytes": plan.bytes,
        "lines": lines,
        "last": last,
        "seal": plan.seal,
    }
    with Tombstone.take(plan.folder, clock=clock, files=files) as tombstone:
        told = tombstone.lines[-1].data if tombstone.lines else {}
        if (told.get("what"), told.get("last")) != (SESSION, last):
            tombstone.append([{"kind": PURGED, **event}])


def _forget(sessions: Path, files: Files) -> None:
    """Remove what the list of sessions remembers, notes among it; it is made anew when needed."""
    with suppress(FileNotFoundError):
        files.remove(sessions / MEMORY)


def read_tombstone(folder: Path) -> Record | None:
    """Read what was purged of a session; None where nothing was.

    Raises:
        JournalError: when it is there and cannot be read; damage is never an exception.
    """
    try:
        return read_unsealed((folder / TOMBSTONE).read_bytes())
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        raise journal_error(f"{Tombstone.title(folder)} could not be read", error) from error


def tell_tombstone(folder: Path, lines: Sequence[Line]) -> tuple[str, ...]:
    """Say what was purged of a session, one sentence a line of its tombstone."""
    return tuple(_sentence(folder, line) for line in lines if line.kind == PURGED)


def _sentence(folder: Path, line: Line) -> str:
    when = f"on {line.time[:10]} at {line.time[11:16]} UTC"
    gone = line.data.get("files")
    count = len(gone) if isinstance(gone, list) else 0
    if line.data.get("what") == SOUNDS:
        sounds = "1 sound" if count == 1 else f"{count} sounds"
        return f"{sounds} of {title(folder)[4:]} went {when}."
    seal = str(line.data.get("seal") or "")
    sealed = f"its seal was {seal}" if seal else "it was not sealed"
    return f"{title(folder)} was purged {when}; {sealed}."


def is_older(folder: Path, moment: datetime) -> bool:
    """Say whether the last thing that a session recorded is older than a moment.

    Args:
        folder: the session's folder.
        moment: with its time zone.

    Raises:
        JournalError: when it cannot be read, or has no whole line and so no time.
    """
    lines = read_journal(folder).lines
    if not lines:
        raise JournalError(f"{title(folder)} holds no whole line, so no time.", "Name it to purge.")
    return max(line.moment for line in lines) < moment
