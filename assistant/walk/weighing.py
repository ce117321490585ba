"""What a value would come to at a step: its verdicts and the way out. Nothing is changed.

The walk weighs the value it heard and each value it could be mistaken for; where the weights
differ, the value is asked back.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from assistant.errors import RungsideError
from assistant.flow.clauses import AnswerIs, Clause, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.conditions import GOOD
from assistant.flow.judging import CONTINUE, Rule, VerdictKind
from assistant.flow.linked import Flow
from assistant.flow.model import (
    AskStep,
    DecideStep,
    JudgedStep,
    MeasureStep,
    WorkOutStep,
    value_name,
)
from assistant.flow.names import NOT_TAKEN
from assistant.flow.vocabulary import Meter
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.rules.judges import judge
from assistant.rules.verdict import EXACT, Evidence, Verdict
from assistant.trade.formulas import FORMULAS, work_out
from assistant.walk.state import State

_SEVERITY = {
    VerdictKind.PASS: 0,
    VerdictKind.MARGINAL: 1,
    VerdictKind.CANNOT_TELL: 2,
    VerdictKind.FAIL: 3,
}


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a value comes to.

    Args:
        judged: each rule that was asked, with its verdict, in order.
        outcome: the outcome that leaves the step.
        deciding: the verdict that the branch rests on; where all went on the worst, and of
            equals the last, since later rules look at more.
    """

    judged: tuple[tuple[Rule, Verdict], ...]
    outcome: str
    deciding: Verdict | None

    @property
    def is_good(self) -> bool:
        """Whether rules judged the value and each let it pass: only then it proves something."""
        kinds = {verdict.kind for _, verdict in self.judged}
        return bool(kinds) and kinds <= GOOD

    @property
    def signature(self) -> tuple[str, ...]:
        """Give what must not change when the value was misheard: way out and outcomes."""
        return (self.outcome, *(verdict.outcome for _, verdict in self.judged))


def in_unit(reading: Reading, unit: Unit) -> Reading:
    """Give a reading in a step's unit."""
    return OverLimit(unit) if isinstance(reading, OverLimit) else reading.to(unit)


def weigh(flow: Flow, state: State, name: str, reading: Reading) -> Weighed:
    """Judge a value at a step by the step's rules, in order, until one leads elsewhere.

    Args:
        flow: the flow.
        state: where the walk stands; not changed.
        name: the step.
        reading: the value, in any unit of the step's kind.
    """
    step = flow.steps[name]
    if not isinstance(step, JudgedStep):
        return Weighed((), "next", None)
    own = in_unit(reading, flow.units[value_name(name, step)])
    known = {key: taken.reading for key, taken in state.values.items()}
    known[value_name(name, step)] = own
    plausible = step.plausible if isinstance(step, MeasureStep) else None
    evidence = Evidence(own, known, _meter(flow, step), plausible)
    judged: list[tuple[Rule, Verdict]] = []
    for position, rule in enumerate(step.judge):
        verdict = judge(rule, evidence)
        judged.append((rule, verdict))
        if rule.target(verdict.outcome) != CONTINUE:
            return Weighed(tuple(judged), f"rule{position}.{verdict.outcome}", verdict)
    later_first = [verdict for _, verdict in reversed(judged)]
    worst = max(later_first, key=lambda verdict: _SEVERITY[verdict.kind], default=None)
    return Weighed(tuple(judged), "next", worst)


def _meter(flow: Flow, step: JudgedStep) -> Meter:
    if isinstance(step, MeasureStep | WorkOutStep) and step.meter is not None:
        return flow.vocabulary.meters[step.meter]
    return EXACT


def matters_later(flow: Flow, name: str) -> bool:
    """Whether a step's value is used by other steps: a rating, or a reading compared later."""
    step = flow.steps[name]
    if isinstance(step, AskStep):
        return True
    return isinstance(step, JudgedStep) and value_name(name, step) in flow.used_values


def choose_case(flow: Flow, state: State, step: DecideStep) -> str:
    """Give the outcome of a decision: the first case whose clauses all hold."""
    del flow
    for position, case in enumerate(step.cases):
        if all(holds(clause, state) for clause in case.when):
            return f"case{position}"
    return "otherwise"


def holds(clause: Clause, state: State) -> bool:
    """Whether a clause holds for what is known."""
    match clause:
        case AnswerIs():
            return state.answers.get(clause.answer, NOT_TAKEN) in clause.is_
        case FoundIs():
            return clause.found in state.findings
        case Compare():
            return _compares(clause, state)
        case VerdictIs() | OutcomeIs():
            return _came_to(clause, state) in clause.is_


def _came_to(clause: VerdictIs | OutcomeIs, state: State) -> str:
    is_kind = isinstance(clause, VerdictIs)
    taken = state.values.get(clause.verdict if is_kind else clause.outcome)  # type: ignore[union-attr]
    if taken is None:
        return NOT_TAKEN
    if taken.verdict is None:
        return VerdictKind.PASS.value
    return taken.verdict.kind.value if is_kind else taken.verdict.outcome


def _compares(clause: Compare, state: State) -> bool:
    """Compare; over limit is more than any number, and what was never taken compares with none."""
    value = _number(clause.value, state)
    if value is None:
        return False
    unit = state.values[clause.value].reading.unit
    low, high = (_limit(o, state, unit) for o in (clause.at_least, clause.below))
    is_above = clause.at_least is None or (low is not None and value >= low)
    is_below = clause.below is None or (high is not None and value < high)
    return is_above and is_below


def _limit(operand: Decimal | str | None, state: State, unit: Unit) -> Decimal | None:
    return _number(operand, state, unit) if isinstance(operand, str) else operand


def _number(name: str, state: State, unit: Unit | None = None) -> Decimal | None:
    taken = state.values.get(name)
    if taken is None:
        return None
    reading = taken.reading
    if isinstance(reading, OverLimit):
        return Decimal("Infinity")
    return reading.to(unit or reading.unit).value


def worked_out(step: WorkOutStep, known: Mapping[str, Reading]) -> Quantity | None:
    """Give a formula's result; None where it lacks a value or cannot take it.

    Its unit is the step's: the flow does not load otherwise.
    """
    arguments = given(step, known)
    if arguments is None:
        return None
    units = FORMULAS[step.formula].parameters
    quantities: dict[str, Quantity] = {}
    for name, value in arguments.items():
        if isinstance(value, OverLimit):
            return None
        quantities[name] = value if isinstance(value, Quantity) else Quantity(value, units[name])
    try:
        return work_out(step.formula, quantities)
    except RungsideError:
        return None


def given(step: WorkOutStep, known: Mapping[str, Reading]) -> dict[str, Reading | Decimal] | None:
    """Give a formula's parameters, or None where one was never taken."""
    out: dict[str, Reading | Decimal] = {}
    for parameter, operand in step.given.items():
        if isinstance(operand, Decimal):
            out[parameter] = operand
        elif operand in known:
            out[parameter] = known[operand]
        else:
            return None
    return out
