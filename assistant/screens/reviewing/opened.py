"""One session opened: everything the screen shows of it, read and computed once."""

from dataclasses import dataclass, replace
from pathlib import Path

from assistant.checks.trail import Trail, follow_trail
from assistant.journal.account import Account, give_account
from assistant.journal.errors import JournalError
from assistant.journal.flags import Flag, find_flags
from assistant.journal.problem import Fault, Problem
from assistant.journal.reading import Record
from assistant.journal.remarks import Remarks, read_remarks
from assistant.journal.verifying import read_verified
from assistant.screens.reviewing.turns import TurnFacts, turns_of


@dataclass(frozen=True, slots=True)
class Opened:
    """One session as it stands on the disk.

    Args:
        folder: where.
        record: its lines and what is wrong with them.
        account: what it came to.
        turns: its turns.
        trail: the way it took.
        flags: what a lead should look at.
        remarks: what leads said of it.
    """

    folder: Path
    record: Record
    account: Account
    turns: tuple[TurnFacts, ...]
    trail: Trail
    flags: tuple[Flag, ...]
    remarks: Remarks

    def with_remarks(self, remarks: Remarks) -> "Opened":
        """Give the same session with what was just said of it."""
        return replace(self, remarks=remarks)


def open_session(folder: Path) -> Opened:
    """Read a session from its folder.

    Raises:
        JournalError: when it cannot be read at all; damage is shown, never an exception.
    """
    record = read_verified(folder)
    return Opened(
        folder,
        record,
        give_account(record),
        turns_of(record.lines),
        follow_trail(record),
        find_flags(record),
        _remarks(folder),
    )


def _remarks(folder: Path) -> Remarks:
    """Read the remarks; where they cannot be read, that is what is said of them."""
    try:
        return read_remarks(folder)
    except JournalError as error:
        return Remarks(problems=(Problem(1, Fault.UNREADABLE, error.message),))
