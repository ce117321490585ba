"""What each answer, value and finding can be: one bit a possibility, laid out over one flow."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import reduce
from operator import or_
from typing import NamedTuple

from assistant.flow.clauses import Asked, Clause, Compare
from assistant.flow.judging import CONTINUE
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    AskStep,
    DecideStep,
    JudgedStep,
    MeasureStep,
    NumberStep,
    SpokenStep,
    WorkOutStep,
    value_name,
)
from assistant.flow.names import NOT_TAKEN

NEVER, DECLINED, TAKEN = "never", "declined", "taken"
"""Of a value: no step asked for it yet; one did and got no number; it was taken."""
UNJUDGED = ("pass", "")
"""What a value comes to that no rule judged; a decision reads it as a pass."""


class Atom(NamedTuple):
    """One possibility of a variable.

    Args:
        answer: the answer of the step, `not_taken` where there is none; "" where it is kept apart.
        status: of a value: `never`, `declined` or `taken`; "" where there is no value.
        kind: the verdict's kind, of a value that was taken.
        outcome: the deciding outcome, of a value that was taken.
        region: how many of the limits that decisions compare the value with it reaches.
    """

    answer: str = ""
    status: str = ""
    kind: str = ""
    outcome: str = ""
    region: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Variable:
    """The possibilities of one thing, each with its bit; the thing itself, whatever they are."""

    bits: Mapping[Atom, int]
    mask: int

    def where(self, is_so: Iterable[Atom]) -> int:
        """Give the bits of some possibilities."""
        return reduce(or_, (self.bits[atom] for atom in is_so), 0)


class Layout:
    """Which bit stands for what, over one flow; only what a decision asks for is told apart.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.answers: dict[str, Variable] = {}
        self.values: dict[str, Variable] = {}
        self.findings: dict[str, Variable] = {}
        self.first, self._next = 1, 2  # the first bit is always there: a path leads here
        self.asked: frozenset[Asked] = frozenset(clause.asked for clause in _clauses(flow))
        self.limits = _limits(flow)
        self.takers = _takers(flow)
        for value, steps in self.takers.items():
            self._lay_value(value, steps)
        for name, step in flow.steps.items():
            is_asked = ("answer", name) in self.asked and name not in self.answers
            if isinstance(step, SpokenStep) and is_asked:
                atoms = [Atom(answer) for answer in _answers(step)]
                self.answers[name] = self._lay(atoms)
        for finding in flow.findings:
            if ("found", finding) in self.asked:
                self.findings[finding] = self._lay([Atom("no"), Atom("yes")])

    def _lay(self, atoms: Sequence[Atom]) -> Variable:
        bits: dict[Atom, int] = {}
        for atom in dict.fromkeys(atoms):
            bits[atom] = self._next
            self._next <<= 1
        self.first |= bits[atoms[0]]
        return Variable(bits, reduce(or_, bits.values()))

    @property
    def every(self) -> int:
        """Give all bits: nothing is known."""
        return self._next - 1

    def _lay_value(self, value: str, steps: Sequence[str]) -> None:
        """A value that one spoken step takes is one variable with that step's answer."""
        taken = [came for name in steps for came in self.comings(name, value)]
        only = self.flow.steps[steps[0]]
        is_answered = ("answer", steps[0]) in self.asked
        if len(steps) == 1 and is_answered and isinstance(only, NumberStep):
            atoms = [Atom(NOT_TAKEN, NEVER)]
            atoms += [Atom(NOT_TAKEN, TAKEN, *came) for came in taken]
            atoms += [Atom(choice, DECLINED) for choice in only.choices]
            if only.skipped is not None:
                atoms += [Atom("skipped", DECLINED)]
                atoms += [Atom("skipped", TAKEN, *came) for came in taken]
            self.values[value] = self.answers[steps[0]] = self._lay(atoms)
        else:
            atoms = [Atom("", NEVER), Atom("", DECLINED)]
            self.values[value] = self._lay(atoms + [Atom("", TAKEN, *came) for came in taken])

    def comings(self, name: str, value: str, outcome: str = "") -> Iterator[tuple[str, str, int]]:
        """Give what a value comes to at a step, or where the step is left by an outcome."""
        step = self.flow.steps[name]
        if ("value", value) not in self.asked:
            yield "", "", 0
            return
        regions = _regions(step, self.limits.get(value, ()))
        if isinstance(step, JudgedStep):
            for kind, word in _comings(step) if not outcome else _coming(step, outcome):
                for region in regions:
                    yield kind, word, region


def _clauses(flow: Flow) -> Iterator[Clause]:
    for step in flow.steps.values():
        for case in step.cases if isinstance(step, DecideStep) else ():
            yield from case.when


def _limits(flow: Flow) -> dict[str, tuple[Decimal, ...]]:
    """Give the numbers that decisions compare each value with, in order."""
    found: dict[str, set[Decimal]] = {}
    for clause in _clauses(flow):
        if isinstance(clause, Compare):
            limits = (clause.at_least, clause.below)
            found.setdefault(clause.value, set()).update(
                limit for limit in limits if isinstance(limit, Decimal)
            )
    return {value: tuple(sorted(limits)) for value, limits in found.items()}


def region_of(number: Decimal, limits: Sequence[Decimal]) -> int:
    """Give how many of some limits a number reaches."""
    return sum(number >= limit for limit in limits)


def _regions(step: LinkedStep, limits: Sequence[Decimal]) -> tuple[int, ...]:
    """Give the regions that a step's value can lie in; a closed list leaves fewer."""
    if isinstance(step, NumberStep) and step.allowed:
        return tuple(sorted({region_of(number, limits) for number in step.allowed}))
    return tuple(range(len(limits) + 1))


def _takers(flow: Flow) -> dict[str, list[str]]:
    """Give the steps that take each value; the second of two numbers is a value too."""
    takers: dict[str, list[str]] = {}
    for name, step in flow.steps.items():
        if isinstance(step, MeasureStep | AskStep | WorkOutStep):
            takers.setdefault(value_name(name, step), []).append(name)
            if isinstance(step, NumberStep) and step.dual:
                takers.setdefault(f"{value_name(name, step)}_second", []).extend((name, name))
    return takers


def _answers(step: SpokenStep) -> tuple[str, ...]:
    skipped = ("skipped",) if step.skipped is not None else ()
    return (NOT_TAKEN, *step.choices, *skipped)


def _comings(step: JudgedStep) -> Iterator[tuple[str, str]]:
    """Give what the value of a step can come to, as the verdict's kind and its outcome."""
    if not step.judge:
        yield UNJUDGED
    for rule in step.judge:
        for outcome, kind in rule.outcomes.items():
            yield kind.value, outcome


def _coming(step: JudgedStep, outcome: str) -> Iterator[tuple[str, str]]:
    """Give what a value can come to where its step is left by an outcome."""
    if outcome != "next":
        position, _, word = outcome.removeprefix("rule").partition(".")
        yield step.judge[int(position)].outcomes[word].value, word
        return
    if not step.judge:
        yield UNJUDGED
    for rule in step.judge:
        for word, kind in rule.outcomes.items():
            if rule.target(word) == CONTINUE:
                yield kind.value, word
