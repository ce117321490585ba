"""Every path of a flow, followed over the small state that keeps hands safe, before it loads."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from assistant.flow.conditions import (
    GOOD,
    QUANTITY_NEEDS,
    Conditions,
    by_hand,
    effects,
    first_conditions,
    needs_of,
    proofs,
    unmet,
    with_set,
)
from assistant.flow.judging import CONTINUE
from assistant.flow.linked import Flow, LinkedStep, Origin
from assistant.flow.model import DoStep, MeasureStep, NumberStep, QuantityKind, SpokenStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.flow.source import Source
from assistant.flow.vocabulary import Vocabulary

State: TypeAlias = tuple[tuple[str, str], ...]
"""The value of each condition, by name, in order of the names."""

_WORDS = "vocabulary"


def check_vocabulary(source: Source, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Complain where the conditions that readings rest on are missing, free or true from the start.

    Args:
        source: the vocabulary's file.
        vocabulary: what was read from it.
    """
    needed = {pair for needs in QUANTITY_NEEDS.values() for pair in needs.items()}
    for name, value in sorted(needed | {("power", "on")}):
        condition = vocabulary.conditions.get(name)
        where = ("conditions", name)
        if condition is None or value not in condition.values:
            message = f"The condition '{name}' with the value '{value}' is missing."
            yield source.problem(where, message, "Readings rest on it: add it.", _WORDS)
        elif condition.by != "proof":
            message = f"The condition '{name}' can be set by saying so."
            yield source.problem(where, message, "Write 'by: proof': readings rest on it.", _WORDS)
        elif condition.first == value:
            message = f"The condition '{name}' begins as '{value}' before anything was proven."
            yield source.problem(where, message, "Put the unproven value first.", _WORDS)
    agreed = vocabulary.conditions.get("live_work")
    ends = vocabulary.consequences.get("power", {}).get("on", {})
    if agreed is not None and ends.get("live_work") != agreed.first:
        message = "Power that comes on does not end what was agreed for live tests."
        hint = f"Write 'power: {{\"on\": {{live_work: {agreed.first}}}}}' under 'consequences'."
        yield source.problem(("consequences",), message, hint, _WORDS)
    for name, condition in vocabulary.conditions.items():
        silent = [value for value in condition.values if not condition.phrases.get(value)]
        if condition.by == "hand" and silent:
            message = f"The condition '{name}' has no phrases for '{silent[0]}'."
            hint = "Add them under 'phrases'."
            yield source.problem(("conditions", name), message, hint, _WORDS)


def check_paths(
    flow: Flow, unproven: Mapping[str, set[tuple[str, str]]] | None = None
) -> list[Problem]:
    """Follow every path and complain where a step can be reached without what it needs.

    A need that hands can make true again (`by: hand`) is asked for at run time, so only what must
    be proven counts here. What a step may not call proven is complained of too.

    Args:
        flow: the flow.
        unproven: what `lacking_proofs` gives of it, where that is known by now.
    """
    problems = [
        problem for name, step in flow.steps.items() for problem in _check_proof(flow, name, step)
    ]
    for name, lacking in sorted((lacking_proofs(flow) if unproven is None else unproven).items()):
        said = " and ".join(
            flow.vocabulary.conditions[one].values[value] for one, value in sorted(lacking)
        )
        message = f"'{name}' can be reached without: {said}."
        hint = "Lead every path through the step that proves it."
        problems.append(_problem(flow.origins[name], message, hint))
    return problems


def _problem(origin: Origin, message: str, hint: str, way: Where = ()) -> Problem:
    return origin.source.problem((*origin.where, *way), message, hint, "unsafe-path")


def _check_proof(flow: Flow, name: str, step: LinkedStep) -> Iterator[Problem]:
    """Off is measured, bled is measured or a hold point, live is a hold point with its caution."""
    if not isinstance(step, SpokenStep):
        return
    left = set(step.leaves.items())
    said = {pair for answer in step.choices.values() for pair in answer.leaves.items()}
    if isinstance(step, NumberStep):
        yield from _check_words(flow, name, said)
    left |= said
    origin = flow.origins[name]
    is_judged = isinstance(step, MeasureStep) and bool(step.judge)
    is_hold = isinstance(step, DoStep) and step.hold
    is_volts = isinstance(step, MeasureStep) and step.quantity is QuantityKind.VOLTAGE
    if ("power", "off") in left and not (is_judged and is_volts):
        message = f"'{name}' calls the power off without measuring it."
        hint = "Leave 'power: off' on a judged reading of volts."
        yield _problem(origin, message, hint, _left_at(step, "power", "off"))
    if ("capacitor", "bled") in left and not (is_judged or is_hold):
        message = f"'{name}' calls the capacitor bled without a reading or a hold point."
        hint = "Measure it, or write 'hold: true'."
        yield _problem(origin, message, hint, _left_at(step, "capacitor", "bled"))
    if ("live_work", "agreed") in left and not (is_hold and step.cautions):
        message = f"'{name}' agrees a live test without its caution and hold point."
        hint = "Write 'hold: true' and 'cautions: [live_parts]'."
        yield _problem(origin, message, hint, _left_at(step, "live_work", "agreed"))


def _left_at(step: SpokenStep, condition: str, value: str) -> Where:
    """Give the way inside a step to the key that leaves a condition at a value."""
    if step.leaves.get(condition) == value:
        return ("leaves", condition)
    choices = (name for name, one in step.choices.items() if one.leaves.get(condition) == value)
    return ("choices", next(choices), "leaves", condition)


def _check_words(flow: Flow, name: str, said: Iterable[tuple[str, str]]) -> Iterator[Problem]:
    """Words said in place of a reading prove nothing, whatever its rules are."""
    words = flow.vocabulary.conditions
    for condition, value in sorted(said):
        if words[condition].by == "proof" and value != words[condition].first:
            message = f"An answer of '{name}' that is no reading calls it proven."
            yield _problem(flow.origins[name], message, "Leave it true by the reading alone.")


def lacking_proofs(flow: Flow) -> dict[str, set[tuple[str, str]]]:
    """Give the steps that some path reaches unproven, each with what it lacks there.

    A path is followed to the first such step: what is behind it hangs on the same proof.
    """
    found: dict[str, set[tuple[str, str]]] = {}
    seen: set[tuple[str, State]] = set()
    ahead = [(flow.start, _first_state(flow))]
    while ahead:
        name, state = ahead.pop()
        if name not in flow.steps or (name, state) in seen:
            continue
        seen.add((name, state))
        lacking = _lacking(flow, flow.steps[name], state)
        if lacking:
            found.setdefault(name, set()).update(lacking)
        else:
            ahead.extend(_onward(flow, name, state))
    return found


def _lacking(flow: Flow, step: LinkedStep, state: State) -> set[tuple[str, str]]:
    """Give the proofs that a step lacks, on arrival or once hands did what it asks for."""
    lacking: set[tuple[str, str]] = set()
    for conditions in (dict(state), _made_ready(flow, step, dict(state))):
        lacking |= set(proofs(flow.vocabulary, unmet(step, conditions)).items())
    return lacking


def _made_ready(flow: Flow, step: LinkedStep, conditions: Conditions) -> dict[str, str]:
    """Give the conditions once the technician was asked for what hands can make true."""
    return with_set(flow.vocabulary, conditions, by_hand(flow.vocabulary, needs_of(step)))


def _first_state(flow: Flow) -> State:
    return tuple(sorted(first_conditions(flow.vocabulary).items()))


def reachable_states(flow: Flow) -> dict[str, set[State]]:
    """Give every set of conditions that each step can be reached with, over all paths."""
    reached: dict[str, set[State]] = {}
    ahead = [(flow.start, _first_state(flow))]
    while ahead:
        name, state = ahead.pop()
        if name not in flow.steps or state in reached.setdefault(name, set()):
            continue
        reached[name].add(state)
        ahead.extend(_onward(flow, name, state))
    return {name: states for name, states in reached.items() if states}


def _onward(flow: Flow, name: str, state: State) -> Iterator[tuple[str, State]]:
    for leaving in leavings(flow, name, state):
        yield leaving.target, leaving.after


@dataclass(frozen=True, slots=True)
class Leaving:
    """One way a step can be left.

    Args:
        outcome: the outcome that leaves it.
        target: where it leads.
        here: the conditions once hands did what the step asks for, before it was answered.
        left: what the step leaves true by this outcome.
        after: the conditions behind it.
        is_proven: of a number, whether rules judged it and each let it pass.
    """

    outcome: str
    target: str
    here: Conditions
    left: Conditions
    after: State
    is_proven: bool


def leavings(flow: Flow, name: str, state: State) -> Iterator[Leaving]:
    """Give every way a step can be left that is reached with these conditions."""
    step = flow.steps[name]
    here = _made_ready(flow, step, dict(state))
    for outcome, target in step.exits():
        for is_proven in _ways_on(step, outcome):
            left = effects(flow.vocabulary, step, outcome, is_proven=is_proven)
            after = tuple(sorted(with_set(flow.vocabulary, here, left).items()))
            yield Leaving(outcome, target, here, left, after, is_proven)


def _ways_on(step: LinkedStep, outcome: str) -> tuple[bool, ...]:
    """Give whether a step can be left proven, and unproven: a rule may only say `continue`."""
    if not isinstance(step, NumberStep) or outcome != "next":
        return (True,)
    can_go_on = any(
        rule.target(one) == CONTINUE and kind not in GOOD
        for rule in step.judge
        for one, kind in rule.outcomes.items()
    )
    return (True, False) if can_go_on and step.judge else (bool(step.judge),)
