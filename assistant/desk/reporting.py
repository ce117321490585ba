"""A session's report with what stands beside its journal."""

import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from assistant.desk.opening import sessions_folder
from assistant.flow.library import VOCABULARY, flow_names, open_flow, shipped
from assistant.flow.problems import FlowError
from assistant.flow.source import read_source
from assistant.flow.vocabulary import Place
from assistant.journal.account import Account, give_account
from assistant.journal.clips import read_clips
from assistant.journal.errors import JournalError
from assistant.journal.reading import JOURNAL, Record
from assistant.journal.remarks import read_remarks
from assistant.journal.sessions import find_session, list_sessions
from assistant.journal.verifying import read_verified
from assistant.report import Beside, PlaceName, render

_LONGEST_LINE = 65536


def write_report(session: str, form: str, sessions: Path | None, *, has_clips: bool = False) -> str:
    """Write the report of a session.

    Args:
        session: the session's folder, its journal or its name.
        form: `md`, `html` or `json`.
        sessions: the folder that holds the sessions.
        has_clips: whether the sounds of answers are told, and in HTML put in.

    Raises:
        JournalError: when there is no such session, it cannot be read, or nothing whole is in it.
        ReportError: when there is no such form.
    """
    folder = find_session(session, sessions_folder(sessions))
    record = read_verified(folder)
    if not record.lines:
        raise JournalError(
            f"There is nothing to report: {folder / JOURNAL} holds no whole line.",
            "Put a copy of it there, or walk again.",
        )
    account = give_account(record)
    return render(account, form, _beside(account, record, folder, has_clips=has_clips))


def _beside(account: Account, record: Record, folder: Path, *, has_clips: bool) -> Beside:
    return Beside(
        places=_places(account.flow),
        remarks=read_remarks(folder),
        clips=read_clips(record, folder) if has_clips else None,
        next_session=_next_session(account, folder) if account.sent_to else "",
    )


def _places(flow: str) -> dict[str, PlaceName]:
    """Name the places of a shipped flow; of any other those that the shipped vocabulary knows.

    A record outlives its flow, so a flow that is gone or broken only costs the names.
    """
    with suppress(FlowError):
        if flow in flow_names():
            return _named(open_flow(flow).vocabulary.places)
    with suppress(FlowError):
        rows = read_source(shipped("flows") / VOCABULARY).data["places"]
        return _named({name: Place.model_validate(row) for name, row in rows.items()})
    return {}


def _named(places: Mapping[str, Place]) -> dict[str, PlaceName]:
    return {name: PlaceName(place.say, place.kind) for name, place in places.items()}


def _next_session(account: Account, folder: Path) -> str:
    """Find the session in the same folder that was begun after this one; empty where none is."""
    if not account.session:
        return ""
    for other in list_sessions(folder.resolve().parent):
        if other.name >= folder.resolve().name and _after(other) == account.session:
            return other.name
    return ""


def _after(folder: Path) -> str:
    """Give the session that a session says it was sent from."""
    with suppress(OSError, ValueError), (folder / JOURNAL).open("rb") as file:
        opening = json.loads(file.readline(_LONGEST_LINE))
        if isinstance(opening, dict) and isinstance(opening.get("data"), dict):
            return str(opening["data"].get("after", ""))
    return ""
