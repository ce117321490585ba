"""What a command prints, and the files it writes."""

import sys
from pathlib import Path

from assistant.desk.errors import DeskError
from assistant.journal.account import Account
from assistant.report import tell
from assistant.voice.written import fitted


def show(text: str) -> None:
    """Print lines, broken between words in a terminal."""
    print(fitted(text, sys.stdout))


def tell_end(account: Account, folder: Path) -> None:
    """Print what a walk came to, and how its record is read."""
    print()
    show(tell(account, folder))
    print(f"Review it:  rungside report {folder}")  # copied as one line, so never broken


def write_out(text: str, output: Path | None) -> None:
    """Write to a file, or to the terminal.

    Raises:
        DeskError: when the file cannot be written.
    """
    if output is None:
        sys.stdout.write(text if text.endswith("\n") else text + "\n")
        return
    try:
        output.write_text(text, encoding="utf-8")
    except OSError as error:
        raise DeskError(f"{output} cannot be written: {error.strerror}.") from error
    print(f"Written: {output}")
