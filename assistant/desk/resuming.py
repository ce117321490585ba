"""A session that was broken off, opened again for a command."""

from pathlib import Path

from assistant.desk.errors import DeskError
from assistant.desk.opening import load_safe_flow
from assistant.flow.library import flow_names
from assistant.flow.linked import Flow
from assistant.journal.account import Account, give_account
from assistant.journal.opening import refuse_to_continue, title
from assistant.journal.reading import read_journal
from assistant.journal.resuming import resume
from assistant.journal.session import Session
from assistant.journal.sessions import find_session
from assistant.journal.store import Clock
from assistant.walk.walk import Walk


def take_up(session: str, flow: str | None, sessions: Path, clock: Clock) -> Session:
    """Open a session again and stand where it stood.

    Args:
        session: the session's folder, its journal or its name.
        flow: the flow that it was begun with, where that is no shipped one.
        sessions: the folder that holds the sessions.
        clock: gives the time.

    Raises:
        RungsideError: when there is none, it is sealed or damaged, another process has it, or its
            flow is not the one that it was begun with. The session is then as it was.
    """
    folder = find_session(session, sessions)
    record = read_journal(folder)
    account = give_account(record)
    if record.is_sealed and account.sent_to:
        raise DeskError(
            f"{title(folder)} is over: it was sent on to the flow '{account.sent_to}'.",
            f"Walk that: rungside walk {account.sent_to}",
        )
    refuse_to_continue(title(folder), record)
    loaded = _flow_of(account, flow)
    if loaded.digest != account.digest:
        raise DeskError(
            f"{title(folder)} was begun with another text of the flow '{account.flow}', "
            f"edition {account.edition}.",
            "Name the file it was begun with, or start a new session.",
        )
    return resume(Walk(loaded), folder, clock=clock)


def _flow_of(account: Account, flow: str | None) -> Flow:
    if flow is not None:
        return load_safe_flow(flow)
    if account.flow not in flow_names():
        raise DeskError(
            f"The session's flow '{account.flow}' is not a shipped one.",
            "Name its file: rungside walk FILE --resume SESSION.",
        )
    return load_safe_flow(account.flow)
