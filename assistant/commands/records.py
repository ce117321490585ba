"""Records: a session as a report, and walked again."""

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from assistant.commands.app import UsageError, app


@app.command
def report(
    session: str,
    *,
    format: Literal["md", "html", "json"] = "md",  # noqa: A002 - the option's name
    sessions: Path | None = None,
    output: Annotated[Path | None, Parameter(name=["--output", "-o"])] = None,
    clips: Annotated[bool, Parameter(negative=())] = False,
) -> int:
    """Write a session's record for the work order.

    Args:
        session: the session's folder, its journal or its name.
        format: md, html or json.
        sessions: the folder that holds the sessions.
        output: a file to write to; the terminal where it is not given.
        clips: also the sounds of answers where they were kept; html holds them, others name them.
    """
    from assistant.desk.output import write_out
    from assistant.desk.reporting import write_report

    write_out(write_report(session, format, sessions, has_clips=clips), output)
    return 0


@app.command
def replay(
    session: str,
    *,
    flow: Path | None = None,
    sessions: Path | None = None,
) -> int:
    """Walk a session's heard words again and say where it differs.

    Args:
        session: the session's folder, its journal or its name.
        flow: another edition of the flow to judge by.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.replaying import replay_session

    return replay_session(session, flow, sessions)


@app.command
def verify(session: str, *, sessions: Path | None = None) -> int:
    """Say whether a session is as it was written: every change by its line, and the seal's code.

    Exit 0 when it is sealed and whole; 1 when it is changed, cut off or not sealed.

    Args:
        session: the session's folder, its journal or its name.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.verifying import verify_session

    return verify_session(session, sessions)


@app.command
def review(
    directory: Path | None = None,
    *,
    sessions: Path | None = None,
    thorough: bool = False,
    tech: str | None = None,
) -> int:
    """Read sessions, replay them, remark on them and sign them off.

    Without a terminal (in a pipe) the list is printed, one session a line.

    Args:
        directory: the folder that holds the sessions, or one session's folder.
        sessions: the same, as other commands name it.
        thorough: look every session through for flags and damage before the list is printed.
        tech: the name that remarks are signed with.
    """
    from assistant.desk.reviewing import review_sessions

    if directory is not None and sessions is not None:
        raise UsageError("The folder is named twice.", "Name it once, with or without --sessions.")
    return review_sessions(directory or sessions, is_thorough=thorough, author=tech)
