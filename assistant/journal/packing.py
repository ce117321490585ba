"""A session as one file that moves it whole: a plain zip, the same bytes for the same session.

Files are stored, not compressed, so that no pack can grow when it is opened. `pack.json` names each
file with its size and SHA-256.
"""

import io
import json
import re
import zipfile
from collections.abc import Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.journal.belongings import largest, look_into
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles
from assistant.journal.opening import title
from assistant.journal.reading import JOURNAL
from assistant.journal.writer import Writer

MANIFEST = "pack.json"
"""The first file of a pack: which session, and each of its files."""

ENDING = ".rungside.zip"

LARGEST_PACK = 512 * 2**20
"""So many bytes a pack may have: two hours of answers with their sounds have 230 MB."""
MOST_FILES = 4096
"""So many files a pack may have."""

SESSION = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,119}", re.ASCII)
"""What a session may be called."""

_MADE = (1980, 1, 1, 0, 0, 0)
_UNIX, _PRIVATE = 3, 0o100600


@dataclass(frozen=True, slots=True)
class Packed:
    """A session as packed.

    Args:
        file: the pack.
        names: the files in it.
        left: what else lies in the folder and was left there.
    """

    file: Path
    names: tuple[str, ...]
    left: tuple[str, ...]


def pack(folder: Path, file: Path) -> Packed:
    """Pack a session, whatever state it is in, into a new file that only this user can read.

    Args:
        folder: the session's folder.
        file: the file to make.

    Raises:
        JournalError: when it cannot be read or written, is too large, or the file is there.
    """
    called = title(folder)
    name = folder.absolute().name
    if SESSION.fullmatch(name) is None:
        raise JournalError(
            f"{called} cannot be packed under this name.", "Use letters, digits, '.', '_' and '-'."
        )
    found = look_into(folder)
    if JOURNAL not in found.own:
        raise JournalError(f"{called} has no journal of its own.", f"{JOURNAL} must be a file.")
    contents = {one: _content(folder, one) for one in found.own}
    if sum(map(len, contents.values())) > LARGEST_PACK or len(contents) > MOST_FILES:
        raise JournalError(f"{called} is too large for a pack.", "Purge its sounds first.")
    _write(file, zipped(name, contents))
    return Packed(file, found.own, found.strange)


def zipped(session: str, contents: Mapping[str, bytes]) -> bytes:
    """Give a pack's bytes.

    Args:
        session: the session's name.
        contents: its files by their names.
    """
    rows = {
        name: {"bytes": len(content), "sha256": sha256(content).hexdigest()}
        for name, content in sorted(contents.items())
    }
    manifest = json.dumps({"pack": 1, "session": session, "files": rows}, sort_keys=True, indent=1)
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_STORED) as archive:
        archive.writestr(_entry(MANIFEST), manifest.encode())
        for name, content in sorted(contents.items()):
            archive.writestr(_entry(f"{session}/{name}"), content)
    return whole.getvalue()


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _MADE)
    entry.create_system, entry.external_attr = _UNIX, _PRIVATE << 16
    return entry


def _content(folder: Path, name: str) -> bytes:
    file = folder / name
    try:
        if file.stat().st_size > largest(name):
            raise JournalError(f"{file} is too large for a pack.", "A session has no such file.")
        return file.read_bytes()
    except OSError as error:
        raise journal_error(f"{file} could not be read", error) from error


def _write(file: Path, content: bytes) -> None:
    """Write a file whole, or leave none."""
    files = DiskFiles()
    try:
        with closing(files.create(file)) as made:
            Writer(made, 0, str(file)).put(content)
        files.sync_folder(file.absolute().parent)
    except FileExistsError as error:
        raise JournalError(f"{file} is there already.", "Name another with -o FILE.") from error
    except BaseException as error:
        with suppress(OSError):
            file.unlink()
        if isinstance(error, OSError):
            raise journal_error(f"{file} could not be written", error) from error
        raise
