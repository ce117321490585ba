"""A pack opened: everything that is no session is refused, before any of it is on the disk.

A pack comes from anywhere. Nothing in it is run, followed or believed: names are those of a
session's own files or it is refused, and what arrives is held to its sizes and hashes.
"""

import json
import os
import stat
import struct
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.journal.belongings import is_own, largest
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles
from assistant.journal.packing import LARGEST_PACK, MANIFEST, MOST_FILES, SESSION
from assistant.journal.reading import JOURNAL
from assistant.journal.writer import Writer

_END = struct.Struct("<4s4H2LH")
"""The last record of a zip: mark, disks, entries here and in all, size and place of their list."""
_END_MARK, _WIDE_MARK = b"PK\x05\x06", b"PK\x06\x07"
_WIDE_LENGTH = 20
_LONGEST_LIST = 512 * MOST_FILES
_LARGEST_MANIFEST = 512 * MOST_FILES
_ARRIVING = ".arriving"
_ENCRYPTED = 1


@dataclass(frozen=True, slots=True)
class Arrival:
    """What came of a pack.

    Args:
        folder: the session's folder.
        is_new: false where the same session was there already.
    """

    folder: Path
    is_new: bool


def unpack(file: Path, sessions: Path) -> Arrival:
    """Put a packed session into a folder of sessions, whole or not at all.

    Args:
        file: the pack.
        sessions: the folder that holds the sessions; made when it is not there.

    Raises:
        JournalError: when it is no sound pack, or another session of this name is there.
    """
    name, contents = read_pack(file)
    folder = sessions / name
    if os.path.lexists(folder):
        if _is_same(folder, contents):
            return Arrival(folder, is_new=False)
        raise JournalError(
            f"There is a session {name} in {sessions} already, and it is another.",
            "Unpack into another folder with --sessions DIR.",
        )
    try:
        _arrive(folder, contents)
    except OSError as error:
        raise journal_error(f"The session {folder} could not be made", error) from error
    return Arrival(folder, is_new=True)


def read_pack(file: Path) -> tuple[str, Mapping[str, bytes]]:
    """Read a pack and check all that can be checked of it.

    Args:
        file: the pack.

    Returns:
        The session's name, and its files by their names below its folder.

    Raises:
        JournalError: when it is no sound pack: one sentence says why.
    """
    try:
        _check_end(file)
        with zipfile.ZipFile(file) as archive:
            return _read(file, archive)
    except OSError as error:
        raise journal_error(f"{file} could not be read", error) from error
    except (
        *(zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError),
        *(ValueError, struct.error, RecursionError),
    ) as error:
        raise _no_pack(file, "it cannot be read as a zip") from error


def _no_pack(file: Path, why: str) -> JournalError:
    return JournalError(
        f"{file.name} is no session pack: {why}.", "Ask for one made by 'rungside pack'."
    )


def _check_end(file: Path) -> None:
    """Hold size and count before the list of files is read, which costs memory by its length."""
    with file.open("rb") as opened:
        if not stat.S_ISREG(os.fstat(opened.fileno()).st_mode):
            raise _no_pack(file, "it is no plain file")
        size = opened.seek(0, os.SEEK_END)
        if size > LARGEST_PACK + _LONGEST_LIST:
            raise _no_pack(file, f"it is larger than {LARGEST_PACK // 2**20} MB")
        opened.seek(max(0, size - _END.size - _WIDE_LENGTH))
        tail = opened.read()
    if len(tail) < _END.size or tail[-_END.size :][:4] != _END_MARK:
        raise _no_pack(file, "it does not end as one")
    mark, _, _, here, count, length, _, _ = _END.unpack(tail[-_END.size :])
    is_wide = mark != _END_MARK or tail[:4] == _WIDE_MARK or here != count
    if is_wide or count > MOST_FILES + 1 or length > _LONGEST_LIST:
        raise _no_pack(file, f"it lists more than {MOST_FILES} files")


def _read(file: Path, archive: zipfile.ZipFile) -> tuple[str, Mapping[str, bytes]]:
    entries = archive.infolist()
    size = file.stat().st_size
    if sum(entry.file_size for entry in entries) > size:
        raise _no_pack(file, "its files together are larger than itself")
    for why in _faults(entries):
        raise _no_pack(file, why)
    by_name = {entry.filename: entry for entry in entries}
    if MANIFEST not in by_name or by_name[MANIFEST].file_size > _LARGEST_MANIFEST:
        raise _no_pack(file, f"it has no {MANIFEST}")
    name, rows = _manifest(file, archive.read(by_name.pop(MANIFEST)))
    if by_name.keys() != {f"{name}/{one}" for one in rows} or JOURNAL not in rows:
        raise _no_pack(file, f"its files are not those that its {MANIFEST} names")
    contents = {}
    for one, row in rows.items():
        content = archive.read(by_name[f"{name}/{one}"])
        if row != {"bytes": len(content), "sha256": sha256(content).hexdigest()}:
            raise _no_pack(file, f"its {one} is not what was packed")
        contents[one] = content
    return name, contents


def _faults(entries: list[zipfile.ZipInfo]) -> Iterator[str]:
    """Say why some entry can be no file of a session."""
    seen: set[str] = set()
    for entry in entries:
        # The name as it stands in the file; zipfile itself cuts it at a zero byte.
        name = entry.orig_filename
        shown = ascii(name[:80])
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if name.casefold() in seen:
            yield f"it has {shown} twice"
        seen.add(name.casefold())
        if name != MANIFEST and _is_escaping(name):
            yield f"{shown} leads out of the session's folder"
        if kind not in {0, stat.S_IFREG} or name.endswith("/"):
            yield f"{shown} is a link or a folder"
        if entry.compress_type != zipfile.ZIP_STORED or entry.flag_bits & _ENCRYPTED:
            yield f"{shown} is compressed or encrypted"
        if entry.compress_size != entry.file_size:
            yield f"{shown} has two sizes"
        session, _, own = name.partition("/")
        if name != MANIFEST and (SESSION.fullmatch(session) is None or not is_own(own)):
            yield f"{shown} is no file of a session"
        if entry.file_size > (_LARGEST_MANIFEST if name == MANIFEST else largest(own)):
            yield f"{shown} is too large"


def _is_escaping(name: str) -> bool:
    parts = name.replace("\\", "/").split("/")
    return name[:1] in {"/", "\\"} or ":" in name or ".." in parts


def _manifest(file: Path, content: bytes) -> tuple[str, Mapping[str, object]]:
    """Read which session it is and what its files are to be."""
    try:
        told = json.loads(content.decode())
    except (ValueError, RecursionError) as error:
        raise _no_pack(file, f"its {MANIFEST} is not JSON") from error
    if not isinstance(told, dict) or told.get("pack") != 1:
        raise _no_pack(file, f"its {MANIFEST} is of another edition")
    name, rows = told.get("session"), told.get("files")
    if not isinstance(name, str) or SESSION.fullmatch(name) is None or not isinstance(rows, dict):
        raise _no_pack(file, f"its {MANIFEST} names no session")
    return name, rows


def _is_same(folder: Path, contents: Mapping[str, bytes]) -> bool:
    try:
        return all((folder / one).read_bytes() == content for one, content in contents.items())
    except OSError:
        return False


def _arrive(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Write the files into a folder beside the sessions, then give it its name."""
    files = DiskFiles()
    waiting = folder.parent / _ARRIVING / folder.name
    _clear(waiting)
    try:
        files.make_folder(waiting)
        for one, content in contents.items():
            file = waiting / one
            if not file.parent.is_dir():
                files.make_folder(file.parent)
            with closing(files.create(file)) as made:
                Writer(made, 0, str(folder / one)).put(content)
            files.sync_folder(file.parent)
        files.rename(waiting, folder)
        files.sync_folder(folder.parent)
    finally:
        _clear(waiting)
        with suppress(OSError):
            files.remove(waiting.parent)


def _clear(waiting: Path) -> None:
    """Remove what an arrival that failed left."""
    if waiting.is_dir() and not waiting.is_symlink():
        for path in sorted(waiting.rglob("*"), reverse=True):
            DiskFiles().remove(path)
        waiting.rmdir()
