"""What is done about a session's folder before its journal can be written."""

from collections.abc import Sequence
from contextlib import closing, suppress
from itertools import count
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.files import File, Files
from assistant.journal.line import Line, digest
from assistant.journal.problem import Fault
from assistant.journal.reading import JOURNAL, Record
from assistant.journal.seal import SEALED
from assistant.journal.writer import Writer

TORN = "torn"
"""The kind of the line that tells of bytes set aside."""


def title(folder: Path) -> str:
    """Give what a session is called in a sentence."""
    return f"The session {folder.absolute().name}"


def sealed_error(called: str) -> JournalError:
    """Give the error that says nothing can be added to a sealed session."""
    return JournalError(f"{called} is sealed, so nothing can be added.", "Start a new session.")


def torn_file(name: str, number: int) -> str:
    """Give what a file of bytes set aside is called, as `journal.torn-1`."""
    return f"{Path(name).stem}.torn-{number}"


def take_lock(file: File, called: str) -> None:
    """Take a session's file for this process.

    Args:
        file: the file.
        called: how it is called in a sentence.

    Raises:
        JournalError: when another process has it.
        OSError: when its place knows no locks.
    """
    if not file.lock():
        raise JournalError(
            f"{called} is being written by another Rungside.", "Close that one first."
        )


def refuse_to_continue(called: str, record: Record) -> None:
    """Say why a session's file cannot be continued, if so.

    Args:
        called: how it is called in a sentence.
        record: what stands in it.

    Raises:
        JournalError: when it is sealed, empty, damaged before its end, or of a newer schema.
    """
    if any(line.kind == SEALED for line in record.lines):
        raise sealed_error(called)
    if not record.lines and not record.damage:
        raise JournalError(f"{called} holds no whole line.", "Start a new session.")
    stopping = [p for p in record.problems if p.is_damage or p.fault is Fault.NEWER]
    if stopping:
        raise JournalError(
            f"{called} cannot be continued: {stopping[0].sentence}",
            "Start a new session; this one can still be read.",
        )


def set_aside(folder: Path, name: str, torn: bytes, files: Files) -> None:
    """Keep the torn bytes of a file in the next free `journal.torn-N`, synced.

    Raises:
        OSError: when the file cannot be made.
        JournalError: when it cannot be written.
    """
    for number in count(1):
        aside = torn_file(name, number)
        with suppress(FileExistsError), closing(files.create(folder / aside)) as file:
            Writer(file, 0, aside).put(torn)
            files.sync_folder(folder)
            return


def untold_torn(
    folder: Path, name: str, lines: Sequence[Line], files: Files
) -> list[dict[str, object]]:
    """Give a `torn` event for each file of torn bytes that no line tells of yet.

    Usually that is the one just set aside; after a failure between setting aside and telling, it
    is that of the time before, so that none stays unmentioned.
    """
    told = {line.data.get("file") for line in lines if line.kind == TORN}
    events: list[dict[str, object]] = []
    for number in count(1):
        aside = torn_file(name, number)
        try:
            with closing(files.open(folder / aside)) as file:
                torn = file.read()
        except FileNotFoundError:
            return events
        if aside not in told:
            events.append({"kind": TORN, "file": aside, "bytes": len(torn), "sha256": digest(torn)})
    return events


def clear(folder: Path, file: File | None, files: Files) -> None:
    """Remove what a failed beginning left, as far as that can be done."""
    with suppress(OSError):
        if file is not None:
            file.close()
        files.remove(folder / JOURNAL)
        files.remove(folder)
