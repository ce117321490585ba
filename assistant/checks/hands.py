"""What hands have done and been told on every path: the conditions of the walk, and more.

To each set of conditions a step can be reached with belongs what every path there has given (a
caution said, a proof read: joined by "and"), and what some path has left behind (a cover opened, a
ladder not yet set: joined by "or"). Paths are joined, never listed.
"""

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from assistant.checks.dead import READ, proof_of, shows_dead
from assistant.flow.conditions import QUANTITY_NEEDS, needs_of
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    AskStep,
    DoStep,
    InteractiveStep,
    MeasureStep,
    NumberStep,
    ObserveStep,
    SpokenStep,
    is_hold,
)
from assistant.flow.safety import Leaving, State, leavings

OPEN = "open"
"""Some path opened the unit or put hands on it, and nothing said since that it is closed."""
LADDER_DUE = "ladder due"
"""Some path stands on a ladder or a roof and was not warned of it yet."""
LEFT_LOCKED = "left locked"
"""Every path said, at a hold point and as the last thing done, that the lock stays on."""

OFF_THE_FLOOR = frozenset({"on_ladder", "on_roof"})
"""The answers to the observation `footing` that ask for the caution `ladder`."""
INSIDE = frozenset(QUANTITY_NEEDS)
"""What is measured on conductors, behind a cover."""

_GONE_BY: Mapping[str, tuple[tuple[str, str], ...]] = {
    "live_parts": (("power", "on"),),
    "prove_dead": (("power", "on"), ("power", "unknown")),
    "stored_energy": (("power", "on"), ("power", "unknown")),
    "moving_wheel": (("power", "on"),),
    "power_returns": (("power", "off"), ("lock", "locked")),
    "lockout": (("lock", "unlocked"),),
}
"""What makes a caution one of the past: the hazard it spoke of began anew."""


@dataclass(frozen=True, slots=True)
class Told:
    """What comes along with one set of conditions.

    Args:
        given: what every path has given: cautions by name, proofs by what was read, `LEFT_LOCKED`.
        due: what some path has left behind: `OPEN`, `LADDER_DUE`.
    """

    given: frozenset[str] = frozenset()
    due: frozenset[str] = frozenset()

    def joined(self, other: "Told") -> "Told":
        """Give what holds where two paths meet."""
        return Told(self.given & other.given, self.due | other.due)


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
        self._ways: dict[tuple[str, State], tuple[Leaving, ...]] = {}
        if flow.start in flow.steps:
            self._follow()

    def _follow(self) -> None:
        conditions = self.flow.vocabulary.conditions.items()
        first = tuple(sorted((name, one.first) for name, one in conditions))
        ahead = [(self.flow.start, first, Told())]
        while ahead:
            name, state, told = ahead.pop()
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
            return self.first_spoken(gate.next or name)
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
        ways = self._ways.get((name, state))
        if ways is None:
            ways = self._ways[name, state] = tuple(leavings(self.flow, name, state))
        for leaving in ways:
            after = self._after(name, step, state, leaving, before)
            yield Passage(name, state, leaving, before, after)

    def _warned(self, step: LinkedStep, told: Told) -> Told:
        if not isinstance(step, SpokenStep) or not step.cautions:
            return told
        due = told.due - {LADDER_DUE} if "ladder" in step.cautions else told.due
        return Told(told.given | set(step.cautions), due)

    def _after(
        self, name: str, step: LinkedStep, state: State, leaving: Leaving, before: Told
    ) -> Told:
        if not isinstance(step, InteractiveStep):
            return before
        given, due = set(before.given), set(before.due)
        asked_shut = dict(state).get("panels") != leaving.here.get("panels") == "closed"
        if asked_shut or leaving.left.get("panels") == "closed":
            due.discard(OPEN)
        if isinstance(step, DoStep | MeasureStep):
            due.discard(LADDER_DUE)
        if _opens(step, leaving):
            due.add(OPEN)
        if is_off_the_floor(step, leaving.outcome):
            due.add(LADDER_DUE)
        if leaving.left.get("live_work") == "agreed":
            given = {one for one in given if not one.startswith(READ)}
        given -= _past(leaving)
        if leaving.outcome == "next" and leaving.is_proven and shows_dead(step):
            given.add(proof_of(name, step))
        if not _is_only_told(step):
            given.discard(LEFT_LOCKED)
        if is_hold(step) and leaving.left.get("lock") == dict(state).get("lock") == "locked":
            given.add(LEFT_LOCKED)
        return Told(frozenset(given), frozenset(due))


def is_off_the_floor(step: LinkedStep, outcome: str) -> bool:
    """Whether an answer says that feet are on a ladder or a roof."""
    is_footing = isinstance(step, DoStep | ObserveStep) and step.about == "footing"
    return is_footing and outcome.removeprefix("choice.") in OFF_THE_FLOOR


def _opens(step: InteractiveStep, leaving: Leaving) -> bool:
    """Whether a step is work inside the unit: a cover off, leads apart, a reading on conductors."""
    made = {**needs_of(step), **leaving.left}
    is_inside = isinstance(step, MeasureStep) and step.quantity in INSIDE
    is_live = leaving.left.get("live_work") == "agreed"
    return is_inside or is_live or made.get("panels") == "open" or made.get("leads") == "isolated"


def _past(leaving: Leaving) -> set[str]:
    turned = {pair for pair in leaving.after if leaving.here[pair[0]] != pair[1]}
    turned |= set(leaving.left.items())
    return {one for one, by in _GONE_BY.items() if turned & set(by)}


def _is_only_told(step: SpokenStep) -> bool:
    """Whether a step changes nothing: a word to say or a number to note, no more work."""
    if isinstance(step, AskStep):
        return True
    is_free = not step.needs and not step.leaves and not isinstance(step, NumberStep)
    return isinstance(step, DoStep) and is_free and not any(a.leaves for a in step.choices.values())
