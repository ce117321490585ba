"""All sessions of a folder, listed quickly; a small file beside them remembers what they are about.

The folder is the truth: a session counts as remembered only while the sizes and times of its files
are those remembered, what is not there any more is forgotten, and a file of memory that does not
read is made anew. A session that is opened is read itself, whatever is remembered.
"""

import json
import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any, get_type_hints

from assistant import __version__
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles
from assistant.journal.gist import Gist, glance
from assistant.journal.reading import JOURNAL
from assistant.journal.remarks import REMARKS, REMARKS_TEXT
from assistant.journal.transcript import TRANSCRIPT, write_beside

MEMORY = ".rungside-catalogue.json"
"""What the file of memory is called, in the folder of the sessions."""

EDITION = f"{__version__}/2"
"""Another edition may find other flags, so it remembers anew."""

_FILES = (JOURNAL, REMARKS, REMARKS_TEXT, TRANSCRIPT)
_NO_REMARKS = "|-|-|"
"""What stands in a stamp where neither file of remarks is there."""


def list_gists(sessions: Path) -> tuple[Gist, ...]:
    """List the sessions of a folder, newest name first; those remembered as they are remembered.

    Args:
        sessions: the folder; where it is not there, there are none.

    Raises:
        JournalError: when the folder cannot be read.
    """
    known = _remembered(sessions)
    found = []
    for folder, stamp in _stamped(sessions):
        gist = known.get(folder.name)
        is_same = gist is not None and gist.stamp == stamp
        if not is_same or gist is None:
            gist = glance(folder, stamp, has_remarks=_NO_REMARKS not in stamp)
        found.append(gist)
    return tuple(sorted(found, key=lambda gist: gist.name, reverse=True))


def remember(sessions: Path, gists: Sequence[Gist]) -> bool:
    """Write down what the sessions are about; false where that may not be written."""
    rows = [asdict(gist) for gist in gists]
    text = json.dumps({"edition": EDITION, "sessions": rows}, separators=(",", ":"))
    try:
        write_beside(sessions, MEMORY, text, DiskFiles())
    except JournalError:
        return False
    return True


def stamp_of(folder: Path) -> str:
    """Give the sizes and times of a session's files; another stamp is another content."""
    base = os.fspath(folder)
    return "|".join(_times(base + os.sep + name) for name in _FILES)


def _times(file: str) -> str:
    # The time of the last change of the file's own entry is not set by tools that set the others.
    try:
        found = os.stat(file)  # noqa: PTH116 - 20,000 paths as objects take as long as the rest
    except OSError:
        return "-"
    return f"{found.st_size}.{found.st_mtime_ns}.{found.st_ctime_ns}"


def _stamped(sessions: Path) -> Iterator[tuple[Path, str]]:
    try:
        with os.scandir(sessions) as entries:
            names = [entry.name for entry in entries if entry.is_dir()]
    except FileNotFoundError:
        return
    except OSError as error:
        raise journal_error(f"The sessions in {sessions} could not be listed", error) from error
    for name in names:
        folder = sessions / name
        stamp = stamp_of(folder)
        if not stamp.startswith("-"):
            yield folder, stamp


def _remembered(sessions: Path) -> dict[str, Gist]:
    """Read the memory; what does not read is not remembered."""
    with suppress(OSError, ValueError, RecursionError):
        memory = json.loads((sessions / MEMORY).read_bytes())
        if isinstance(memory, dict) and memory.get("edition") == EDITION:
            return {gist.name: gist for gist in _gists(memory.get("sessions"))}
    return {}


_HINTS = get_type_hints(Gist)
_PLAIN = {field.name: _HINTS[field.name] for field in fields(Gist)}


def _gists(rows: Any) -> Iterator[Gist]:  # noqa: ANN401 - whatever a file may hold
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, dict) and row.keys() == _PLAIN.keys():
            findings, flags = row.pop("findings"), row.pop("flags")
            is_plain = all(type(value) is _PLAIN[key] for key, value in row.items())
            if is_plain and _is_texts(findings) and _is_counts(flags):
                yield Gist(**row, findings=tuple(findings), flags=tuple((k, n) for k, n in flags))


def _is_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _is_counts(value: object) -> bool:
    return isinstance(value, list) and all(
        isinstance(one, list) and [str, int] == [type(part) for part in one] for one in value
    )


def with_looked(gists: Iterable[Gist], looked: Iterable[Gist]) -> tuple[Gist, ...]:
    """Give gists with those of the same name in place of them that were looked through."""
    by_name = {gist.name: gist for gist in looked}
    return tuple(by_name.get(gist.name, gist) for gist in gists)
