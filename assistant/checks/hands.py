"""What hands have done and been told on every path: the conditions of the walk, and more.

To each set of conditions a step can be reached with belongs what every path there has given (a
caution said, a proof read: joined by "and"), and what some path has left behind (a cover opened, a
ladder not yet set: joined by "or"). Paths are joined, never listed.
"""

from collections import deque
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from assistant.checks.changes import LADDER_DUE, Change, Told, change_by
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import DoStep, SpokenStep
from assistant.flow.safety import Leaving, State, leavings


@dataclass(frozen=True, slots=True)
class Passage:
    """One way a step is left, with what hands have done by then.

    Args:
        step: the step.
        state: the conditions it was reached with.
        leaving: the outcome, its target and the conditions.
        before: what was given and due on arrival, with the step's own cautions.
        after: what is given and due behind it.
    """

    step: str
    state: State
    leaving: Leaving
    before: Told
    after: Told


class Hands:
    """Every path of a flow, followed over conditions, cautions, proofs and what was left open.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.reached: dict[str, dict[State, Told]] = {name: {} for name in flow.steps}
        self._ways: dict[tuple[str, State], tuple[tuple[Leaving, Change], ...]] = {}
        self._still: dict[tuple[str, str, bool], Change] = {}
        if flow.start in flow.steps:
            self._follow()

    def _follow(self) -> None:
        conditions = self.flow.vocabulary.conditions.items()
        first = tuple(sorted((name, one.first) for name, one in conditions))
        ahead = deque([(self.flow.start, first, Told())])
        while ahead:
            name, state, told = ahead.popleft()
            here = self.reached.get(name)
            if here is None:
                continue
            joined = told if state not in here else here[state].joined(told)
            if here.get(state) == joined:
                continue
            here[state] = joined
            for passage in self._passages(name, state):
                leaving = passage.leaving
                ahead.append((leaving.target, leaving.after, passage.after))

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """Give every way that every step is left, for all conditions it is reached with."""
        return tuple(
            passage
            for name, states in self.reached.items()
            for state in states
            for passage in self._passages(name, state)
        )

    @cached_property
    def into(self) -> Mapping[str, tuple[Passage, ...]]:
        """Give the passages that lead to each step or end."""
        found: dict[str, list[Passage]] = {}
        for passage in self.passages:
            found.setdefault(passage.leaving.target, []).append(passage)
        return {name: tuple(passages) for name, passages in found.items()}

    def on_arrival(self, name: str) -> Told:
        """Give what is given and due at a step over all paths, with the step's own cautions."""
        met: Told | None = None
        for told in self.reached[name].values():
            met = told if met is None else met.joined(told)
        return self._warned(self.flow.steps[name], met or Told())

    @cached_property
    def before_proof(self) -> frozenset[str]:
        """Give the steps that agree live work in order to prove the unit dead."""
        agreeing = {p.step for p in self.passages if p.leaving.left.get("live_work") == "agreed"}
        return frozenset(name for name in agreeing if self._leads_to_proof(name, agreeing))

    def _leads_to_proof(self, first: str, agreeing: Container[str]) -> bool:
        ahead, seen = [target for _, target in self.flow.steps[first].exits()], {first}
        while ahead:
            name = ahead.pop()
            if name in seen or name in agreeing or name not in self.flow.steps:
                continue
            seen.add(name)
            step = self.flow.steps[name]
            if isinstance(step, SpokenStep) and step.leaves.get("power") == "off":
                return True
            ahead.extend(target for _, target in step.exits())
        return False

    def beginning_of(self, name: str) -> str:
        """Give the step at which the work of a step begins.

        In an included file that is its first step; else an action of the same file that leads
        here and nowhere else; else the step itself.
        """
        gate = self.flow.steps.get(name.rpartition("/")[0])
        if gate is not None:
            return self.first_spoken(gate.next or name) or name
        before = [one for one, target in self._arrows if target == name]
        first = self.flow.steps[before[0]] if before else None
        is_alone = isinstance(first, DoStep) and {t for _, t in first.exits()} == {name}
        return before[0] if is_alone and set(before) == {before[0]} else name

    @cached_property
    def _arrows(self) -> tuple[tuple[str, str], ...]:
        return tuple((name, target) for name, _, target in self.flow.arrows())

    def first_spoken(self, name: str) -> str:
        """Give the first spoken step from a step on, where one way leads there."""
        while name in self.flow.steps and not isinstance(self.flow.steps[name], SpokenStep):
            name = self.flow.steps[name].next or ""
        return name

    def is_always(self, name: str, condition: str, value: str) -> bool:
        """Whether a condition holds on every path that reaches a step."""
        return all(dict(state).get(condition) == value for state in self.reached[name])

    def _passages(self, name: str, state: State) -> Iterator[Passage]:
        step = self.flow.steps[name]
        before = self._warned(step, self.reached[name][state])
        for leaving, change in self._ways_of(name, state):
            yield Passage(name, state, leaving, before, change.made_to(before))

    def _ways_of(self, name: str, state: State) -> tuple[tuple[Leaving, Change], ...]:
        ways = self._ways.get((name, state))
        if ways is None:
            all_ways = leavings(self.flow, name, state)
            ways = tuple(
                (one, change_by(name, self.flow.steps[name], state, one)) for one in all_ways
            )
            self._ways[name, state] = ways
        return ways

    def _change_by(self, name: str, step: LinkedStep, state: State, leaving: Leaving) -> Change:
        """Give a change; where conditions stay as they are it is the same for all of them."""
        if leaving.left or leaving.after != state:
            return change_by(name, step, state, leaving)
        key = (name, leaving.outcome, leaving.is_proven)
        if key not in self._still:
            self._still[key] = change_by(name, step, state, leaving)
        return self._still[key]

    def _warned(self, step: LinkedStep, told: Told) -> Told:
        if not isinstance(step, SpokenStep) or not step.cautions:
            return told
        due = told.due - {LADDER_DUE} if "ladder" in step.cautions else told.due
        return Told(told.given | set(step.cautions), due)
