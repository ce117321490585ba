"""Mutants of decisions: a case or a clause gone, an answer not named, a number moved."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, TypeAlias

from mutant_parts import Edit, beside, in_member

from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, OutcomeIs, VerdictIs
from assistant.flow.judging import VerdictKind
from assistant.flow.linked import Flow
from assistant.flow.model import JudgedStep, NumberStep, value_name

Found: TypeAlias = Iterator[tuple[str, str, Edit]]
"""Kind, what is changed, the change."""


def case_edits(flow: Flow, position: int, case: Case, count: int) -> Found:
    """Give the mutants of one case of a decision."""
    if count > 1:
        yield "clause", f"case {position} gone", _dropped("cases", position)
    for place, clause in enumerate(case.when):
        here = f"case {position} clause {place}"
        if len(case.when) > 1:
            edit = in_member("cases", position, _dropped("when", place))
            yield "clause", f"{here} gone", edit
        for kind, what, new in _clause_edits(flow, clause):
            edit = in_member("cases", position, in_member("when", place, _always(new)))
            yield kind, f"{here}: {what}", edit


def _always(new: object) -> Edit:
    return lambda *_: new


def _dropped(key: str, position: int) -> Edit:
    def edit(_: str, record: Any) -> Any:  # noqa: ANN401 - any record
        members = getattr(record, key)
        return record.model_copy(update={key: (*members[:position], *members[position + 1 :])})

    return edit


def _clause_edits(flow: Flow, clause: Clause) -> Iterator[tuple[str, str, Clause]]:
    match clause:
        case Compare():
            yield from _compare_edits(flow, clause)
        case AnswerIs() | VerdictIs() | OutcomeIs():
            for member in clause.is_:
                left = tuple(one for one in clause.is_ if one != member)
                if left:
                    yield "clause", f"not {member}", clause.model_copy(update={"is_": left})
            if isinstance(clause, VerdictIs):
                other = "pass" if "pass" not in clause.is_ else VerdictKind.FAIL.value
                yield "mapping", f"is {other}", clause.model_copy(update={"is_": (other,)})
        case _:
            pass


def _compare_edits(flow: Flow, clause: Compare) -> Iterator[tuple[str, str, Clause]]:
    for key in ("at_least", "below"):
        limit = getattr(clause, key)
        if isinstance(limit, Decimal):
            for new in _moved(flow, clause.value, limit):
                yield "limit", f"{key}: {new}", clause.model_copy(update={key: new})
    swapped = {"at_least": clause.below, "below": clause.at_least}
    yield "comparison", "at least and below swapped", clause.model_copy(update=swapped)


def _moved(flow: Flow, value: str, limit: Decimal) -> tuple[Decimal, ...]:
    """Give limits to both sides; where only some values can be printed, past the next of them."""
    given = [
        step
        for name, step in flow.steps.items()
        if isinstance(step, JudgedStep) and value_name(name, step) == value
    ]
    asked = [step for step in given if isinstance(step, NumberStep)]
    lowest = min((step.plausible[0] for step in asked), default=limit)
    if limit < lowest:  # it asks whether the value was taken: any number passes it
        return (beside(lowest, asked[0])[1],)
    printed = sorted({v for step in asked for v in step.allowed})
    if not printed:
        return beside(limit, given[0] if given else None)
    above = [v for v in printed if v >= limit]
    below = [v for v in printed if v < limit]
    moved = [above[0] + Decimal("0.5")] if above else []
    return (*moved, *([below[-1]] if below else []))
