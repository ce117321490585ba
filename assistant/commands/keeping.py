"""Keeping sessions: moved from machine to machine, and purged."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from assistant.commands.app import UsageError, app

OLDEST = 36_500
"""A hundred years of days."""


@app.command
def pack(
    session: str,
    *,
    output: Annotated[Path | None, Parameter(name=["--output", "-o"])] = None,
    sessions: Path | None = None,
) -> int:
    """Pack a session into one file that moves it whole; its remarks and kept sounds go with it.

    Args:
        session: the session's folder, its journal or its name.
        output: the file to make; beside where you are, by the session's name, if not given.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.keeping import pack_session

    return pack_session(session, output, sessions)


@app.command
def unpack(file: Path, *, sessions: Path | None = None) -> int:
    """Put a packed session among the sessions, checked first, and say what state it is in.

    Args:
        file: a file that `rungside pack` made.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.keeping import unpack_file

    return unpack_file(file, sessions)


@app.command
def purge(
    *names: str,
    older_than: float | None = None,
    clips_only: bool = False,
    yes: bool = False,
    sessions: Path | None = None,
) -> int:
    """Say what goes of sessions; with --yes it goes, and a tombstone keeps when, and the seal.

    Args:
        names: sessions by their folder, journal or name.
        older_than: instead of names: all that recorded nothing for so many days.
        clips_only: only the kept sounds go; the record stays as it is.
        yes: do it.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.keeping import purge_sessions

    if bool(names) == (older_than is not None):
        raise UsageError("Sessions are purged by name or by age.", "Give names or --older-than.")
    if older_than is not None and not 0 <= older_than <= OLDEST:
        raise UsageError("--older-than is a number of days.", f"Give 0 to {OLDEST}.")
    return purge_sessions(names, sessions, days=older_than, is_clips_only=clips_only, is_agreed=yes)
