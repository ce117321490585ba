"""What the cases of a decision ask of what is known: the bits for which they hold, and fail."""

from decimal import Decimal
from functools import reduce
from operator import or_
from typing import TypeAlias

from assistant.checks.possibilities import TAKEN, Atom, Layout, Variable
from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.names import NOT_TAKEN

Tests: TypeAlias = tuple[tuple[int, int], ...]
"""The bits that are kept where one of others is there, and those others."""

Branch: TypeAlias = tuple[str, Tests, Tests]
"""A case's target, what must be for it, and each way in which it can fail."""


class Asking:
    """Reads cases and clauses as bits, each once.

    Args:
        layout: which bit stands for what.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self._asked: dict[int, tuple[Variable, int]] = {}
        self._joined: dict[int, tuple[Variable, int] | None] = {}

    def holding(self, case: Case, here: int) -> int:
        """Give what is known where a case holds; 0 where it cannot."""
        for clause in case.when:
            here = self._narrowed(here, clause, is_so=True)
        return here

    def failing(self, case: Case, here: int) -> int:
        """Give what is known where a case does not hold; 0 where it always does."""
        if id(case) not in self._joined:
            self._joined[id(case)] = self._all_on_one(case)
        joined = self._joined[id(case)]
        if joined is not None:
            variable, held = joined
            return keep_of(here, variable, variable.mask & ~held)
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
        asked = self._asked.get(id(clause))
        if asked is None:
            asked = self._asked[id(clause)] = self._asks(clause)
        return asked

    def _asks(self, clause: Clause) -> tuple[Variable, int]:
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
            return keep_of(here, variable, held)
        if not is_sharp(clause):
            return here
        return keep_of(here, variable, variable.mask & ~held)

    def branch(self, case: Case) -> Branch:
        """Give a case's target, what must be for it, and each way in which it can fail."""
        asked = [self.asks(clause) for clause in case.when]
        tests = tuple((~(variable.mask & ~held), held) for variable, held in asked)
        joined = self._all_on_one(case)
        failing = [joined] if joined is not None else []
        if joined is None:
            pairs = zip(case.when, asked, strict=True)
            failing = [one if is_sharp(clause) else (one[0], 0) for clause, one in pairs]
        contrary = tuple((~held, variable.mask & ~held) for variable, held in failing)
        return case.next, tests, contrary


def is_sharp(clause: Clause) -> bool:
    """Whether a clause is known to fail where it does not hold: its limits are no values."""
    return not isinstance(clause, Compare) or not (
        isinstance(clause.at_least, str) or isinstance(clause.below, str)
    )


def _came(atom: Atom, word: str) -> str:
    return word if atom.status == TAKEN else NOT_TAKEN


def narrowed_by(tests: Tests, here: int) -> int:
    """Give what is known where some things are so; 0 where they cannot be."""
    for kept, held in tests:
        if not here & held:
            return 0
        here &= kept
    return here


def put_in(here: int, variable: Variable, held: int) -> int:
    """Give what is known once a variable is one of some possibilities."""
    return (here & ~variable.mask) | held


def keep_of(here: int, variable: Variable, held: int) -> int:
    """Keep only some possibilities of a variable; 0 where none of them can be."""
    return here & ~(variable.mask & ~held) if here & held else 0
