"""What must be true before a step, and what it leaves true: the small state that keeps hands safe.

The same functions serve the check that follows every path of a flow before it loads and the walk
that enforces it again at run time.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import MeasureStep, NumberStep, QuantityKind, SpokenStep
from assistant.flow.problems import Problem
from assistant.flow.vocabulary import Vocabulary

Conditions: TypeAlias = Mapping[str, str]
"""The value of each condition."""

_DEAD = {"power": "off", "capacitor": "bled"}
_LIVE = {"live_work": "agreed"}

QUANTITY_NEEDS: dict[QuantityKind, dict[str, str]] = {
    QuantityKind.RESISTANCE: _DEAD,
    QuantityKind.CAPACITANCE: _DEAD,
    QuantityKind.INSULATION: _DEAD,
    QuantityKind.VOLTAGE: _LIVE,
    QuantityKind.STORED_VOLTAGE: {"power": "off"} | _LIVE,
    QuantityKind.CURRENT: _LIVE,
    QuantityKind.POWER: _LIVE,
}
"""What a quantity needs whatever the flow says: ohms and microfarads only dead and bled, never on a
live circuit; live readings only once the live test was agreed (29 CFR 1910.333, NFPA 70E 120.5)."""


def first_conditions(vocabulary: Vocabulary) -> dict[str, str]:
    """Give the conditions at the start of a walk: nothing proven."""
    return {name: condition.first for name, condition in vocabulary.conditions.items()}


def needs_of(step: LinkedStep) -> dict[str, str]:
    """Give all that must hold before a step: its quantity's needs and its own."""
    if not isinstance(step, SpokenStep):
        return {}
    own = dict(step.needs)
    if isinstance(step, MeasureStep):
        own |= QUANTITY_NEEDS.get(step.quantity, {})
    return own


def unmet(step: LinkedStep, conditions: Conditions) -> dict[str, str]:
    """Give what a step needs that does not hold."""
    return {name: value for name, value in needs_of(step).items() if conditions[name] != value}


def with_set(vocabulary: Vocabulary, conditions: Conditions, leaves: Conditions) -> dict[str, str]:
    """Give the conditions after some were set, with what follows from them.

    What the step itself says wins over what follows: a step that turns power on and agrees the
    live test leaves it agreed.
    """
    after = dict(conditions)
    for name, value in leaves.items():
        if value != conditions[name]:
            after |= vocabulary.consequences.get(name, {}).get(value, {})
    return after | dict(leaves)


def effects(step: LinkedStep, outcome: str) -> dict[str, str]:
    """Give what a step leaves true when it is left by an outcome.

    A number that a rule sends elsewhere proves nothing, and skipping leaves nothing true: a
    numbered step's own `leaves` counts only where every rule let it pass.
    """
    if not isinstance(step, SpokenStep) or outcome == "skipped":
        return {}
    if outcome.startswith("choice."):
        own = step.choices[outcome.removeprefix("choice.")].leaves
        return dict(own) if isinstance(step, NumberStep) else step.leaves | own
    return dict(step.leaves) if outcome == "next" else {}


_State: TypeAlias = tuple[tuple[str, str], ...]


def check_paths(flow: Flow) -> list[Problem]:
    """Follow every path and complain where a step can be reached without what it needs.

    A need that hands can make true again (`by: hand`) is asked for at run time, so only what must
    be proven counts here.
    """
    reached = _reachable_states(flow)
    problems = []
    for name, states in sorted(reached.items()):
        step = flow.steps[name]
        lacking = _lacking(flow, step, states)
        if lacking:
            origin = flow.origins[name]
            said = " and ".join(
                flow.vocabulary.conditions[one].values[value] for one, value in sorted(lacking)
            )
            message = f"'{name}' can be reached without: {said}."
            hint = "Lead every path through the step that proves it."
            problems.append(origin.source.problem(origin.where, message, hint, "unsafe-path"))
    return problems


def _lacking(flow: Flow, step: LinkedStep, states: Iterable[_State]) -> set[tuple[str, str]]:
    proven = {n for n, c in flow.vocabulary.conditions.items() if c.by == "proof"}
    return {
        need for state in states for need in unmet(step, dict(state)).items() if need[0] in proven
    }


def _reachable_states(flow: Flow) -> dict[str, set[_State]]:
    first = tuple(sorted(first_conditions(flow.vocabulary).items()))
    reached: dict[str, set[_State]] = {}
    ahead: list[tuple[str, _State]] = [(flow.start, first)]
    while ahead:
        name, state = ahead.pop()
        if name not in flow.steps or state in reached.setdefault(name, set()):
            continue
        reached[name].add(state)
        ahead.extend(_onward(flow, name, state))
    return {name: states for name, states in reached.items() if states}


def _onward(flow: Flow, name: str, state: _State) -> Iterator[tuple[str, _State]]:
    step = flow.steps[name]
    conditions = dict(state)
    by_hand = {
        need: value
        for need, value in needs_of(step).items()
        if flow.vocabulary.conditions[need].by == "hand"
    }
    here = with_set(flow.vocabulary, conditions, by_hand)
    for outcome, target in step.exits():
        after = with_set(flow.vocabulary, here, effects(step, outcome))
        yield target, tuple(sorted(after.items()))
