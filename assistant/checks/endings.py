"""How a unit is left: closed, its lock off or said to stay on, never open with power on."""

from collections.abc import Iterator

from assistant.checks.changes import LEFT_LOCKED, OPEN
from assistant.checks.check import Check, Subject
from assistant.checks.hands import Passage
from assistant.flow.model import STOP, FindStep, is_end
from assistant.flow.problems import Problem

_CLOSE = "Lead it through a step that leaves 'panels: closed', as shared/close-up.yaml has it."
_LOCK = "Take the lock off, or say at a hold point that it stays: shared/leave-locked.yaml."


def find_left_live(subject: Subject) -> Iterator[Problem]:
    """Complain where a walk ends with power on behind a cover that was opened."""
    for passage in _endings(subject):
        if OPEN in passage.after.due and _ends_with(passage, "power") == "on":
            message = "This ends the walk with the unit open and power on."
            yield subject.arrow_problem(passage.step, passage.leaving.outcome, message, _CLOSE)


def find_left_open(subject: Subject) -> Iterator[Problem]:
    """Complain where a walk ends with the unit open, or its leads apart and no lock on it."""
    for passage in _endings(subject):
        is_shut = OPEN not in passage.after.due or _ends_with(passage, "power") == "on"
        is_locked = _ends_with(passage, "lock") == "locked"
        is_apart = _ends_with(passage, "leads") == "isolated" and not is_locked
        if passage.leaving.target != STOP and (is_apart or not is_shut):
            message = "This ends the walk with the unit open or its leads apart, and unsaid."
            yield subject.arrow_problem(passage.step, passage.leaving.outcome, message, _CLOSE)


def find_left_locked(subject: Subject) -> Iterator[Problem]:
    """Complain where a walk ends with the lock on and nobody said that it stays."""
    for passage in _endings(subject):
        is_said = LEFT_LOCKED in passage.after.given
        is_locked = _ends_with(passage, "lock") == "locked"
        if passage.leaving.target != STOP and is_locked and not is_said:
            message = "This ends the walk with the unit locked out, and nobody says so."
            yield subject.arrow_problem(passage.step, passage.leaving.outcome, message, _LOCK)


def find_unlocked_open(subject: Subject) -> Iterator[Problem]:
    """Complain where a lock comes off a unit that is open, other than by bringing power back."""
    for passage in subject.hands.passages:
        left = passage.leaving.left
        is_taken_off = (
            left.get("lock") == "unlocked" and passage.leaving.here.get("lock") == "locked"
        )
        if is_taken_off and "power" not in left and OPEN in passage.after.due:
            message = f"'{passage.step}' takes the lock off while the unit is open."
            hint = "Close it first, or bring power back as shared/restore-power.yaml does."
            way = subject.leaves_way(passage.step, passage.leaving.outcome, "lock")
            yield subject.problem(passage.step, way, message, hint)


def _endings(subject: Subject) -> Iterator[Passage]:
    """Give each way to an end or to another flow, which begins as if nothing had been done.

    Where a licensed person takes over, the finding says how.
    """
    for passage in subject.hands.passages:
        step = subject.flow.steps[passage.step]
        is_licensed = isinstance(step, FindStep) and subject.flow.findings[step.finding].licensed
        is_handed_over = passage.leaving.target == STOP and is_licensed
        if is_end(passage.leaving.target) and not is_handed_over:
            yield passage


def _ends_with(passage: Passage, condition: str) -> str:
    return dict(passage.leaving.after).get(condition, "")


CHECKS = (
    Check(
        "left-live",
        "Whoever opens the next panel touches live parts.",
        find_left_live,
    ),
    Check(
        "left-open",
        "An open unit, or bare lead ends, wait for the next hand or the next start.",
        find_left_open,
    ),
    Check(
        "left-locked",
        "A customer without heat and a lock that nobody speaks of bring out the bolt cutter.",
        find_left_locked,
    ),
    Check(
        "unlocked-open",
        "Without its lock anyone can bring power back into an open unit.",
        find_unlocked_open,
    ),
)
