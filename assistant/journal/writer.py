"""Bytes put behind a journal so that they are on the disk whole or not at all."""

from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import File


class Writer:
    """The end of one open file.

    Args:
        file: the file, locked.
        size: how many bytes of it are good.
        name: how it is called in an error.
    """

    def __init__(self, file: File, size: int, name: str) -> None:
        self._file = file
        self._size = size
        self._name = name
        self._is_stuck = False

    def put(self, data: bytes) -> None:
        """Write and sync; what fails or is interrupted half-way is cut off again.

        Raises:
            JournalError: when it is not on the disk. If the part written could not even be cut
                off, everything later is refused too: opening the session again sorts it out.
        """
        if self._is_stuck:
            raise JournalError(
                f"{self._name} stopped half-way before, so nothing more is written to it.",
                "Open the session again.",
            )
        try:
            self._write(data)
        except OSError as error:
            self._undo()
            raise journal_error(f"{self._name} could not be written", error) from error
        except BaseException:
            self._undo()
            raise
        self._size += len(data)

    def _write(self, data: bytes) -> None:
        rest = memoryview(data)
        while rest:
            rest = rest[self._file.write(bytes(rest)) :]
        self._file.sync()

    def _undo(self) -> None:
        try:
            self.cut(self._size)
        except OSError:
            self._is_stuck = True

    def cut(self, size: int) -> None:
        """Cut the file to its good bytes and sync that; may raise OSError."""
        self._file.truncate(size)
        self._file.sync()
        self._size = size
