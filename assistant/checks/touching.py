"""Hands that go into the unit: only where it is proven dead, and the capacitor they touch bled."""

import re
from collections.abc import Iterator

from assistant.checks.cautions import is_turned_by_hand
from assistant.checks.changes import OPEN
from assistant.checks.check import Check, Subject
from assistant.flow.model import DoStep, ObserveStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem

_OUTSIDE = re.compile(
    r"\b(thermostat|batter(y|ies)|filters?|ducts?|grilles?|registers?|breaker)\b", re.IGNORECASE
)
"""What is repaired outside the unit."""
_WIRING = re.compile(
    r"\b(?:pull|lift|crimp|fit|swap|replace|tighten|strip|splice|remove|unplug|unscrew|bend|land|"
    r"take|push|disconnect (?:the|its|both|each|all|one|a))\b[^.:]*?"
    r"\b(?:wires?|leads?|terminals?|coil|contactor|contacts|"
    r"capacitor|relay|motor|transformer|board|lugs?)\b",
    re.IGNORECASE,
)
"""What an action says that is done to conductors with the fingers, not with probes."""
_CAPACITOR = re.compile(r"\bcapacitors?\b", re.IGNORECASE)


def find_live_hands(subject: Subject) -> Iterator[Problem]:
    """Complain of hands in a unit that some path has not proven dead."""
    for name in sorted(subject.reached):
        step = subject.flow.steps[name]
        if not isinstance(step, DoStep | ObserveStep):
            continue
        for reason, way in () if "power" in step.needs else _reasons(subject, name, step):
            if not subject.hands.is_always(name, "power", "off"):
                message = f"At '{name}' {reason}, and some path has not proven the power off."
                hint = "Write 'needs: {power: \"off\"}', and prove it before."
                yield subject.problem(name, way, message, hint)
                break
        if (
            _touches_capacitor(step)
            and "capacitor" not in step.needs
            and not subject.hands.is_always(name, "capacitor", "bled")
        ):
            message = f"At '{name}' hands are on a capacitor that some path has not proven bled."
            hint = "Write 'needs: {capacitor: bled}', and prove it before."
            yield subject.problem(name, (), message, hint)


def _reasons(
    subject: Subject, name: str, step: DoStep | ObserveStep
) -> Iterator[tuple[str, Where]]:
    if is_turned_by_hand(step):
        yield "the wheel is turned by hand", ()
    if step.needs.get("leads") == "isolated":
        yield "leads are taken apart", ("needs", "leads")
    if step.leaves.get("leads") == "isolated":
        yield "leads are taken apart", ("leaves", "leads")
    for choice, answer in step.choices.items():
        if answer.leaves.get("leads") == "isolated":
            yield "leads are taken apart", ("choices", choice, "leaves")
    if step.needs.get("panels") == "open" and not _is_agreed(subject, name):
        yield "panels are off", ("needs", "panels")
    is_inside = step.about == "repair" and not step.cautions and not _OUTSIDE.search(step.say)
    if is_inside and OPEN in subject.hands.on_arrival(name).due:
        yield "an open unit is repaired", ()
    if isinstance(step, DoStep) and _WIRING.search(step.say) and not _OUTSIDE.search(step.say):
        yield "hands are on its wiring", ("say",)


def _is_agreed(subject: Subject, name: str) -> bool:
    return subject.hands.is_always(name, "live_work", "agreed")


def _touches_capacitor(step: DoStep | ObserveStep) -> bool:
    is_repair = step.about == "repair" and _CAPACITOR.search(step.say)
    return step.about == "capacitor_look" or bool(is_repair and "off" in step.needs.values())


CHECKS = (
    Check(
        "hands-live",
        "Hands in a unit that is not proven dead meet live parts or a wheel that starts.",
        find_live_hands,
    ),
)
