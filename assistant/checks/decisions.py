"""Decisions that are complete, without contradiction, and ask only for what can be.

A case is looked at as a box: for each thing it asks of, the possibilities for which it holds.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations, pairwise

from assistant.checks.asking import is_sharp, narrowed_by
from assistant.checks.check import Check, Subject
from assistant.checks.knowing import Knowing
from assistant.checks.possibilities import Variable
from assistant.flow.clauses import Case, Compare
from assistant.flow.model import DecideStep, NumberStep, WorkOutStep, value_name
from assistant.flow.problems import Problem


@dataclass(frozen=True, slots=True)
class _Box:
    """What a case asks for.

    Args:
        case: the case.
        held: by what it asks of, the bits for which the case holds.
        is_sharp: whether the case surely holds in the box: its limits are numbers.
    """

    case: Case
    held: Mapping[Variable, int]
    is_sharp: bool

    def holds_within(self, other: "_Box") -> bool:
        """Whether the other case holds wherever this one does."""
        return other.is_sharp and all(
            not self.held.get(thing, thing.mask) & ~held for thing, held in other.held.items()
        )

    def meets(self, other: "_Box") -> bool:
        """Whether both cases can hold at once."""
        return all(held & other.held.get(thing, held) for thing, held in self.held.items())


def _boxes(knowing: Knowing, step: DecideStep) -> list[_Box]:
    return [_box(knowing, case) for case in step.cases]


def _box(knowing: Knowing, case: Case) -> _Box:
    held: dict[Variable, int] = {}
    for clause in case.when:
        variable, bits = knowing.asking.asks(clause)
        held[variable] = held.get(variable, variable.mask) & bits
    return _Box(case, held, all(is_sharp(clause) for clause in case.when))


def _decisions(subject: Subject) -> Iterator[tuple[str, DecideStep]]:
    for name, step in subject.flow.steps.items():
        if isinstance(step, DecideStep):
            yield name, step


def find_contradictions(subject: Subject) -> Iterator[Problem]:
    """Complain of a case whose own clauses exclude each other."""
    for name, step in _decisions(subject):
        for position, case in enumerate(step.cases):
            place = _first_impossible(subject.knowing, case, subject.knowing.layout.every)
            if place is not None:
                way = ("cases", position, "when", place)
                message = "This case can never hold: its clauses exclude each other."
                yield subject.problem(name, way, message, "Take one of them out, or mend it.")


def _first_impossible(knowing: Knowing, case: Case, here: int) -> int | None:
    """Give the position of the clause that leaves nothing of what is known; None where all can."""
    for place, test in enumerate(knowing.asking.branch(case).tests):
        here = narrowed_by((test,), here)
        if not here:
            return place
    return None


def find_never_holding(subject: Subject) -> Iterator[Problem]:
    """Complain of a case that asks for what no path can have brought."""
    knowing = subject.knowing
    for name, step in _decisions(subject):
        here = knowing.arrival.get(name, 0)
        boxes = _boxes(knowing, step)
        for position, case in enumerate(step.cases):
            is_told = _is_covered(boxes, position) or 0 in boxes[position].held.values()
            if here and not is_told and not knowing.asking.holding(case, here):
                place = _first_impossible(knowing, case, here) or 0
                message = "This case never holds: no path that leads here brings what it asks for."
                hint = "Ask the step before, or take the case out."
                yield subject.problem(name, ("cases", position, "when", place), message, hint)
            here = knowing.asking.failing(case, here)


def _is_covered(boxes: list[_Box], position: int) -> bool:
    return any(boxes[position].holds_within(earlier) for earlier in boxes[:position])


def find_subsumed(subject: Subject) -> Iterator[Problem]:
    """Complain of a case that an earlier one always takes."""
    for name, step in _decisions(subject):
        boxes = _boxes(subject.knowing, step)
        for position, box in enumerate(boxes):
            if 0 not in box.held.values() and _is_covered(boxes, position):
                message = "This case is never reached: an earlier one takes all that it asks for."
                yield subject.problem(name, ("cases", position), message, "Put it first.")


def find_overlaps(subject: Subject) -> Iterator[Problem]:
    """Complain of two cases over the same things that both hold, and lead to different steps."""
    for name, step in _decisions(subject):
        boxes = _boxes(subject.knowing, step)
        for (_, one), (later, other) in combinations(enumerate(boxes), 2):
            is_alike = set(one.held) == set(other.held) and one.case.next != other.case.next
            is_nested = one.holds_within(other) or other.holds_within(one)
            if is_alike and not is_nested and one.meets(other):
                message = "This case overlaps an earlier one that leads elsewhere."
                hint = "Make them exclude each other, so that their order does not matter."
                yield subject.problem(name, ("cases", later), message, hint)


@dataclass(frozen=True, slots=True)
class _Span:
    """The numbers for which a case holds that asks of one value only."""

    low: Decimal
    high: Decimal
    position: int


_LEAST, _MOST = Decimal("-Infinity"), Decimal("Infinity")


_Ladder = tuple[str, frozenset[str]]
"""A value, and what its cases ask for besides: spans are compared where both are the same."""


def _spans(step: DecideStep) -> dict[_Ladder, list[_Span]]:
    """Give the spans of the cases that ask for one value's number, and else for the same."""
    found: dict[_Ladder, list[_Span]] = {}
    for position, case in enumerate(step.cases):
        compared = [c for c in case.when if isinstance(c, Compare) and is_sharp(c)]
        values = {clause.value for clause in compared}
        if len(values) == 1:
            low = max(_number(c.at_least, _LEAST) for c in compared)
            high = min(_number(c.below, _MOST) for c in compared)
            others = frozenset(repr(clause) for clause in case.when if clause not in compared)
            found.setdefault((values.pop(), others), []).append(_Span(low, high, position))
    return {ladder: sorted(spans, key=lambda one: one.low) for ladder, spans in found.items()}


def _number(operand: Decimal | str | None, instead: Decimal) -> Decimal:
    return operand if isinstance(operand, Decimal) else instead


def _gaps(subject: Subject, step: DecideStep) -> Iterator[tuple[_Span, _Span, str, int]]:
    """Give the gaps between cases: before, behind, value, how many limits of a whole ladder touch.

    Where the cases leave numbers at an end to `otherwise` too, a gap may be meant, and no limit
    counts as touching; with a closed list whoever wrote it knew what lies in the gap.
    """
    for (value, _), spans in _spans(step).items():
        is_whole = spans[0].low == _LEAST and max(span.high for span in spans) == _MOST
        possible = _closed_list(subject, value)
        if possible and not is_whole:
            continue
        gaps = [
            (before, behind)
            for before, behind in pairwise(spans)
            if before.high < behind.low
            and (not possible or any(before.high <= one < behind.low for one in possible))
        ]
        for before, behind in gaps:
            yield before, behind, value, (len(spans) - 1 - len(gaps)) if is_whole else 0


def _closed_list(subject: Subject, value: str) -> tuple[Decimal, ...]:
    """Give the only numbers a value can be, where each step that takes it has a closed list."""
    lists = [
        step.allowed
        for name, step in subject.flow.steps.items()
        if isinstance(step, NumberStep) and value_name(name, step) == value
    ]
    return tuple(one for allowed in lists for one in allowed) if all(lists) else ()


def find_gaps(subject: Subject) -> Iterator[Problem]:
    """Complain of a gap in a ladder of cases that touch everywhere else."""
    yield from _told_gaps(subject, is_ladder=True)


def find_lone_gaps(subject: Subject) -> Iterator[Problem]:
    """Complain of a gap between two cases that would be one limit, if it is not meant."""
    yield from _told_gaps(subject, is_ladder=False)


_NARROW = Decimal("0.5")
"""A gap wider than this share of its upper limit is a band of its own, left to `otherwise`."""


def _told_gaps(subject: Subject, *, is_ladder: bool) -> Iterator[Problem]:
    for name, step in _decisions(subject):
        for before, behind, value, touching in _gaps(subject, step):
            is_narrow = behind.low - before.high <= abs(behind.low) * _NARROW
            if bool(touching) is is_ladder and (is_ladder or is_narrow):
                message = f"From {before.high:f} to below {behind.low:f} no case takes '{value}'."
                hint = f"Write 'at_least: {before.high:f}', so that the limits touch."
                yield subject.problem(name, ("cases", behind.position), message, hint)


def find_unlimited(subject: Subject) -> Iterator[Problem]:
    """Complain of a comparison without a limit."""
    for name, step in _decisions(subject):
        for position, case in enumerate(step.cases):
            for place, clause in enumerate(case.when):
                if isinstance(clause, Compare) and clause.at_least is clause.below is None:
                    way = ("cases", position, "when", place)
                    message = f"'{clause.value}' is compared with nothing."
                    yield subject.problem(name, way, message, "Add 'at_least' or 'below'.")


def find_empty_cases(subject: Subject) -> Iterator[Problem]:
    """Complain of a case that asks for nothing, so that it always holds."""
    for name, step in _decisions(subject):
        for position, case in enumerate(step.cases):
            empty = [p for p, c in enumerate(case.when) if not getattr(c, "is_", True)]
            if not case.when or empty:
                way = ("cases", position, "when", empty[0] if empty else 0)
                message = "This asks for nothing."
                yield subject.problem(name, way, message, "Name what it asks for, or take it out.")


def find_outside_range(subject: Subject) -> Iterator[Problem]:
    """Complain of a comparison with a number that the value cannot be."""
    spans = plausible_spans(subject)
    for name, step in _decisions(subject):
        for position, case in enumerate(step.cases):
            for place, clause in enumerate(case.when):
                if isinstance(clause, Compare):
                    span = spans.get(clause.value)
                    for key in ("at_least", "below"):
                        limit = getattr(clause, key)
                        if key == "at_least" and limit == 0:
                            continue  # how a flow asks whether the value was taken at all
                        if span and isinstance(limit, Decimal) and not span[0] <= limit <= span[1]:
                            way = ("cases", position, "when", place, key)
                            message = f"'{clause.value}' is never near {limit:f}."
                            hint = f"It is plausible from {span[0]:f} to {span[1]:f}."
                            yield subject.problem(name, way, message, hint)


def plausible_spans(subject: Subject) -> Mapping[str, tuple[Decimal, Decimal]]:
    """Give the least and the most that any step lets a value be, where each sets a limit."""
    spans: dict[str, tuple[Decimal, Decimal]] = {}
    worked_out: set[str] = set()
    for name, step in subject.flow.steps.items():
        if isinstance(step, NumberStep):
            value, (low, high) = value_name(name, step), step.plausible
            least, most = spans.get(value, (low, high))
            spans[value] = min(low, least), max(high, most)
        elif isinstance(step, WorkOutStep):
            worked_out.add(value_name(name, step))
    return {value: span for value, span in spans.items() if value not in worked_out}


CHECKS: tuple[Check, ...] = (
    Check(
        "contradictory-case",
        "A case that can never hold hides the way that was meant.",
        find_contradictions,
    ),
    Check(
        "case-never-holds",
        "A case that asks for what was never asked or cannot come out is a way never taken.",
        find_never_holding,
    ),
    Check(
        "subsumed-case",
        "A case behind one that takes everything it asks for is a way that is never taken.",
        find_subsumed,
    ),
    Check(
        "overlapping-cases",
        "Where two cases hold, their order decides, and nobody meant it to.",
        find_overlaps,
    ),
    Check(
        "numeric-gap",
        "A reading that falls between two limits goes where nobody meant it to.",
        find_gaps,
    ),
    Check(
        "narrow-gap",
        "Two limits that nearly touch may be meant to be one.",
        find_lone_gaps,
        "warning",
    ),
    Check(
        "compare-without-limit",
        "A comparison with nothing holds for every reading.",
        find_unlimited,
    ),
    Check(
        "empty-case",
        "A case that asks for nothing takes everything, or nothing.",
        find_empty_cases,
    ),
    Check(
        "compare-out-of-range",
        "A limit that no believable reading reaches never decides.",
        find_outside_range,
    ),
)
