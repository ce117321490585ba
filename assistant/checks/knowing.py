"""What can be known at each step: over all paths, what each answer, value and finding may be.

Every answer, value and finding is a variable with a few possibilities, one bit each; what may be
known at a step is the one number with all bits that some path can bring along. Paths are joined
(never listed), so a flow with loops and hundreds of steps is followed in milliseconds.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import reduce
from heapq import heappop, heappush
from operator import or_
from typing import NamedTuple

from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.judging import CONTINUE
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    AskStep,
    DecideStep,
    FindStep,
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


@dataclass(frozen=True, slots=True)
class Variable:
    """The possibilities of one thing, each with its bit."""

    bits: Mapping[Atom, int]
    mask: int

    def where(self, is_so: Iterable[Atom]) -> int:
        """Give the bits of some possibilities."""
        return reduce(or_, (self.bits[atom] for atom in is_so), 0)


class Layout:
    """Which bit stands for what, over one flow.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.answers: dict[str, Variable] = {}
        self.values: dict[str, Variable] = {}
        self.findings: dict[str, Variable] = {}
        self.first = 0
        self._next = 1
        self.limits = _limits(flow)
        takers = _takers(flow)
        for value, steps in takers.items():
            self._lay_value(value, steps)
        for name, step in flow.steps.items():
            if isinstance(step, SpokenStep) and name not in self.answers:
                atoms = [Atom(answer) for answer in _answers(step)]
                self.answers[name] = self._lay(atoms)
        for finding in flow.findings:
            self.findings[finding] = self._lay([Atom("no"), Atom("yes")])

    def _lay(self, atoms: Sequence[Atom]) -> Variable:
        bits: dict[Atom, int] = {}
        for atom in dict.fromkeys(atoms):
            bits[atom] = self._next
            self._next <<= 1
        self.first |= bits[atoms[0]]
        return Variable(bits, reduce(or_, bits.values()))

    def _lay_value(self, value: str, steps: Sequence[str]) -> None:
        """A value that one spoken step takes is one variable with that step's answer."""
        taken = [came for name in steps for came in self.comings(name, value)]
        only = self.flow.steps[steps[0]]
        if len(steps) == 1 and isinstance(only, NumberStep):
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
        regions = _regions(step, self.limits.get(value, ()))
        if isinstance(step, JudgedStep):
            for kind, word in _comings(step) if not outcome else _coming(step, outcome):
                for region in regions:
                    yield kind, word, region


def _limits(flow: Flow) -> dict[str, tuple[Decimal, ...]]:
    """Give the numbers that decisions compare each value with, in order."""
    found: dict[str, set[Decimal]] = {}
    for step in flow.steps.values():
        for case in step.cases if isinstance(step, DecideStep) else ():
            for clause in case.when:
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


class Knowing:
    """What may be known on arrival at each step, over all paths.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow, self.layout = flow, Layout(flow)
        self.arrival: dict[str, int] = {}
        self._order = {name: place for place, name in enumerate(_in_order(flow))}
        self._spread(flow.start, self.layout.first)
        for include in (flow.make_safe, flow.make_live):
            if include is not None and include not in self.arrival:
                self._spread(include, reduce(or_, self.arrival.values(), 0))

    def _spread(self, start: str, brought: int) -> None:
        """Carry what is known on from a step until nothing new arrives anywhere."""
        if start not in self._order:
            return
        self.arrival[start] = self.arrival.get(start, 0) | brought
        ahead, waiting = [(self._order[start], start)], {start}
        while ahead:
            _, name = heappop(ahead)
            waiting.discard(name)
            for _, target, then in self.leads(name, self.arrival[name]):
                known = self.arrival.get(target, 0)
                if then and target in self._order and then | known != known:
                    self.arrival[target] = then | known
                    if target not in waiting:
                        waiting.add(target)
                        heappush(ahead, (self._order[target], target))

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
            for outcome, target in step.exits():
                yield outcome, target, self._after(name, step, outcome, here)
            return
        for position, case in enumerate(step.cases):
            yield f"case{position}", case.next, self.holding(case, here)
            here = self.failing(case, here)
        yield "otherwise", step.otherwise, here

    def holding(self, case: Case, here: int) -> int:
        """Give what is known where a case holds; 0 where it cannot."""
        for clause in case.when:
            here = self._narrowed(here, clause, is_so=True)
        return here

    def failing(self, case: Case, here: int) -> int:
        """Give what is known where a case does not hold; 0 where it always does."""
        joined = self._all_on_one(case)
        if joined is not None:
            variable, held = joined
            return _keep(here, variable, variable.mask & ~held)
        return reduce(or_, (self._narrowed(here, c, is_so=False) for c in case.when), 0)

    def _all_on_one(self, case: Case) -> tuple[Variable, int] | None:
        """Give the variable and what holds of it, where a case asks of nothing else."""
        asked = [self.asks(clause) for clause in case.when]
        if not asked or not all(is_sharp(clause) for clause in case.when):
            return None
        variable, held = asked[0]
        for other, also in asked[1:]:
            if other is not variable:
                return None
            held &= also
        return variable, held

    def asks(self, clause: Clause) -> tuple[Variable, int]:
        """Give what a clause asks of, and the bits for which it holds (or may, of a number)."""
        layout = self.layout
        match clause:
            case AnswerIs():
                variable = layout.answers[clause.answer]
                held = [a for a in variable.bits if a.answer in clause.is_]
            case VerdictIs():
                variable = layout.values[clause.verdict]
                held = [a for a in variable.bits if _came(a, a.kind) in clause.is_]
            case OutcomeIs():
                variable = layout.values[clause.outcome]
                held = [a for a in variable.bits if _came(a, a.outcome or a.kind) in clause.is_]
            case Compare():
                variable = layout.values[clause.value]
                held = [a for a in variable.bits if self._compares(clause, a)]
            case FoundIs():
                variable = layout.findings[clause.found]
                held = [a for a in variable.bits if a.answer == "yes"]
        return variable, variable.where(held)

    def _compares(self, clause: Compare, atom: Atom) -> bool:
        """Whether a comparison holds, or may where its limit is another value."""
        limits, region = self.layout.limits[clause.value], atom.region
        low, high = clause.at_least, clause.below
        is_above = not isinstance(low, Decimal) or region > limits.index(low)
        is_below = not isinstance(high, Decimal) or region <= limits.index(high)
        return atom.status == TAKEN and is_above and is_below

    def _narrowed(self, here: int, clause: Clause, *, is_so: bool) -> int:
        variable, held = self.asks(clause)
        if is_so:
            return _keep(here, variable, held)
        if not is_sharp(clause):
            return here
        return _keep(here, variable, variable.mask & ~held)

    def _after(self, name: str, step: LinkedStep, outcome: str, here: int) -> int:
        """Give what is known once a step was left by an outcome."""
        if isinstance(step, FindStep):
            variable = self.layout.findings.get(step.finding)
            return here if variable is None else _put(here, variable, variable.bits[Atom("yes")])
        if isinstance(step, WorkOutStep):
            return self._worked_out(name, step, outcome, here)
        if isinstance(step, NumberStep):
            return self._numbered(name, step, outcome, here)
        if isinstance(step, SpokenStep):
            variable = self.layout.answers[name]
            return _put(here, variable, variable.bits[Atom(outcome.removeprefix("choice."))])
        return here

    def _worked_out(self, name: str, step: WorkOutStep, outcome: str, here: int) -> int:
        variable = self.layout.values[value_name(name, step)]
        if outcome == "unknown":
            return _put(here, variable, variable.bits[Atom("", DECLINED)])
        for operand in step.given.values():
            if isinstance(operand, str):
                given = self.layout.values[operand]
                taken = [a for a in given.bits if a.status == TAKEN]
                here = _keep(here, given, given.where(taken))
        comings = self.layout.comings(name, value_name(name, step), outcome)
        held = [Atom("", TAKEN, *came) for came in comings]
        return _put(here, variable, variable.where(held)) if here else 0

    def _numbered(self, name: str, step: NumberStep, outcome: str, here: int) -> int:
        value = value_name(name, step)
        variable, answer = self.layout.values[value], self.layout.answers[name]
        is_joint = variable is answer
        word = outcome.removeprefix("choice.")
        if outcome == "skipped":
            return self._skipped(variable, answer, here)
        if outcome.startswith("choice."):
            if is_joint:
                here = _put(here, variable, variable.bits[Atom(word, DECLINED)])
            else:
                here = _put(here, variable, variable.bits[Atom("", DECLINED)])
                here = _put(here, answer, answer.bits[Atom(word)])
            return self._second(step, value, here, DECLINED)
        label = NOT_TAKEN if is_joint else ""
        held = [Atom(label, TAKEN, *came) for came in self.layout.comings(name, value, outcome)]
        here = _put(here, variable, variable.where(held))
        if not is_joint:
            here = _put(here, answer, answer.bits[Atom(NOT_TAKEN)])
        return self._second(step, value, here, DECLINED, TAKEN)

    def _second(self, step: NumberStep, value: str, here: int, *status: str) -> int:
        if not step.dual:
            return here
        variable = self.layout.values[f"{value}_second"]
        held = [a for a in variable.bits if a.status in status]
        return _put(here, variable, variable.where(held))

    def _skipped(self, variable: Variable, answer: Variable, here: int) -> int:
        """A skip leaves a value that was taken before as it is; one never asked is declined."""
        held = 0
        for atom, bit in variable.bits.items():
            if here & bit:
                status = DECLINED if atom.status == NEVER else atom.status
                word = "skipped" if variable is answer else ""
                held |= variable.bits[Atom(word, status, atom.kind, atom.outcome)]
        here = _put(here, variable, held)
        if variable is answer:
            return here
        return _put(here, answer, answer.bits[Atom("skipped")])


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


def is_sharp(clause: Clause) -> bool:
    """Whether a clause is known to fail where it does not hold: its limits are no values."""
    return not isinstance(clause, Compare) or not (
        isinstance(clause.at_least, str) or isinstance(clause.below, str)
    )


def _came(atom: Atom, word: str) -> str:
    return word if atom.status == TAKEN else NOT_TAKEN


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


def _put(here: int, variable: Variable, held: int) -> int:
    return (here & ~variable.mask) | held


def _keep(here: int, variable: Variable, held: int) -> int:
    """Keep only some possibilities of a variable; 0 where none of them can be."""
    return here & ~(variable.mask & ~held) if here & held else 0
