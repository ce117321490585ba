"""Answers that name the state seen, and readings that are measured, not told or asked."""

import re
from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.flow.linked import LinkedStep
from assistant.flow.model import AskStep, DoStep, NumberStep, ObserveStep, SpokenStep
from assistant.flow.problems import Problem

_BEFORE = r"(?:(?:it's|it is|it|that's|that is|this is|i'm|i am|i have|i've|i|all|we are|now)\s+)*"
_BEHIND = r"(?:\s+(?:it|that|this|now|here|so|then|sir|please|too|already))*"
_ANY = (
    r"done|finished|complete|completed|ok|okay|alright|ready|next|go|go on|continue|proceed|yes|"
    r"yeah|yep|no|nope|right|correct|got|got it|did|did so|sure|fine|set|roger|copy|understood|"
    r"confirm|confirmed|checked|check"
)
_NUMBERLESS = r"measured|read|tested|taken|good|normal|reads good|reads fine|looks good|as expected"
_NO_STATE = re.compile(rf"{_BEFORE}(?:{_ANY}){_BEHIND}")
_NO_NUMBER = re.compile(rf"{_BEFORE}(?:{_ANY}|{_NUMBERLESS}){_BEHIND}")

_MEASURING = re.compile(
    r"\b(measure|probes?|clamp|meter on|meter (?:shows|reads|says)|"
    r"(?:ohms|volts|amps|capacitance|resistance|microfarads|megohms)"
    r"(?: a c| d c)? (?:across|from|between|to)|reading)\b",
    re.IGNORECASE,
)
_PRINTED = re.compile(
    r"\b(labels?|plates?|printed|marked|stamped|diagram|table|chart|manual|nameplate|breaker|"
    r"thermostat|notes|earlier|before|rated)\b",
    re.IGNORECASE,
)
_DEAD_TEST = re.compile(
    r"\b(ohms|resistance|continuity|capacitance|megohms|microfarads across)\b", re.IGNORECASE
)


_LIVE_TEST = re.compile(
    r"\b(read|measure|take|test|check)\b[^.:]*\b(volts|voltage|amps|amperes|current|watts)\b",
    re.IGNORECASE,
)


def find_no_state(subject: Subject) -> Iterator[Problem]:
    """Complain of phrases that anyone says at any time, as an answer to a step."""
    for name, step in subject.flow.steps.items():
        if not isinstance(step, SpokenStep):
            continue
        empty = _NO_NUMBER if isinstance(step, NumberStep) else _NO_STATE
        for choice, answer in step.choices.items():
            for position, phrase in enumerate(answer.phrases):
                if empty.fullmatch(" ".join(phrase.lower().split())):
                    message = f"'{phrase}' names no state, so it answers nothing at '{name}'."
                    hint = "Write what is seen, as 'it is locked out', or take the answer out."
                    way = ("choices", choice, "phrases", position)
                    yield subject.problem(name, way, message, hint)


def find_asked_readings(subject: Subject) -> Iterator[Problem]:
    """Complain of an `ask` that is a reading: nothing it needs would be proven before it."""
    for name, step in subject.flow.steps.items():
        if isinstance(step, AskStep) and _is_reading(step):
            message = f"'{name}' asks for a reading, so nothing is proven before it."
            hint = "Write 'kind: measure' with 'quantity', 'from', 'to' and 'meter'."
            yield subject.problem(name, ("kind",), message, hint)


def _is_reading(step: AskStep) -> bool:
    said = f"{step.say} {step.again}"
    return bool(_MEASURING.search(said)) and not _PRINTED.search(f"{said} {step.help}")


def find_told_readings(subject: Subject) -> Iterator[Problem]:
    """Complain of an action that tells to measure where what the reading needs is not proven."""
    for name in subject.reached:
        step = subject.flow.steps[name]
        if _tells_live_test(step) and not _is_live_agreed(subject, name):
            message = f"'{name}' tells to take a live reading where no live test was agreed."
            hint = "Write it as 'kind: measure', behind the hold point that agrees it."
            yield subject.problem(name, ("say",), message, hint)
        if not _tells_dead_test(step) or not isinstance(step, SpokenStep):
            continue
        lacks = [c for c, v in _DEAD if not subject.hands.is_always(name, c, v)]
        if lacks:
            message = f"'{name}' tells to measure ohms where the unit is not proven dead."
            hint = "Write 'needs: {power: \"off\", capacitor: bled}', and prove it before."
            yield subject.problem(name, ("say",), message, hint)


_DEAD = (("power", "off"), ("capacitor", "bled"))


def _tells_dead_test(step: LinkedStep) -> bool:
    return isinstance(step, DoStep | ObserveStep) and bool(_DEAD_TEST.search(step.say))


def _tells_live_test(step: LinkedStep) -> bool:
    return isinstance(step, DoStep | ObserveStep) and bool(_LIVE_TEST.search(step.say))


def _is_live_agreed(subject: Subject, name: str) -> bool:
    step, hands = subject.flow.steps[name], subject.hands
    is_agreeing = isinstance(step, SpokenStep) and step.leaves.get("live_work") == "agreed"
    return is_agreeing or hands.is_always(name, "live_work", "agreed")


CHECKS = (
    Check(
        "no-state",
        "Words that are said at any time confirm nothing.",
        find_no_state,
    ),
    Check(
        "asked-reading",
        "A reading that is asked for like a label is taken with whatever is live.",
        find_asked_readings,
    ),
    Check(
        "told-reading",
        "A test that is told as an action is made without the proofs that a reading needs.",
        find_told_readings,
    ),
)
