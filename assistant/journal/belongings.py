"""Which files belong to a session: what is packed, unpacked and purged, and nothing else."""

import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.journal.clips import CLIPS, LARGEST_BYTES, is_clip
from assistant.journal.errors import journal_error
from assistant.journal.reading import JOURNAL, TOMBSTONE
from assistant.journal.remarks import REMARKS, REMARKS_TEXT
from assistant.journal.transcript import TRANSCRIPT

LARGEST_FILE = 64 * 2**20
"""A walk of eight hours writes about 2 MB."""

_PLAIN = frozenset({JOURNAL, TRANSCRIPT, REMARKS, REMARKS_TEXT, TOMBSTONE})
_TORN = re.compile(r"(?:journal|remarks|purged)\.torn-[1-9][0-9]{0,4}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Belongings:
    """What lies in a session's folder.

    Args:
        own: the names of the session's own files, sorted; sounds as `clips/<hash>.wav`.
        strange: the names of whatever else is there, links among it.
    """

    own: tuple[str, ...]
    strange: tuple[str, ...]

    @property
    def clips(self) -> tuple[str, ...]:
        """Give the names of the sounds."""
        return tuple(name for name in self.own if is_clip(name))


def is_own(name: str) -> bool:
    """Say whether a file of this name, with `/` below the session's folder, belongs to one."""
    return name in _PLAIN or _TORN.fullmatch(name) is not None or is_clip(name)


def largest(name: str) -> int:
    """Give how many bytes a file of this name may have."""
    return LARGEST_BYTES if is_clip(name) else LARGEST_FILE


def look_into(folder: Path) -> Belongings:
    """Look at what lies in a session's folder; no link is followed.

    Raises:
        JournalError: when the folder cannot be read.
    """
    own: list[str] = []
    strange: list[str] = []
    try:
        for name, is_file in _names(folder):
            (own if is_file and is_own(name) else strange).append(name)
    except OSError as error:
        raise journal_error(f"The session in {folder} could not be read", error) from error
    return Belongings(tuple(sorted(own)), tuple(sorted(strange)))


def _names(folder: Path) -> Iterator[tuple[str, bool]]:
    for path in folder.iterdir():
        mode = path.lstat().st_mode
        if path.name == CLIPS and stat.S_ISDIR(mode):
            for clip in path.iterdir():
                yield f"{CLIPS}/{clip.name}", stat.S_ISREG(clip.lstat().st_mode)
        else:
            yield path.name, stat.S_ISREG(mode)
