"""A chained file beside a session's journal: its remarks, or its tombstone."""

from pathlib import Path
from typing import Self

from assistant.journal.book import Book
from assistant.journal.errors import journal_error
from assistant.journal.files import Files
from assistant.journal.opening import title
from assistant.journal.reading import Record, read_unsealed
from assistant.journal.writer import Clock


class AdjoiningBook(Book):
    """The one writer of a file that says something of a session without changing its journal."""

    @classmethod
    def title(cls, folder: Path) -> str:
        """Give what the file is called in a sentence."""
        session = title(folder)
        return f"{cls.name} of {session[:1].lower()}{session[1:]}"

    @classmethod
    def read(cls, content: bytes) -> Record:
        """Read the file's bytes as they were written."""
        return read_unsealed(content, upgrades={})

    @classmethod
    def _opened(cls, folder: Path, clock: Clock, files: Files) -> Self | None:
        """Open the file that stands there; None where there is none.

        Raises:
            JournalError: when another process has it, it is damaged, or cannot be opened.
        """
        try:
            return cls._again(folder, files.open(folder / cls.name), clock, files)
        except FileNotFoundError:
            return None
        except OSError as error:
            raise journal_error(f"{cls.title(folder)} could not be opened", error) from error

    @classmethod
    def _made(cls, folder: Path, clock: Clock, files: Files) -> Self:
        """Make the file, with nothing in it.

        Raises:
            JournalError: when it cannot be made.
        """
        try:
            return cls._first(folder, files.create(folder / cls.name), clock, files)
        except OSError as error:
            raise journal_error(f"{cls.title(folder)} could not be made", error) from error
