"""A session kept in memory: for a rehearsal that is to leave nothing on the disk."""

import errno
from pathlib import Path

from assistant.journal.files import File


class MemoryFile:
    """A file whose content is shared by all who open it.

    Args:
        content: the bytes.
        locked: the contents that are locked, by identity; shared by all files of one place.
    """

    def __init__(self, content: bytearray, locked: set[int]) -> None:
        self.content = content
        self._locked = locked
        self._has_lock = False

    def lock(self) -> bool:
        """Take the file; false when it is taken."""
        if id(self.content) in self._locked:
            return False
        self._locked.add(id(self.content))
        self._has_lock = True
        return True

    def read(self) -> bytes:
        """Give all bytes of the file."""
        return bytes(self.content)

    def write(self, data: bytes) -> int:
        """Write all of it at the end."""
        self.content += data
        return len(data)

    def sync(self) -> None:
        """Do nothing: memory has nothing behind it."""

    def truncate(self, size: int) -> None:
        """Cut the file to so many bytes."""
        del self.content[size:]

    def close(self) -> None:
        """Let go of the lock; may be called twice."""
        if self._has_lock:
            self._locked.discard(id(self.content))
            self._has_lock = False


class MemoryFiles:
    """Folders and files in memory; `contents` has them all."""

    def __init__(self) -> None:
        self.folders: set[Path] = set()
        self.contents: dict[Path, bytearray] = {}
        self._locked: set[int] = set()

    def make_folder(self, folder: Path) -> None:
        """Make a folder with those above it."""
        if folder in self.folders:
            raise FileExistsError(errno.EEXIST, "File exists", str(folder))
        self.folders |= {folder, *folder.parents}

    def create(self, path: Path) -> File:
        """Make a new file; FileExistsError when it is there."""
        if path in self.contents:
            raise FileExistsError(errno.EEXIST, "File exists", str(path))
        self.contents[path] = bytearray()
        return self.open(path)

    def open(self, path: Path) -> File:
        """Open a file that is there."""
        if path not in self.contents:
            raise FileNotFoundError(errno.ENOENT, "No such file", str(path))
        return MemoryFile(self.contents[path], self._locked)

    def rename(self, path: Path, target: Path) -> None:
        """Give a file another name, in place of what has that name."""
        self.contents[target] = self.contents.pop(path)

    def remove(self, path: Path) -> None:
        """Remove a file or a folder; nothing happens when it is not there."""
        self.contents.pop(path, None)
        self.folders.discard(path)

    def sync_folder(self, folder: Path) -> None:
        """Do nothing: memory has nothing behind it."""
