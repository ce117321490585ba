"""What a command names, opened: flows, steps, sessions, the recorded scenario."""

from pathlib import Path

from assistant.checks.table import check_flow
from assistant.desk.errors import DeskError
from assistant.flow.library import open_flow, shipped
from assistant.flow.linked import Flow
from assistant.flow.problems import FlowError
from assistant.journal.account import Account, give_account
from assistant.journal.reading import Record, read_journal
from assistant.journal.sessions import default_sessions_folder, find_session
from assistant.settings import read_settings
from assistant.spoken.meaning import Expectation
from assistant.walk.hearing import Bench, stand_at


def load_safe_flow(name: str) -> Flow:
    """Load a flow and check it; one with an error does not load.

    Raises:
        FlowError: when it is missing, broken or unsafe.
    """
    flow = open_flow(name)
    problems = [problem for problem in check_flow(flow) if problem.severity == "error"]
    if problems:
        raise FlowError(problems)
    return flow


def recorded_answers() -> list[Path]:
    """Give the demo's recorded answers, in order."""
    return sorted((shipped("demo_sessions") / "quarry_lane").glob("*.wav"))


def named_step(text: str) -> tuple[str, str]:
    """Give the flow and the step that `FLOW:STEP` names; whether they are there is not looked at.

    Raises:
        DeskError: when it names no step.
    """
    flow, _, name = text.rpartition(":")
    if not (flow and name):
        raise DeskError(f"'{text}' names no step.", "Write it as FLOW:STEP.")
    return flow, name


def hearing_place(step: tuple[str, str] | None, expected: Expectation) -> Bench:
    """Give where `rungside hear` hears: a step of a flow, or where only a unit is expected.

    Raises:
        RungsideError: when there is no such flow or step.
    """
    if step is None:
        return Bench(expected)
    flow, name = step
    return stand_at(load_safe_flow(flow), name)


def open_account(session: str, sessions: Path | None) -> Account:
    """Read a session and fold it into what it came to."""
    return give_account(open_record(session, sessions))


def open_record(session: str, sessions: Path | None) -> Record:
    """Read a session's journal."""
    return read_journal(find_session(session, sessions_folder(sessions)))


def sessions_folder(sessions: Path | None) -> Path:
    """Give the folder of the sessions: the one asked for, the settings', or the user's own."""
    return sessions or read_settings().sessions or default_sessions_folder()
