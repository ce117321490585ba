"""A session replayed for a command: where it differs, in lines."""

from pathlib import Path

from assistant.desk.errors import DeskError
from assistant.desk.opening import load_safe_flow, open_record
from assistant.desk.output import show
from assistant.flow.library import flow_names
from assistant.flow.linked import Flow
from assistant.journal.account import Account, give_account
from assistant.journal.replay import replay
from assistant.walk.walk import Walk


def replay_session(session: str, flow: Path | None, sessions: Path | None) -> int:
    """Replay a session and print where it differs; 1 when it does."""
    record = open_record(session, sessions)
    for problem in record.damage:
        show(f"Damaged: line {problem.line}: {problem.sentence}")
    account = give_account(record)
    used = _judging_flow(account, flow)
    if used.digest != account.digest:
        show(f"Judged by another edition: recorded {account.edition}, now {used.edition}.")
    result = replay(record, Walk(used))
    if not result.differences:
        show(f"The same: {len(result.events)} events, to the letter.")
        return 1 if record.damage else 0
    for difference in result.differences[:20]:
        show(f"line {difference.line or 'end'}:")
        show(f"  recorded: {difference.recorded or 'nothing'}")
        show(f"  now:      {difference.replayed or 'nothing'}")
    count = len(result.differences)
    show("1 event differs." if count == 1 else f"{count} events differ.")
    return 1


def _judging_flow(account: Account, flow: Path | None) -> Flow:
    """Give the flow to judge a session by: the one asked for, or the shipped one it names."""
    if flow is not None:
        return load_safe_flow(str(flow))
    if account.flow not in flow_names():
        raise DeskError(
            f"The session's flow '{account.flow}' is not a shipped one.",
            "Name its file with --flow FILE.",
        )
    return load_safe_flow(account.flow)
