"""A session as plain text that anyone can read; made from the journal, so it can be made again."""

import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, suppress
from pathlib import Path
from typing import TypeAlias

from assistant.journal.errors import journal_error
from assistant.journal.files import DiskFiles, Files
from assistant.journal.line import JSON, Line
from assistant.journal.seal import SEALED
from assistant.journal.writer import Writer

TRANSCRIPT = "transcript.txt"
"""The transcript's name in a session's folder."""

SEAL_WORD = "Sealed:"
"""What stands before the code of the seal."""

OPEN = "Not sealed: the walk is open or was interrupted."
"""What the last line of an open session's transcript says."""

Teller: TypeAlias = Callable[[Mapping[str, JSON]], str]
"""Tells an event's data in one line of text; an empty text leaves the event out."""

_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that reorder the text around them, and so could make a line read as another."""

_SHORT = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


def _began(data: Mapping[str, JSON]) -> str:
    who = "".join(f", {key} {data[key]}" for key in ("technician", "unit") if data.get(key))
    return (
        f"Began: {data.get('title')} (flow {data.get('flow')}, edition {data.get('edition')}){who}"
    )


def _heard(data: Mapping[str, JSON]) -> str:
    if data.get("is_silence"):
        return "Heard: nothing"
    return f'Heard: "{data["words"]}"' if data.get("words") else "Heard: no words"


def _took(data: Mapping[str, JSON]) -> str:
    shown = "OL" if data.get("over_limit") else data.get("value")
    return f"Took: {data.get('name')} {shown} {data.get('unit')}"


TELLERS: Mapping[str, Teller] = {
    "began": _began,
    "said": lambda data: f"Said: {data.get('shown') or data.get('text')}",
    "heard": _heard,
    "took": _took,
    "judged": lambda data: (
        f"Judged: {data.get('name')} {data.get('verdict')}: {data.get('reason')}"
    ),
    "noted": lambda data: f"Note: {data.get('text')}",
    "ended": lambda data: f"Ended: {data.get('outcome')}: {data.get('why')}",
    SEALED: lambda data: f"{SEAL_WORD} {data.get('code')} ({data.get('lines')} lines before it)",
}
"""How the commonest kinds of events are told; every other kind is told key by key."""


def transcript(lines: Sequence[Line], tellers: Mapping[str, Teller] = TELLERS) -> str:
    """Tell a session as text: one line an event, the time in UTC before it.

    Control characters and marks that reorder text are written as escapes, so that no note can
    look like a line of its own.

    Args:
        lines: the lines of the journal, in order.
        tellers: how kinds of events are told.
    """
    return "".join(f"{text}\n" for text in _told(lines, tellers))


def _told(lines: Sequence[Line], tellers: Mapping[str, Teller]) -> Iterator[str]:
    day = ""
    for line in lines:
        teller = tellers.get(line.kind)
        text = teller(line.data) if teller else _tell_by_key(line)
        if not text:
            continue
        if line.time[:10] != day:
            day = line.time[:10]
            yield f"{day} (times are UTC)"
        yield f"{line.time[11:19]}  {plain(text)}"


def _tell_by_key(line: Line) -> str:
    told = "; ".join(f"{key} {_tell_value(value)}" for key, value in line.data.items())
    name = line.kind.replace("_", " ").capitalize()
    return f"{name}: {told}" if told else name


def _tell_value(value: JSON) -> str:
    if isinstance(value, Mapping):
        return "(" + ", ".join(f"{key} {_tell_value(one)}" for key, one in value.items()) + ")"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(_tell_value(one) for one in value) + "]"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "none" if value is None else str(value)


def plain(text: str) -> str:
    """Write marks that would control a terminal or turn text round as their escapes."""
    return "".join(_plain_mark(mark) for mark in text)


def _plain_mark(mark: str) -> str:
    if mark in _TURNING or unicodedata.category(mark) in {"Cc", "Cs", "Zl", "Zp"}:
        return _SHORT.get(mark, f"\\u{ord(mark):04x}")
    return mark


def write_transcript(
    folder: Path,
    lines: Sequence[Line],
    tellers: Mapping[str, Teller] = TELLERS,
    files: Files | None = None,
) -> Path:
    """Write a session's transcript beside its journal, in place of an older one.

    Raises:
        JournalError: when it cannot be written; an older transcript then stays as it is.
    """
    write_beside(folder, TRANSCRIPT, transcript(lines, tellers), files or DiskFiles())
    return folder / TRANSCRIPT


def write_open_transcript(
    folder: Path,
    lines: Sequence[Line],
    tellers: Mapping[str, Teller] = TELLERS,
    files: Files | None = None,
) -> None:
    """Write the transcript of a session that is not sealed; its last line says so.

    One that tells of a seal stays: it shows that the journal has lost it.

    Raises:
        JournalError: when it cannot be written; an older transcript then stays as it is.
    """
    files = files or DiskFiles()
    if lines and not is_told_as_sealed(_written(folder, files)):
        text = f"{transcript(lines, tellers)}{lines[-1].time[11:19]}  {OPEN}\n"
        write_beside(folder, TRANSCRIPT, text, files)


def _written(folder: Path, files: Files) -> str:
    """Give the transcript that stands there; empty where there is none to be read."""
    with suppress(OSError), closing(files.open(folder / TRANSCRIPT)) as file:
        return file.read().decode("utf-8", "replace")
    return ""


def write_beside(folder: Path, name: str, text: str, files: Files) -> None:
    """Write a text file into a session's folder, in place of an older one.

    Raises:
        JournalError: when it cannot be written; an older one then stays as it is.
    """
    new = folder / f"{name}.new"
    try:
        with suppress(FileNotFoundError):
            files.remove(new)
        with closing(files.create(new)) as file:
            Writer(file, 0, f"The {name} of {folder.name}").put(text.encode())
        files.rename(new, folder / name)
        files.sync_folder(folder)
    except OSError as error:
        raise journal_error(f"The {name} of {folder.name} could not be written", error) from error


def is_told_as_sealed(text: str) -> bool:
    """Say whether the last line of a transcript tells of a seal."""
    last = text.rstrip("\n").rpartition("\n")[2]
    return last[8:].strip().startswith(SEAL_WORD)
