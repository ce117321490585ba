"""What can be known at each step: over all paths, what each answer, value and finding may be.

Every answer, value and finding is a variable with a few possibilities, one bit each; what may be
known at a step is the one number with all bits that some path can bring along. Paths are joined
(never listed), so a flow with loops and hundreds of steps is followed in milliseconds.
"""

from collections.abc import Collection, Iterator, Sequence
from functools import reduce
from heapq import heappop, heappush
from operator import or_
from typing import TypeAlias

from assistant.checks.asking import Asking, Branch, Tests, keep_of, narrowed_by, put_in
from assistant.checks.possibilities import DECLINED, NEVER, TAKEN, Atom, Layout, Variable
from assistant.flow.judging import CONTINUE, Rule
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    DecideStep,
    FindStep,
    JudgedStep,
    NumberStep,
    SpokenStep,
    WorkOutStep,
    value_name,
)
from assistant.flow.names import NOT_TAKEN

_Move: TypeAlias = tuple[str, str, tuple[tuple[Variable, int], ...], int, int | None]
"""An exit of a step: its outcome, its target, what must be for it, the bits it keeps and puts."""

_Merged: TypeAlias = tuple[str, str, Tests, int, int]
"""Exits that agree: their target, one's outcome, what must be, the bits they keep and put."""


class Knowing:
    """What may be known on arrival at each step, over all paths.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow, self.layout = flow, Layout(flow)
        self.arrival: dict[str, int] = {}
        self._moves: dict[str, list[_Move]] = {}
        self._merged: dict[str, list[_Merged]] = {}
        self._branches: dict[str, list[Branch]] = {}
        self._looking: dict[str, set[int]] | None = None
        self._backward: dict[str, list[str]] | None = None
        self.asking = Asking(self.layout)
        self._order = {name: place for place, name in enumerate(_in_order(flow))}
        self._spread(self.arrival, flow.start, self.layout.first)
        for include in (flow.make_safe, flow.make_live):
            if include is not None and include not in self.arrival:
                self._spread(self.arrival, include, reduce(or_, self.arrival.values(), 0))

    def arrival_without(self, value: str, goals: Collection[str]) -> dict[str, int]:
        """Give what may be known at some steps while a value was never asked for.

        A way ends at a decision on the value: who wrote it has thought of its absence.

        Args:
            value: the value.
            goals: the steps that matter; only steps that lead to one of them are followed.
        """
        variable = self.layout.values[value]
        never = variable.where(atom for atom in variable.bits if atom.status == NEVER)
        looking = {name for name in self.arrival if self._looks_at(name, variable)}
        leading = self.leading_to(goals, looking | set(self.layout.takers.get(value, ())))
        arrival: dict[str, int] = {}
        if self.flow.start in leading:
            self._spread(arrival, self.flow.start, self.layout.first, (variable, never), leading)
        return arrival

    def leading_to(self, goals: Collection[str], closed: Collection[str] = ()) -> set[str]:
        """Give the steps from which a path leads to one of some goals through none of others."""
        if self._backward is None:
            self._backward = {}
            for name in self.arrival:
                for target in self.onward(name):
                    self._backward.setdefault(target, []).append(name)
        leading, ahead = set(goals), [b for goal in goals for b in self._backward.get(goal, ())]
        while ahead:
            name = ahead.pop()
            if name not in leading and name not in closed:
                leading.add(name)
                ahead.extend(self._backward.get(name, ()))
        return leading

    def _spread(
        self,
        arrival: dict[str, int],
        start: str,
        brought: int,
        only: tuple[Variable, int] | None = None,
        within: Collection[str] | None = None,
    ) -> None:
        """Carry what is known on from a step until nothing new arrives anywhere.

        Args:
            arrival: what is known at each step so far; added to.
            start: the step to begin at.
            brought: what is known there.
            only: a variable and the possibilities of it that are looked at.
            within: the steps that are followed; all where not given.
        """
        order = self._order if within is None else {n: self._order[n] for n in within}
        if start not in order:
            return
        lost, wanted = (0, -1) if only is None else (only[0].mask & ~only[1], only[1])
        arrival[start] = arrival.get(start, 0) | brought
        ahead, waiting = [(order[start], start)], {start}
        while ahead:
            _, name = heappop(ahead)
            waiting.discard(name)
            for target, then in self._flows_on(name, arrival[name]):
                known = arrival.get(target, 0)
                new = then & ~lost | known
                if new != known and then & wanted and target in order:
                    arrival[target] = new
                    if target not in waiting:
                        waiting.add(target)
                        heappush(ahead, (order[target], target))

    def _flows_on(self, name: str, here: int) -> Iterator[tuple[str, int]]:
        """Give each target of a step with what is known then, outcomes that agree put together."""
        step = self.flow.steps[name]
        if isinstance(step, DecideStep):
            yield from self._branches_on(name, step, here)
            return
        merged = self._merged.get(name)
        if merged is None:
            merged = self._merged[name] = self._merge(name, step)
        for target, outcome, needed, kept, put in merged:
            then = narrowed_by(needed, here)
            if then:
                yield target, then & kept | put if kept else self._after(name, step, outcome, then)

    def _branches_on(self, name: str, step: DecideStep, here: int) -> Iterator[tuple[str, int]]:
        branches = self._branches.get(name)
        if branches is None:
            branches = self._branches[name] = [self.asking.branch(case) for case in step.cases]
        for target, tests, contrary in branches:
            then = narrowed_by(tests, here)
            if then:
                yield target, then
            here = reduce(or_, (here & kept for kept, held in contrary if here & held), 0)
        if here:
            yield step.otherwise, here

    def _merge(self, name: str, step: LinkedStep) -> list[_Merged]:
        found: dict[tuple[object, ...], list[_Merged]] = {}
        for outcome, target, needs, kept, put in self._moves_of(name, step):
            needed = tuple((~(variable.mask & ~held), held) for variable, held in needs)
            key = (target, kept, needed) if put is not None else (outcome,)
            found.setdefault(key, []).append((target, outcome, needed, kept, put or 0))
        return [(*ones[0][:4], reduce(or_, (one[4] for one in ones))) for ones in found.values()]

    def _looks_at(self, name: str, variable: Variable) -> bool:
        """Whether a step is a decision that asks of a variable."""
        if self._looking is None:
            self._looking = {}
            for one, step in self.flow.steps.items():
                for case in step.cases if isinstance(step, DecideStep) else ():
                    asked = self._looking.setdefault(one, set())
                    asked.update(id(self.asking.asks(clause)[0]) for clause in case.when)
        return id(variable) in self._looking.get(name, ())

    def onward(self, name: str) -> frozenset[str]:
        """Give the targets that a step can lead to, given what can be known there."""
        if name not in self.arrival:
            return frozenset()
        leads = self.leads(name, self.arrival[name])
        return frozenset(target for _, target, brought in leads if brought)

    def may_be(self, name: str, variable: Variable) -> tuple[Atom, ...]:
        """Give what a variable may be on arrival at a step; nothing where no path leads."""
        here = self.arrival.get(name, 0)
        return tuple(atom for atom, bit in variable.bits.items() if here & bit)

    def value_status(self, name: str, value: str) -> frozenset[str]:
        """Give whether a value may be never asked for, declined, taken on arrival at a step."""
        variable = self.layout.values[value]
        return frozenset(atom.status for atom in self.may_be(name, variable))

    def leads(self, name: str, here: int) -> Iterator[tuple[str, str, int]]:
        """Give each outcome of a step with its target and what is known then; 0 where it cannot be.

        Args:
            name: the step.
            here: what is known on arrival.
        """
        step = self.flow.steps[name]
        if not isinstance(step, DecideStep):
            for outcome, target, needed, kept, put in self._moves_of(name, step):
                then = here
                for variable, held in needed:
                    then = keep_of(then, variable, held)
                if put is not None:
                    then = then & kept | put if then else 0
                elif then:
                    then = self._after(name, step, outcome, then)
                yield outcome, target, then
            return
        for position, case in enumerate(step.cases):
            yield f"case{position}", case.next, self.asking.holding(case, here) if here else 0
            here = self.asking.failing(case, here)
        yield "otherwise", step.otherwise, here

    def _moves_of(self, name: str, step: LinkedStep) -> Sequence[_Move]:
        """Give the exits of a step, each with what it keeps and puts, worked out once.

        A skip depends on what was known before, so it is worked out each time.
        """
        moves = self._moves.get(name)
        if moves is None:
            moves = self._moves[name] = []
            for outcome, target in step.exits():
                is_skip = outcome == "skipped" and isinstance(step, NumberStep)
                kept = 0 if is_skip else self._after(name, step, outcome, self.layout.every)
                put = None if is_skip else self._after(name, step, outcome, 0)
                needed = tuple(self._taken(one) for one in _operands(step, outcome))
                moves.append((outcome, target, needed, kept, put))
        return moves

    def _after(self, name: str, step: LinkedStep, outcome: str, here: int) -> int:
        """Give what is known once a step was left by an outcome."""
        if isinstance(step, FindStep):
            variable = self.layout.findings.get(step.finding)
            return here if variable is None else put_in(here, variable, variable.bits[Atom("yes")])
        if isinstance(step, WorkOutStep):
            return self._worked_out(name, step, outcome, here)
        if isinstance(step, NumberStep):
            return self._numbered(name, step, outcome, here)
        if isinstance(step, SpokenStep):
            return self._answered(name, outcome.removeprefix("choice."), here)
        return here

    def _answered(self, name: str, word: str, here: int) -> int:
        """Give what is known once a step's answer is kept apart, where a decision asks for it."""
        answer = self.layout.answers.get(name)
        return here if answer is None else put_in(here, answer, answer.bits[Atom(word)])

    def _worked_out(self, name: str, step: WorkOutStep, outcome: str, here: int) -> int:
        variable = self.layout.values[value_name(name, step)]
        if outcome == "unknown":
            return put_in(here, variable, variable.bits[Atom("", DECLINED)])
        comings = self.layout.comings(name, value_name(name, step), outcome)
        return put_in(here, variable, variable.where(Atom("", TAKEN, *came) for came in comings))

    def _taken(self, value: str) -> tuple[Variable, int]:
        variable = self.layout.values[value]
        return variable, variable.where(atom for atom in variable.bits if atom.status == TAKEN)

    def _numbered(self, name: str, step: NumberStep, outcome: str, here: int) -> int:
        value = value_name(name, step)
        variable = self.layout.values[value]
        is_joint = variable is self.layout.answers.get(name)
        word = outcome.removeprefix("choice.")
        if outcome == "skipped":
            here = self._skipped(variable, here, word if is_joint else "")
            return here if is_joint else self._answered(name, word, here)
        if outcome.startswith("choice."):
            here = put_in(here, variable, variable.bits[Atom(word if is_joint else "", DECLINED)])
            here = here if is_joint else self._answered(name, word, here)
            return self._second(step, value, here, DECLINED)
        label = NOT_TAKEN if is_joint else ""
        held = [Atom(label, TAKEN, *came) for came in self.layout.comings(name, value, outcome)]
        here = put_in(here, variable, variable.where(held))
        here = here if is_joint else self._answered(name, NOT_TAKEN, here)
        return self._second(step, value, here, DECLINED, TAKEN)

    def _second(self, step: NumberStep, value: str, here: int, *status: str) -> int:
        if not step.dual:
            return here
        variable = self.layout.values[f"{value}_second"]
        held = [a for a in variable.bits if a.status in status]
        return put_in(here, variable, variable.where(held))

    def _skipped(self, variable: Variable, here: int, word: str) -> int:
        """A skip leaves a value that was taken before as it is; one never asked is declined."""
        held = 0
        for atom, bit in variable.bits.items():
            if here & bit:
                status = DECLINED if atom.status == NEVER else atom.status
                held |= variable.bits[Atom(word, status, *atom[2:])]
        return put_in(here, variable, held)


def _in_order(flow: Flow) -> list[str]:
    """Give the reached steps so that each stands before those it leads to, circles apart."""
    seen: set[str] = set()
    left: list[str] = []
    begun = (flow.make_live, flow.make_safe, flow.start)
    ahead = [(name, False) for name in begun if name is not None]
    while ahead:
        name, is_left = ahead.pop()
        if is_left:
            left.append(name)
        elif name in flow.steps and name not in seen:
            seen.add(name)
            ahead.append((name, True))
            ahead.extend((target, False) for _, target in flow.steps[name].exits())
    return left[::-1]


def _operands(step: LinkedStep, outcome: str) -> Iterator[str]:
    """Give the values that must have been taken for a step to be left by an outcome."""
    if not isinstance(step, JudgedStep) or not outcome.startswith(("rule", "next")):
        return
    if isinstance(step, WorkOutStep):
        yield from (operand for operand in step.given.values() if isinstance(operand, str))
    place, _, word = outcome.partition(".")
    for position, rule in enumerate(step.judge):
        is_last = place == f"rule{position}"
        goes_on = "unsure" in rule.outcomes and rule.target("unsure") == CONTINUE
        if word != "unsure" if is_last else not goes_on:
            yield from (value for value in required(rule) if value != step.name)
        if is_last:
            return


def required(rule: Rule) -> Iterator[str]:
    """Give the values without which a rule cannot tell; tolerances and other speeds may lack."""
    for way, operand in rule.placed_operands():
        if isinstance(operand, str) and way[0] not in {"plus", "minus", "upper", "values"}:
            yield operand
