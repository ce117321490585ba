"""Where sessions are kept, how they are called, and how one is found again."""

import re
import unicodedata
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from platformdirs import user_data_path

from assistant.journal.errors import JournalError, journal_error
from assistant.journal.reading import JOURNAL, TOMBSTONE, read_unsealed

_UNIT_LENGTH = 40


def default_sessions_folder() -> Path:
    """Give the folder in which this user's sessions are kept; it need not be there yet."""
    return user_data_path("rungside", appauthor=False) / "sessions"


def make_session_id(moment: datetime, unit: str, suffix: str) -> str:
    """Make a session's name, as `20260203T140506Z-rtu-3-k7q2`; names sort by time.

    Args:
        moment: when the session begins, with its time zone.
        unit: what the equipment is called; anything, even empty.
        suffix: a few marks that keep two sessions of one second apart.

    Raises:
        JournalError: when the moment has no time zone or the suffix no letter or digit.
    """
    if moment.tzinfo is None:
        raise JournalError(
            f"The time {moment.isoformat()} has no time zone.", "Hand in a clock that gives UTC."
        )
    end = _slug(suffix)
    if not end:
        raise JournalError(f"'{suffix}' cannot end a session's name.", "Use letters and digits.")
    time = moment.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    middle = _slug(unit)[:_UNIT_LENGTH].strip("-") or "unit"
    return f"{time}-{middle}-{end}"


def _slug(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


def list_sessions(folder: Path) -> tuple[Path, ...]:
    """Give the folders of all sessions in a folder, newest name first; none when it is not there.

    Raises:
        JournalError: when the folder cannot be read.
    """
    try:
        found = [path.parent for path in folder.glob(f"*/{JOURNAL}") if path.is_file()]
    except OSError as error:
        raise journal_error(f"The sessions in {folder} could not be listed", error) from error
    return tuple(sorted(found, key=lambda path: path.name, reverse=True))


def find_session(text: str, sessions: Path | None = None) -> Path:
    """Find a session's folder.

    Args:
        text: a path to the folder, a path to its `journal.jsonl`, or the session's id.
        sessions: where ids are looked for; the default folder when None.

    Raises:
        JournalError: when there is none.
    """
    sessions = sessions or default_sessions_folder()
    for folder in (_named(text), sessions / text):
        if text and _has_journal(folder):
            return folder
    for folder in (_named(text), sessions / text):
        if text and (when := _purged(folder)):
            raise JournalError(
                f"The session {folder.absolute().name} was purged on {when[:10]}.",
                f"{TOMBSTONE} in its folder says what its seal was.",
            )
    raise JournalError(
        f"There is no session '{text}', neither as a path nor in {sessions}.",
        f"Name a folder that holds {JOURNAL}, or a session's id.",
    )


def _named(text: str) -> Path:
    path = Path(text)
    with suppress(RuntimeError):  # "~somebody" without such a user
        path = path.expanduser()
    return path.parent if path.name == JOURNAL else path


def _purged(folder: Path) -> str:
    """Give when a session was purged; empty where it was not."""
    with suppress(OSError, ValueError):  # a name with a zero byte is a ValueError
        lines = read_unsealed((folder / TOMBSTONE).read_bytes()).lines
        return lines[-1].time if lines else ""
    return ""


def _has_journal(folder: Path) -> bool:
    try:
        return (folder / JOURNAL).is_file()
    except OSError:  # a name too long, a folder that may not be entered
        return False
