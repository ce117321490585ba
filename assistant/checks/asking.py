"""What the cases of a decision ask of what is known: the bits for which they hold, and fail."""

from decimal import Decimal
from functools import reduce
from operator import and_, or_
from typing import NamedTuple, TypeAlias

from assistant.checks.possibilities import TAKEN, Atom, Layout, Variable
from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.names import NOT_TAKEN

Tests: TypeAlias = tuple[tuple[int, int], ...]
"""The bits that are kept where one of others is there, and those others."""


class Branch(NamedTuple):
    """A case as bits.

    Args:
        target: where it leads.
        tests: what must be for it.
        contrary: each way in which it can fail.
    """

    target: str
    tests: Tests
    contrary: Tests


class Asking:
    """Reads cases and clauses as bits, each once.

    Args:
        layout: which bit stands for what.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self._asked: dict[int, tuple[Variable, int]] = {}
        self._branches: dict[int, Branch] = {}

    def holding(self, case: Case, here: int) -> int:
        """Give what is known where a case holds; 0 where it cannot."""
        return narrowed_by(self.branch(case).tests, here)

    def failing(self, case: Case, here: int) -> int:
        """Give what is known where a case does not hold; 0 where it always does."""
        return any_of(self.branch(case).contrary, here)

    def branch(self, case: Case) -> Branch:
        """Give a case as bits; the case is one of the flow's own, which stays where it is."""
        branch = self._branches.get(id(case))
        if branch is None:
            asked = [self.asks(clause) for clause in case.when]
            tests = tuple(test_of(variable, held) for variable, held in asked)
            branch = self._branches[id(case)] = Branch(case.next, tests, self._contrary(case))
        return branch

    def _contrary(self, case: Case) -> Tests:
        """Give each way in which a case can fail: one, where it asks of nothing but one thing."""
        asked = [self.asks(clause) for clause in case.when]
        if all(is_sharp(clause) for clause in case.when) and len({v for v, _ in asked}) == 1:
            failing = [(asked[0][0], reduce(and_, (held for _, held in asked)))]
        else:
            pairs = zip(case.when, asked, strict=True)
            failing = [(v, held if is_sharp(clause) else 0) for clause, (v, held) in pairs]
        return tuple((~held, variable.mask & ~held) for variable, held in failing)

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


def is_sharp(clause: Clause) -> bool:
    """Whether a clause is known to fail where it does not hold: its limits are no values."""
    return not isinstance(clause, Compare) or not (
        isinstance(clause.at_least, str) or isinstance(clause.below, str)
    )


def _came(atom: Atom, word: str) -> str:
    return word if atom.status == TAKEN else NOT_TAKEN


def test_of(variable: Variable, held: int) -> tuple[int, int]:
    """Give the test that a variable is one of some possibilities."""
    return ~(variable.mask & ~held), held


def narrowed_by(tests: Tests, here: int) -> int:
    """Give what is known where some things are so; 0 where they cannot be."""
    for kept, held in tests:
        if not here & held:
            return 0
        here &= kept
    return here


def any_of(tests: Tests, here: int) -> int:
    """Give what is known where one of some things is so at least; 0 where none can be."""
    return reduce(or_, (here & kept for kept, held in tests if here & held), 0)


def put_in(here: int, variable: Variable, held: int) -> int:
    """Give what is known once a variable is one of some possibilities."""
    return (here & ~variable.mask) | held
