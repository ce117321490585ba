"""What can be known at each step: over all paths, what each answer, value and finding may be.

Every answer, value and finding is a variable with a few possibilities, one bit each; what may be
known at a step is the one number with all bits that some path can bring along. Paths are joined
(never listed), so a flow with loops and hundreds of steps is followed in milliseconds.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property, reduce
from operator import or_
from typing import NamedTuple

from assistant.checks.ahead import Ahead, walking_order
from assistant.checks.asking import Asking, Tests, any_of, narrowed_by, put_in, test_of
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


class Move(NamedTuple):
    """A way on from a step.

    Args:
        outcome: the outcome that takes it.
        target: where it leads.
        tests: what must be for it.
        kept: the bits that stay as they are.
        put: the bits that are there behind it.
    """

    outcome: str
    target: str
    tests: Tests
    kept: int
    put: int

    def made_to(self, here: int) -> int:
        """Give what is known behind it; 0 where it cannot be taken."""
        then = narrowed_by(self.tests, here)
        return then & self.kept | self.put if then else 0


class Knowing:
    """What may be known on arrival at each step, over all paths.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow, self.layout = flow, Layout(flow)
        self.asking = Asking(self.layout)
        self.arrival: dict[str, int] = {}
        self._moves: dict[str, tuple[Move, ...]] = {}
        self._merged: dict[str, tuple[Move, ...]] = {}
        self._order = walking_order(flow)
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
        takers = self.layout.takers.get(value, ())
        leading = self.leading_to(goals, self._askers.get(variable, set()).union(takers))
        arrival: dict[str, int] = {}
        if self.flow.start in leading:
            self._spread(arrival, self.flow.start, self.layout.first, (variable, never), leading)
        return arrival

    def leading_to(self, goals: Collection[str], closed: Collection[str] = ()) -> set[str]:
        """Give the steps from which a path leads to one of some goals through none of others."""
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
        ahead = Ahead(order)
        ahead.put(start)
        while ahead:
            name, _ = ahead.take()
            for target, then in self._flows_on(name, arrival[name]):
                known = arrival.get(target, 0)
                new = then & ~lost | known
                if new != known and then & wanted and target in order:
                    arrival[target] = new
                    ahead.put(target)

    def _flows_on(self, name: str, here: int) -> Iterator[tuple[str, int]]:
        """Give each target of a step with what is known then, moves that agree put together."""
        step = self.flow.steps[name]
        if isinstance(step, DecideStep):
            for _, target, then in self._decided(step, here):
                if then:
                    yield target, then
            return
        merged = self._merged.get(name)
        if merged is None:
            merged = self._merged[name] = _merged(self._moves_of(name, step))
        for move in merged:
            then = move.made_to(here)
            if then:
                yield move.target, then

    def _decided(self, step: DecideStep, here: int) -> Iterator[tuple[str, str, int]]:
        """Give each branch of a decision with what is known there; 0 where it is not taken."""
        for position, case in enumerate(step.cases):
            target, tests, contrary = self.asking.branch(case)
            yield f"case{position}", target, narrowed_by(tests, here) if here else 0
            here = any_of(contrary, here) if here else 0
        yield "otherwise", step.otherwise, here

    @cached_property
    def _askers(self) -> Mapping[Variable, set[str]]:
        """Give the decisions that ask of each thing."""
        found: dict[Variable, set[str]] = {}
        for name, step in self.flow.steps.items():
            for case in step.cases if isinstance(step, DecideStep) else ():
                for clause in case.when:
                    found.setdefault(self.asking.asks(clause)[0], set()).add(name)
        return found

    @cached_property
    def _backward(self) -> Mapping[str, list[str]]:
        """Give the steps that lead to each, given what can be known there."""
        found: dict[str, list[str]] = {}
        for name in self.arrival:
            for target in self.onward(name):
                found.setdefault(target, []).append(name)
        return found

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
        if isinstance(step, DecideStep):
            yield from self._decided(step, here)
            return
        for move in self._moves_of(name, step):
            yield move.outcome, move.target, move.made_to(here)

    def _moves_of(self, name: str, step: LinkedStep) -> tuple[Move, ...]:
        """Give the ways on from a step that decides nothing, worked out once."""
        moves = self._moves.get(name)
        if moves is None:
            moves = self._moves[name] = tuple(self._made_moves(name, step))
        return moves

    def _made_moves(self, name: str, step: LinkedStep) -> Iterator[Move]:
        for outcome, target in step.exits():
            if outcome == "skipped" and isinstance(step, NumberStep):
                yield from self._skips(name, step, target)
                continue
            tests = tuple(test_of(*self._taken(one)) for one in _operands(step, outcome))
            kept = self._after(name, step, outcome, self.layout.every)
            yield Move(outcome, target, tests, kept, self._after(name, step, outcome, 0))

    def _skips(self, name: str, step: NumberStep, target: str) -> Iterator[Move]:
        """A skip leaves a value that was taken before as it is; one never asked is declined."""
        variable = self.layout.values[value_name(name, step)]
        is_joint = variable is self.layout.answers.get(name)
        before: dict[int, int] = {}
        for atom, bit in variable.bits.items():
            status = DECLINED if atom.status == NEVER else atom.status
            left = variable.bits[Atom("skipped" if is_joint else "", status, *atom[2:])]
            before[left] = before.get(left, 0) | bit
        for left, held in before.items():
            kept, put = (put_in(one, variable, left) for one in (self.layout.every, 0))
            if not is_joint:
                kept, put = (self._answered(name, "skipped", one) for one in (kept, put))
            yield Move("skipped", target, (test_of(variable, held),), kept, put)

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


def _merged(moves: Iterable[Move]) -> tuple[Move, ...]:
    """Give moves that ask for the same and lead to the same step as one of each."""
    found: dict[tuple[str, Tests], list[Move]] = {}
    for move in moves:
        found.setdefault((move.target, move.tests), []).append(move)
    return tuple(
        Move(
            ones[0].outcome,
            target,
            tests,
            reduce(or_, (one.kept for one in ones)),
            reduce(or_, (one.put for one in ones)),
        )
        for (target, tests), ones in found.items()
    )


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
