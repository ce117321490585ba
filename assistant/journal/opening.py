"""What is done about a session's folder before its journal can be written."""

import hashlib
from contextlib import suppress
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.files import File, Files
from assistant.journal.problem import Fault
from assistant.journal.reading import JOURNAL, Record
from assistant.journal.seal import SEALED
from assistant.journal.writer import Writer

TORN = "torn"
"""The kind of the line that tells of bytes set aside."""


def title(folder: Path) -> str:
    """Give what a session is called in a sentence."""
    return f"The session {folder.absolute().name}"


def sealed_error(folder: Path) -> JournalError:
    """Give the error that says nothing can be added to a sealed session."""
    return JournalError(
        f"{title(folder)} is sealed, so nothing can be added.", "Start a new session."
    )


def take_lock(file: File, folder: Path) -> None:
    """Take a session for this process.

    Raises:
        JournalError: when another process has it.
        OSError: when its place knows no locks.
    """
    if not file.lock():
        raise JournalError(
            f"{title(folder)} is being written by another Rungside.", "Close that one first."
        )


def refuse_to_continue(folder: Path, record: Record) -> None:
    """Say why a session cannot be continued, if so.

    Raises:
        JournalError: when it is sealed, empty, damaged before its end, or of a newer schema.
    """
    if any(line.kind == SEALED for line in record.lines):
        raise sealed_error(folder)
    if not record.lines and not record.damage:
        raise JournalError(f"{title(folder)} holds no whole line.", "Start a new session.")
    stopping = [p for p in record.problems if p.is_damage or p.fault is Fault.NEWER]
    if stopping:
        raise JournalError(
            f"{title(folder)} cannot be continued: {stopping[0].sentence}",
            "Start a new session; this one can still be read.",
        )


def set_aside(folder: Path, torn: bytes, files: Files) -> str:
    """Keep torn bytes in a file of their own, synced, and give its name; may raise OSError."""
    number = 1
    while True:
        name = f"journal.torn-{number}"
        try:
            file = files.create(folder / name)
        except FileExistsError:
            number += 1
            continue
        try:
            Writer(file, 0, name).put(torn)
        finally:
            file.close()
        files.sync_folder(folder)
        return name


def torn_event(name: str, torn: bytes) -> dict[str, object]:
    """Give the event that tells of bytes set aside."""
    return {
        "kind": TORN,
        "file": name,
        "bytes": len(torn),
        "sha256": hashlib.sha256(torn).hexdigest(),
    }


def clear(folder: Path, file: File | None, files: Files) -> None:
    """Remove what a failed beginning left, as far as that can be done."""
    with suppress(OSError):
        if file is not None:
            file.close()
        files.remove(folder / JOURNAL)
        files.remove(folder)
