"""A session's folder read for the index: quickly where plainly whole, thoroughly where not."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.journal.account import sound_lines
from assistant.journal.errors import JournalError
from assistant.journal.gist import NOTHING
from assistant.journal.reading import JOURNAL, Record
from assistant.journal.verifying import read_verified
from assistant.journal.whole import read_whole
from assistant.shop.shapes import has_shape
from assistant.shop.telling import SOUND, WANTED, Source, Told, Trouble, cleaned, tell

_UNUSUAL = b"\\u0000"
"""What a zero character looks like in a journal; some databases take none."""


@dataclass(frozen=True, slots=True)
class Unread:
    """A folder that could not be read.

    Args:
        why: one sentence.
    """

    why: str


def read_folder(folder: Path, source: Source) -> Told | Unread:
    """Read a session as rows, whatever state it is in; never fails.

    Args:
        folder: the session's folder.
        source: how the index names it.
    """
    try:
        content = (folder / JOURNAL).read_bytes()
    except OSError as error:
        return Unread(f"It cannot be read: {error.strerror or 'no access'}.")
    record = read_whole(content, WANTED)
    if record is not None:
        last = content[content.rfind(b"\n", 0, -1) + 1 :]  # its hash stands for all before it
        try:
            told = tell(record, source, hashlib.sha256(last).hexdigest())
        except (AttributeError, KeyError, TypeError, ValueError):
            return _read_thoroughly(folder, source)
        if has_shape(told):
            return cleaned(told) if _UNUSUAL in content else told
    return _read_thoroughly(folder, source)


def _read_thoroughly(folder: Path, source: Source) -> Told | Unread:
    try:
        digest = hashlib.sha256((folder / JOURNAL).read_bytes()).hexdigest()
        record = read_verified(folder)
    except OSError as error:
        return Unread(f"It cannot be read: {error.strerror or 'no access'}.")
    except JournalError as error:
        return Unread(error.message)
    # Before the first line that damage names all lines are there, so places are numbers.
    end = record.damage[0].line - 1 if record.damage else len(record.lines)
    lines, misshapen = sound_lines(record.lines[:end])
    trouble = _trouble(record, misshapen)
    is_sealed = record.is_sealed and not record.damage
    sound = replace(record, lines=tuple(lines), is_sealed=is_sealed)
    told = cleaned(tell(sound, source, digest, trouble))
    return told if has_shape(told) else Unread("What it says is of no shape that counts.")


def _trouble(record: Record, misshapen: list[str]) -> Trouble:
    """Give the first thing that is wrong with a record."""
    if record.damage:
        return Trouble(record.damage[0].line, record.damage[0].sentence)
    if not record.lines:
        return Trouble(1, NOTHING)
    if misshapen:
        number = misshapen[0].removeprefix("line ").partition(":")[0]
        return Trouble(int(number), f"L{misshapen[0][1:]}")
    return SOUND
