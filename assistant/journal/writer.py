"""Bytes put behind a journal so that they are on the disk whole or not at all."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import datetime
from typing import TypeAlias

from assistant.journal.errors import journal_error
from assistant.journal.files import File

Clock: TypeAlias = Callable[[], datetime]
"""Gives the present moment with its time zone."""
Event: TypeAlias = Mapping[str, object]
"""An event to be written: its `kind`, and keys whose values must be what JSON can say."""


class Writer:
    """The end of one open file.

    Args:
        file: the file.
        size: how many bytes of it are good.
        name: how it is called in an error.
    """

    def __init__(self, file: File, size: int, name: str) -> None:
        self._file = file
        self.size = size
        self.is_stuck = False
        self._name = name

    def put(self, data: bytes) -> None:
        """Write and sync; what fails or is interrupted half-way is cut off again.

        Raises:
            JournalError: when it is not on the disk. `is_stuck` then tells that the part written
                could not even be cut off.
        """
        self.is_stuck = True
        try:
            self._write(data)
        except OSError as error:
            self._undo()
            raise journal_error(f"{self._name} could not be written", error) from error
        except BaseException:
            self._undo()
            raise
        self.size += len(data)
        self.is_stuck = False

    def _write(self, data: bytes) -> None:
        rest = memoryview(data)
        while rest:
            rest = rest[self._file.write(bytes(rest)) :]
        self._file.sync()

    def _undo(self) -> None:
        with suppress(OSError):
            self.cut()

    def cut(self) -> None:
        """Cut the file to its good bytes and sync that; may raise OSError."""
        self._file.truncate(self.size)
        self._file.sync()
        self.is_stuck = False
