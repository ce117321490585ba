"""What hands have done and been told on every path: the conditions of the walk, and more.

To each set of conditions a step can be reached with belongs what every path there has given (a
caution said, a proof read: joined by "and"), and what some path has left behind (a cover opened, a
ladder not yet set: joined by "or"). Paths are joined, never listed.
"""

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from assistant.checks.ahead import Ahead, walking_order
from assistant.checks.changes import LADDER_DUE, Change, Told, change_by
from assistant.flow.linked import LinkedStep
from assistant.flow.model import DoStep, SpokenStep
from assistant.flow.ways import Leaving, State, Ways


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
        ways: all ways through the flow.
    """

    def __init__(self, ways: Ways) -> None:
        self.ways, self.flow = ways, ways.flow
        self.reached: dict[str, dict[State, Told]] = {name: {} for name in self.flow.steps}
        self._changes: dict[tuple[str, State], tuple[Change, ...]] = {}
        if self.flow.start in self.flow.steps:
            self._follow()

    def _follow(self) -> None:
        """Carry what was told on from the start until nothing new arrives anywhere."""
        self.reached[self.flow.start][self.ways.first] = Told()
        ahead = Ahead(walking_order(self.flow))
        ahead.put(self.flow.start, self.ways.first)
        while ahead:
            name, state = ahead.take()
            before = self._warned(self.flow.steps[name], self.reached[name][state])
            for target, after, change in self._onward(name, state):
                here = self.reached.get(target)
                if here is None:
                    continue
                told, known = change.made_to(before), here.get(after)
                joined = told if known is None else known.joined(told)
                if joined != known:
                    here[after] = joined
                    ahead.put(target, after)

    def _onward(self, name: str, state: State) -> Iterable[tuple[str, State, Change]]:
        """Give where a step leads and what changes on the way, outcomes that agree once."""
        pairs = zip(self.ways.leavings(name, state), self._changes_by(name, state), strict=True)
        return {(one.target, one.after, change): None for one, change in pairs}

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
        return all((condition, value) in state for state in self.reached[name])

    def _passages(self, name: str, state: State) -> Iterator[Passage]:
        before = self._warned(self.flow.steps[name], self.reached[name][state])
        changes = self._changes_by(name, state)
        for leaving, change in zip(self.ways.leavings(name, state), changes, strict=True):
            yield Passage(name, state, leaving, before, change.made_to(before))

    def _changes_by(self, name: str, state: State) -> tuple[Change, ...]:
        """Give what each way of leaving a step changes."""
        changes = self._changes.get((name, state))
        if changes is None:
            step, ways = self.flow.steps[name], self.ways.leavings(name, state)
            changes = tuple(change_by(name, step, self.ways.conditions(state), one) for one in ways)
            self._changes[name, state] = changes
        return changes

    def _warned(self, step: LinkedStep, told: Told) -> Told:
        if not isinstance(step, SpokenStep) or not step.cautions:
            return told
        due = told.due - {LADDER_DUE} if "ladder" in step.cautions else told.due
        return Told(told.given | set(step.cautions), due)
