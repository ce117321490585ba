"""The few things a journal asks of a disk, so that a test or a rehearsal can stand in for it."""

import errno
import os
import sys
from pathlib import Path
from typing import Protocol


class File(Protocol):
    """One open file that is read whole and written only at its end; each call may raise OSError."""

    def lock(self) -> bool:
        """Take the file for this process; false when another one has it."""

    def read(self) -> bytes:
        """Give all bytes of the file."""

    def write(self, data: bytes) -> int:
        """Write at the end; give how many bytes were taken, which may be fewer."""

    def sync(self) -> None:
        """Return when what was written survives a power cut."""

    def truncate(self, size: int) -> None:
        """Cut the file to so many bytes."""

    def close(self) -> None:
        """Let go of the file and its lock."""


class Files(Protocol):
    """A place that holds folders and files; each call may raise OSError."""

    def make_folder(self, folder: Path) -> None:
        """Make a folder that only this user can enter, with the folders above it."""

    def create(self, path: Path) -> File:
        """Make a new file that only this user can read; FileExistsError when it is there."""

    def open(self, path: Path) -> File:
        """Open a file that is there; FileNotFoundError when it is not."""

    def rename(self, path: Path, target: Path) -> None:
        """Give a file another name, in place of what has that name."""

    def remove(self, path: Path) -> None:
        """Remove a file, or a folder that is empty."""

    def sync_folder(self, folder: Path) -> None:
        """Return when the names in a folder survive a power cut."""


class DiskFile:
    """A file on the disk.

    Args:
        path: where.
        flags: how to open it, besides reading and appending.
    """

    def __init__(self, path: Path, flags: int = 0) -> None:
        mode = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0) | flags
        self._handle = os.open(path, mode, 0o600)

    def lock(self) -> bool:
        """Take the file for this process; false when another one has it."""
        try:
            _lock(self._handle)
        except (BlockingIOError, PermissionError):
            return False
        return True

    def read(self) -> bytes:
        """Give all bytes of the file."""
        os.lseek(self._handle, 0, os.SEEK_SET)
        pieces = []
        while piece := os.read(self._handle, 1 << 20):
            pieces.append(piece)
        return b"".join(pieces)

    def write(self, data: bytes) -> int:
        """Write at the end; give how many bytes were taken, which may be fewer."""
        return os.write(self._handle, data)

    def sync(self) -> None:
        """Return when what was written survives a power cut; a file without a name does not."""
        os.fsync(self._handle)
        if not os.fstat(self._handle).st_nlink:
            # Its folder was taken away: writing still succeeds, and all of it is lost at the end.
            raise FileNotFoundError(errno.ENOENT, "the file was taken away")

    def truncate(self, size: int) -> None:
        """Cut the file to so many bytes."""
        os.truncate(self._handle, size)

    def close(self) -> None:
        """Let go of the file and its lock; may be called twice."""
        if self._handle >= 0:
            handle, self._handle = self._handle, -1
            os.close(handle)


class DiskFiles:
    """The disk of this machine."""

    def make_folder(self, folder: Path) -> None:
        """Make a folder that only this user can enter, with the folders above it."""
        if not folder.parent.exists():
            self.make_folder(folder.parent)
        folder.mkdir(mode=0o700)
        self.sync_folder(folder.parent)

    def create(self, path: Path) -> File:
        """Make a new file that only this user can read; FileExistsError when it is there."""
        return DiskFile(path, os.O_CREAT | os.O_EXCL)

    def open(self, path: Path) -> File:
        """Open a file that is there."""
        return DiskFile(path)

    def rename(self, path: Path, target: Path) -> None:
        """Give a file another name, in place of what has that name."""
        path.replace(target)

    def remove(self, path: Path) -> None:
        """Remove a file, or a folder that is empty."""
        if path.is_dir():
            path.rmdir()
        else:
            path.unlink(missing_ok=True)

    def sync_folder(self, folder: Path) -> None:
        """Return when the names in a folder survive a power cut."""
        if os.name == "nt":  # Windows opens no folder as a file, and has no such call
            return
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


if sys.platform == "win32":
    import msvcrt

    _FAR = 0x7FFF_0000
    """Where one byte is locked: past the end, since Windows keeps others from reading it."""

    def _lock(handle: int) -> None:
        os.lseek(handle, _FAR, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(handle: int) -> None:
        # flock, not lockf: a reader in this same process that closes the file keeps the lock.
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
