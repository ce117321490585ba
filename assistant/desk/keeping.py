"""Sessions moved from machine to machine and purged, for the commands."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from assistant.desk.opening import sessions_folder
from assistant.desk.output import show
from assistant.desk.verifying import verify_session
from assistant.journal.errors import JournalError
from assistant.journal.opening import title
from assistant.journal.packing import ENDING, pack
from assistant.journal.purging import SESSION, Purge, is_older, plan_purge, purge
from assistant.journal.sessions import find_session, list_sessions
from assistant.journal.unpacking import unpack
from assistant.journal.verifying import read_verified


def pack_session(session: str, output: Path | None, sessions: Path | None) -> int:
    """Pack a session into one file; what lies in its folder besides is named and left."""
    folder = find_session(session, sessions_folder(sessions)).absolute()
    made = pack(folder, output or Path(f"{folder.name}{ENDING}"))
    for name in made.left:
        show(f"{name} is no file of a session, so it is not packed.")
    count = len(made.names)
    show(f"{title(folder)} is packed, {'1 file' if count == 1 else f'{count} files'}: {made.file}")
    return 0


def unpack_file(file: Path, sessions: Path | None) -> int:
    """Put a packed session among the sessions and say what state it is in; 1 when it is damaged."""
    came = unpack(file, sessions_folder(sessions))
    show(
        f"{title(came.folder)} has arrived: {came.folder}"
        if came.is_new
        else f"{title(came.folder)} is there already, the same to the letter: {came.folder}"
    )
    code = verify_session(str(came.folder), sessions)
    # An open session is no bad one to bring along; a damaged one is.
    return code if read_verified(came.folder).is_sealed else int(_is_damaged(came.folder))


def _is_damaged(folder: Path) -> bool:
    return bool(read_verified(folder).damage)


def purge_sessions(
    names: Sequence[str],
    sessions: Path | None,
    *,
    days: float | None,
    is_clips_only: bool,
    is_agreed: bool,
) -> int:
    """Print what goes of sessions, and take it away where that was agreed.

    Args:
        names: the sessions, where they are named.
        sessions: the folder that holds the sessions.
        days: sessions older than so many days, where they are not named.
        is_clips_only: whether only the sounds go.
        is_agreed: whether it was agreed to.

    Returns:
        0; 1 when something could not be purged.
    """
    folder = sessions_folder(sessions)
    named = [find_session(name, folder) for name in names]
    complaints: list[str] = []
    plans = []
    for one in named if days is None else _older(folder, days, complaints):
        try:
            plan = plan_purge(one, is_clips_only=is_clips_only)
        except JournalError as error:
            complaints.append(str(error))
            continue
        if plan.names:
            plans.append(plan)
    for plan in plans:
        show(_told(plan))
        for name in plan.left:
            show(f"  {name} is no file of a session, so it stays.")
    return _carry_out(plans, complaints, is_agreed=is_agreed)


def _older(folder: Path, days: float, complaints: list[str]) -> Iterator[Path]:
    before = datetime.now(UTC) - timedelta(days=days)
    for one in reversed(list_sessions(folder)):
        try:
            if is_older(one, before):
                yield one
        except JournalError as error:
            complaints.append(str(error))


def _told(plan: Purge) -> str:
    count = len(plan.names)
    size = f"{plan.bytes / 1e6:.1f} MB"
    if plan.what != SESSION:
        sounds = "1 sound" if count == 1 else f"{count} sounds"
        return f"{title(plan.folder)}: {sounds}, {size}; the record stays."
    files = "1 file" if count == 1 else f"{count} files"
    seal = f"seal {plan.seal}" if plan.seal else "not sealed"
    return f"{title(plan.folder)}: all of it, {files}, {size}; {seal}."


def _carry_out(plans: Sequence[Purge], complaints: list[str], *, is_agreed: bool) -> int:
    done = 0
    for plan in plans if is_agreed else ():
        try:
            purge(plan, clock=lambda: datetime.now(UTC))
            done += 1
        except JournalError as error:
            complaints.append(str(error))
    for sentence in complaints:
        show(sentence)
    if not plans:
        show("There is nothing to purge.")
    elif is_agreed:
        show(f"Purged: {done} of {len(plans)}.")
    else:
        show("Nothing is gone yet. Add --yes to purge this.")
    return 1 if complaints else 0
