"""Hold points: what cannot be undone is confirmed by its own words before it is done."""

import re
from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.flow.model import SpokenStep, is_hold
from assistant.flow.problems import Problem

_HELD: dict[tuple[str, str], str] = {
    ("power", "on"): "power comes on here",
    ("live_work", "agreed"): "work on live parts is agreed here",
    ("lock", "locked"): "the lock goes on, or stays on, here",
}
"""What a step may leave true only as a hold point, and why."""

_HOLD_POINT = re.compile(r"\bhold point\b", re.IGNORECASE)
_POWER_SAID = re.compile(
    r"\b(power is( back)? on|power is restored|it is energized|breaker is back on)\b"
)


def find_missing_holds(subject: Subject) -> Iterator[Problem]:
    """Complain of a step that must be a hold point and is none."""
    for name, step in subject.flow.steps.items():
        if isinstance(step, SpokenStep) and not is_hold(step):
            for way, reason in _reasons(subject, name, step):
                message = f"'{name}' must be a hold point: {reason}."
                yield subject.problem(name, way, message, "Write 'hold: true'.")


def _reasons(
    subject: Subject, name: str, step: SpokenStep
) -> Iterator[tuple[tuple[str, ...], str]]:
    leaves = [step.leaves, *(answer.leaves for answer in step.choices.values())]
    left = {pair for one in leaves for pair in one.items()}
    del subject, name
    reasons = [reason for pair, reason in _HELD.items() if pair in left]
    if "power_returns" in step.cautions:
        reasons.append("its caution says that power is coming back")
    if _HOLD_POINT.search(step.say):
        reasons.append("it calls itself one")
    if reasons:
        yield (), reasons[0]


def find_bare_leads(subject: Subject) -> Iterator[Problem]:
    """Complain of a step that brings power on while some path has left leads apart."""
    for passage in subject.hands.passages:
        leaving = passage.leaving
        is_on = leaving.left.get("power") == "on"
        if is_on and dict(leaving.after).get("leads") == "isolated":
            message = f"'{passage.step}' brings power on, and some path has left the leads apart."
            hint = "Write 'needs: {leads: connected, panels: closed}'."
            way = subject.leaves_way(passage.step, leaving.outcome, "power")
            yield subject.problem(passage.step, way, message, hint)


def find_power_in_words(subject: Subject) -> Iterator[Problem]:
    """Complain of an answer that says power is on while the walk still takes it for proven off."""
    for passage in subject.hands.passages:
        step = subject.flow.steps[passage.step]
        choice = passage.leaving.outcome.removeprefix("choice.")
        if not isinstance(step, SpokenStep) or choice not in step.choices:
            continue
        is_said = any(_POWER_SAID.search(phrase) for phrase in step.choices[choice].phrases)
        if is_said and dict(passage.leaving.after)["power"] == "off":
            message = f"'{choice}' says that power is on, and the walk still takes it for off."
            hint = "Write 'leaves: {power: \"on\"}'."
            yield subject.problem(passage.step, ("choices", choice), message, hint)


CHECKS = (
    Check(
        "hold-missing",
        "What brings a hazard closer is confirmed by the words that name it, or not done.",
        find_missing_holds,
    ),
    Check(
        "power-on-bare-leads",
        "Lead ends that hang free are live the moment power comes on.",
        find_bare_leads,
    ),
    Check(
        "power-in-words",
        "Ohms after words that power is on would be taken on a live circuit.",
        find_power_in_words,
    ),
)
