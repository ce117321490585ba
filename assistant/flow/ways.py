"""Every path of a flow, followed over the small state that keeps hands safe; each way on made once.

The check of unproven paths, the checks on what hands have done and the drawing share it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from assistant.flow.conditions import (
    GOOD,
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
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import NumberStep

State: TypeAlias = tuple[tuple[str, str], ...]
"""The value of each condition, by name, in order of the names."""

Lacking: TypeAlias = frozenset[tuple[str, str]]
"""The proofs that a step lacks, each a condition with the value it must have."""


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


@dataclass(frozen=True, slots=True)
class _Plan:
    """What of a step is the same whatever it is reached with.

    Args:
        ready: what the technician is asked to make true before it.
        exits: each outcome, its target, whether it is proven, and what it leaves true.
    """

    ready: Conditions
    exits: tuple[tuple[str, str, bool, Conditions], ...]


class Ways:
    """All ways through a flow, over the conditions that its steps need and leave true.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.first: State = _state(first_conditions(flow.vocabulary))
        self._plans: dict[str, _Plan] = {}
        self._leavings: dict[tuple[str, State], tuple[Leaving, ...]] = {}
        self._read: dict[State, Conditions] = {}

    def conditions(self, state: State) -> Conditions:
        """Give a state as the value of each condition by name."""
        if state not in self._read:
            self._read[state] = dict(state)
        return self._read[state]

    @cached_property
    def reached(self) -> Mapping[str, frozenset[State]]:
        """Give every set of conditions that each step can be reached with, over all paths."""
        reached: dict[str, set[State]] = {}
        ahead = [(self.flow.start, self.first)]
        while ahead:
            name, state = ahead.pop()
            if name in self.flow.steps and state not in reached.setdefault(name, set()):
                reached[name].add(state)
                ahead.extend((one.target, one.after) for one in self.leavings(name, state))
        return {name: frozenset(states) for name, states in reached.items()}

    @cached_property
    def unproven(self) -> Mapping[str, Lacking]:
        """Give the steps that some path reaches unproven, each with what it lacks there.

        A path is followed to the first such step: what is behind it hangs on the same proof.
        """
        found: dict[str, Lacking] = {}
        seen: set[tuple[str, State]] = set()
        ahead = [(self.flow.start, self.first)]
        while ahead:
            name, state = ahead.pop()
            if name not in self.flow.steps or (name, state) in seen:
                continue
            seen.add((name, state))
            lacking = self._lacking(name, state)
            if lacking:
                found[name] = found.get(name, frozenset()) | lacking
            else:
                ahead.extend((one.target, one.after) for one in self.leavings(name, state))
        return found

    def _lacking(self, name: str, state: State) -> Lacking:
        """Give the proofs that a step lacks, on arrival or once hands did what it asks for."""
        step, words = self.flow.steps[name], self.flow.vocabulary
        if not needs_of(step):
            return frozenset()
        here = self.conditions(state)
        asked = (here, with_set(words, here, self._plan(name).ready))
        return frozenset(pair for one in asked for pair in proofs(words, unmet(step, one)).items())

    def leavings(self, name: str, state: State) -> tuple[Leaving, ...]:
        """Give every way a step can be left that is reached with these conditions."""
        found = self._leavings.get((name, state))
        if found is None:
            found = self._leavings[name, state] = tuple(self._left_with(name, state))
        return found

    def _left_with(self, name: str, state: State) -> Iterator[Leaving]:
        plan, words = self._plan(name), self.flow.vocabulary
        here, ready = self.conditions(state), state
        if plan.ready:
            here = with_set(words, here, plan.ready)
            ready = _state(here)
        for outcome, target, is_proven, left in plan.exits:
            after = _state(with_set(words, here, left)) if left else ready
            yield Leaving(outcome, target, here, left, after, is_proven)

    def _plan(self, name: str) -> _Plan:
        plan = self._plans.get(name)
        if plan is None:
            step, words = self.flow.steps[name], self.flow.vocabulary
            exits = tuple(
                (outcome, target, is_proven, effects(words, step, outcome, is_proven=is_proven))
                for outcome, target in step.exits()
                for is_proven in _ways_on(step, outcome)
            )
            plan = self._plans[name] = _Plan(by_hand(words, needs_of(step)), exits)
        return plan


def _state(conditions: Conditions) -> State:
    return tuple(sorted(conditions.items()))


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
