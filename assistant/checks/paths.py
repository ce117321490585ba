"""Paths that reach a step unproven, and the arrows by which they leave the proof out."""

from collections.abc import Iterable, Iterator

from assistant.checks.check import Check, Subject
from assistant.checks.hands import Passage
from assistant.flow.conditions import GOOD
from assistant.flow.judging import CONTINUE
from assistant.flow.model import JudgedStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.flow.safety import check_paths
from assistant.flow.ways import State

_Node = tuple[str, State]


def find_unsafe_paths(subject: Subject) -> Iterator[Problem]:
    """Complain of steps that some path reaches unproven, and of the arrows that leave proof out."""
    yield from check_paths(subject.flow, subject.ways)
    for name, lacking in sorted(subject.ways.unproven.items()):
        for condition, value in sorted(lacking):
            words = subject.flow.vocabulary.conditions[condition].values[value]
            for passage in _shortcuts(subject, name, condition, value):
                message = f"This leads from '{passage.step}' to '{name}' without: {words}."
                hint = "Lead it through the step that proves it."
                yield subject.problem(passage.step, _way(subject, passage), message, hint)


def _way(subject: Subject, passage: Passage) -> Where:
    """Give the way to the key that leads on: where a reading failed, to the rule that lets it."""
    step = subject.flow.steps[passage.step]
    if passage.leaving.outcome == "next" and isinstance(step, JudgedStep):
        for position, rule in enumerate(step.judge):
            for word, target in rule.go.items():
                kind = rule.outcomes.get(word, word)
                if target == CONTINUE and kind not in GOOD and not passage.leaving.is_proven:
                    return "judge", position, "go", word
    return subject.arrow_way(passage.step, passage.leaving.outcome)


def _shortcuts(subject: Subject, name: str, condition: str, value: str) -> Iterator[Passage]:
    """Give the arrows from where it is never proven to where it is, on the way to a step."""
    unproven = {(name, state) for state in subject.hands.reached[name]}
    unproven = {node for node in unproven if not _has(node[1], condition, value)}
    ahead = list(unproven)
    while ahead:
        target, state = ahead.pop()
        for passage in subject.hands.into.get(target, ()):
            node = (passage.step, passage.state)
            if passage.leaving.after != state or _has(passage.state, condition, value):
                continue
            if _is_shortcut(subject, passage, condition, value):
                yield passage
            if node not in unproven:
                unproven.add(node)
                ahead.append(node)


def _is_shortcut(subject: Subject, passage: Passage, condition: str, value: str) -> bool:
    def is_ever(states: Iterable[State]) -> bool:
        return any(_has(state, condition, value) for state in states)

    reached, target = subject.hands.reached, passage.leaving.target
    if is_ever(reached[passage.step]) or passage.leaving.left.get(condition) == value:
        return False
    return is_ever(reached[target]) or target in _bypassed(subject)


def _bypassed(subject: Subject) -> set[str]:
    """Give the steps that others lead to which no path reaches any more."""
    left_out = set(subject.flow.steps) - subject.reached
    return {target for name, _, target in subject.arrows if name in left_out}


def _has(state: State, condition: str, value: str) -> bool:
    return (condition, value) in state


CHECKS = (
    Check(
        "unsafe-path",
        "Ohms or microfarads on a live circuit, or a live reading nobody agreed to, can kill.",
        find_unsafe_paths,
    ),
)
