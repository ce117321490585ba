"""Walks on both sides of limits that lie behind the step where their number is taken."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from walk_answers import Numbers
from walk_lines import Line, at_turn

from assistant.flow.clauses import Compare
from assistant.flow.model import DecideStep, MeasureStep, NumberStep, WorkOutStep, value_name
from assistant.quantity import Quantity, Unit
from assistant.spoken.phrasing import say_reading
from assistant.walk.events import AnyEvent, Judged, Moved
from assistant.walk.state import Turn
from assistant.walk.weighing import choose_case

if TYPE_CHECKING:
    from walk_search import Search

_ALONG = 2
"""So many walks are gone along for one number."""


class Limits:
    """Goes along walks with other numbers.

    Args:
        search: whose lines are gone along; what is found is kept in it.
    """

    def __init__(self, search: "Search") -> None:
        self._search, self.flow, self.walker = search, search.flow, search.walker

    def go_along_decisions(self) -> None:
        """For each number that a decision compares later: walks on both sides of the limit."""
        for name, step in self.flow.steps.items():
            for position, case in enumerate(step.cases if isinstance(step, DecideStep) else ()):
                for place, clause in enumerate(case.when):
                    if isinstance(clause, Compare):
                        by = self._decided_by(name, position, place)
                        for limit in (clause.at_least, clause.below):
                            if isinstance(limit, Decimal):
                                self._go_along(name, clause.value, limit, by)

    def _decided_by(self, name: str, position: int, place: int) -> list[Line]:
        """Give lines that come by a decision where one clause alone makes out its case."""
        step = self.flow.steps[name]
        if not isinstance(step, DecideStep):
            return []
        case = step.cases[position]
        when = (*case.when[:place], *case.when[place + 1 :])
        cases = list(step.cases)
        cases[position] = case.model_copy(update={"when": when})
        without = step.model_copy(update={"cases": tuple(cases)})
        return [
            line
            for line in self._search.lines
            if any(
                at == name and choose_case(self.flow, state, without) == f"case{position}"
                for at, state in line.decided
            )
        ]

    def _go_along(self, decision: str, value: str, limit: Decimal, by: list[Line]) -> None:
        """Go as lines that take a number and come by the decision, with other numbers."""
        for name, step in self.flow.steps.items():
            if not isinstance(step, NumberStep) or value_name(name, step) != value:
                continue
            for line in [one for one in by if name in one.stands()][:_ALONG]:
                turn = _turn_of(line, name)
                for reading in _both_sides(limit, step):
                    words = say_reading(reading)[0]
                    other = self.walker.line(line.case, at_turn(line, turn, (words,)))
                    if other.is_ended and any(at == decision for at, _ in other.decided):
                        key = f"{decision} {value} {words}"
                        self._search.limits.setdefault(key, (other, other.last_turn_at(decision)))

    def go_along_formulas(self) -> None:
        """For each formula that is worked out later than its numbers are taken: its limits."""
        for name, step in self.flow.steps.items():
            if isinstance(step, WorkOutStep) and step.judge:
                for value in dict.fromkeys(self._inputs(step)):
                    for taker, asked in self.flow.steps.items():
                        if isinstance(asked, NumberStep) and value_name(taker, asked) == value:
                            self._along_formula(name, taker)

    def _inputs(self, step: WorkOutStep) -> Iterator[str]:
        for operand in step.given.values():
            if isinstance(operand, str):
                yield operand
        for rule in step.judge:
            yield from (operand for operand in rule.operands() if isinstance(operand, str))

    def _along_formula(self, formula: str, taker: str) -> None:
        for line in self._search.lines:
            turns = [t for t, r in enumerate(line.results) if _is_left(r.events, formula)]
            if taker not in line.stands() or not turns or not line.is_ended:
                continue
            turn = _turn_of(line, taker)
            is_measured = isinstance(self.flow.steps[taker], MeasureStep)
            if turns[0] <= turn + 2 and is_measured:  # its limits stand beside the step itself
                continue
            self._close_in(line, turn, formula, is_kept=is_measured)
            return

    def _close_in(self, line: Line, turn: int, formula: str, *, is_kept: bool) -> None:
        """Go as a line with other numbers at one turn, to both sides of each limit far behind."""
        lines: dict[str, Line] = {}

        def mark(words: str) -> str:
            if words not in lines:
                lines[words] = self.walker.line(line.case, at_turn(line, turn, (words,)))
            return _outcomes(lines[words], formula)

        for words in Numbers(self.walker.walk, line.states[turn]).both_sides(mark):
            if lines[words].is_ended and mark(words):
                self._search.keep(lines[words])
                if is_kept:
                    key = f"{formula} {line.states[turn].step} {words}"
                    last = lines[words].last_turn_at(formula)
                    self._search.limits.setdefault(key, (lines[words], last))


def _turn_of(line: Line, name: str) -> int:
    """Give the first turn at which a line answers a step."""
    return next(
        at
        for at, state in enumerate(line.states)
        if state.step == name and state.turn is Turn.ANSWER
    )


def _is_left(events: Iterable[AnyEvent], name: str) -> bool:
    return any(isinstance(event, Moved) and event.step == name for event in events)


def _outcomes(line: Line, name: str) -> str:
    """Give how a line judged and left a step, first to last."""
    said = [
        f"{event.outcome}"
        for result in line.results
        for event in result.events
        if isinstance(event, Moved | Judged) and event.step == name
    ]
    return " ".join(said)


def _both_sides(limit: Decimal, step: NumberStep) -> list[Quantity]:
    """Give the limit itself and the number a digit below it, or the printed ones about it."""
    if step.allowed:
        above = [v for v in step.allowed if v >= limit][:1]
        below = [v for v in step.allowed if v < limit][-1:]
        return [Quantity(v, step.unit) for v in (*below, *above)]
    if limit < step.plausible[0]:
        return [Quantity(step.plausible[0], step.unit)]
    digit = Decimal(1) if step.unit is Unit.COUNT else Decimal("0.1")
    return [Quantity(limit - digit, step.unit), Quantity(limit, step.unit)]
