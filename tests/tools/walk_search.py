"""The search for conversations that together take every way of a flow.

First the bench walks each fault. Where a way was not taken, a walk that reaches its step is gone
another way there; a decision that still has an untaken case is led to by answers that its clauses
name; what is left is tried by answers at random, always the same.
"""

import random
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import TypeAlias

from walk_answers import Answer, Numbers, choices
from walk_lines import Line, Override, Walker
from ways import Way, home, taken, wanted

from assistant.bench.isolation import fault_cases, healthy_cases
from assistant.bench.walking import Case
from assistant.flow.clauses import AnswerIs, Compare, OutcomeIs, VerdictIs
from assistant.flow.linked import Flow
from assistant.flow.model import (
    DecideStep,
    InteractiveStep,
    JudgedStep,
    MeasureStep,
    NumberStep,
    WorkOutStep,
    value_name,
)
from assistant.quantity import Quantity, Unit
from assistant.spoken.phrasing import say_reading
from assistant.walk.events import AnyEvent, Judged, Moved
from assistant.walk.state import State, Turn
from assistant.walk.weighing import choose_case

Goal: TypeAlias = tuple[str, str]
"""A way, or ("stands", step), ("finding", id), ("fault", id)."""

RANDOM_LINES = 300
_ROUNDS, _TRIES, _ALONG, _UNITS = 4, 8, 2, 2


class Search:
    """Looks for lines that take every way.

    Args:
        walker: walks lines.
        seed: of the answers tried at random.
    """

    def __init__(self, walker: Walker, seed: int = 4) -> None:
        self.walker, self.flow = walker, walker.walk.flow
        self.lines: list[Line] = []
        self.taken: set[Way] = set()
        self.limits: dict[str, tuple[Line, int]] = {}
        self._wanted = wanted(self.flow)
        self._random = random.Random(seed)
        self._answers: dict[tuple[str, frozenset[str]], list[Answer]] = {}
        self._gone: set[tuple[str, frozenset[str]]] = set()
        self._planned: set[tuple[Way, str, str]] = set()
        self._stood: set[tuple[str, frozenset[str]]] = set()

    def run(self) -> None:
        """Search until every way is taken or nothing new was found."""
        for case in self._cases():
            self._keep(self.walker.line(case))
        for _ in range(_ROUNDS):
            before = len(self.taken)
            self._go_other_ways()
            self._lead_to_cases()
            if len(self.taken) == before:
                break
        self._try_at_random()
        self._go_other_ways()
        self._lead_to_cases()
        self._go_along_formulas()
        self._go_other_ways()
        self._lead_to_cases()
        self._go_along_limits()

    def _go_along_limits(self) -> None:
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
            for line in self.lines
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
                    other = self.walker.line(line.case, _at(line, turn, (words,)))
                    if other.is_ended and any(at == decision for at, _ in other.decided):
                        key = f"{decision} {value} {words}"
                        self.limits.setdefault(key, (other, other.last_turn_at(decision)))

    def _go_along_formulas(self) -> None:
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
        for line in self.lines:
            turns = [t for t, r in enumerate(line.results) if _is_left(r.events, formula)]
            if taker not in line.stands() or not turns or not line.is_ended:
                continue
            turn = _turn_of(line, taker)
            is_measured = isinstance(self.flow.steps[taker], MeasureStep)
            if turns[0] <= turn + 2 and is_measured:  # its limits stand beside the step itself
                continue
            numbers = Numbers(self.walker.walk, line.states[turn])
            lines: dict[str, Line] = {}

            def mark(words: str, line: Line = line, turn: int = turn) -> str:
                if words not in lines:
                    lines[words] = self.walker.line(line.case, _at(line, turn, (words,)))
                return _outcomes(lines[words], formula)  # noqa: B023 - used in this round only

            for words in numbers.both_sides(mark):
                if lines[words].is_ended and _outcomes(lines[words], formula):
                    self._keep(lines[words])
                    if is_measured:
                        last = lines[words].last_turn_at(formula)
                        self.limits.setdefault(f"{formula} {taker} {words}", (lines[words], last))
            return

    def left(self) -> frozenset[Way]:
        """Give the ways that no line takes."""
        return self._wanted - self.taken

    def _cases(self) -> Iterator[Case]:
        ground = self.walker.ground
        met: dict[tuple[str, str], int] = {}
        for one in fault_cases(ground, [None]):
            key = one.fault, one.complaint
            met[key] = met.get(key, 0) + 1
            if met[key] <= _UNITS:
                yield one
        for case in healthy_cases(ground, range(2 * len(ground.flow.complaints))):
            yield Case(case.unit, case.fault, case.complaint, None, case.is_insistent)

    def _keep(self, line: Line) -> bool:
        """Keep a line that ended; whether it takes a new way."""
        if not line.is_ended:
            return False
        ways = line.ways(self.flow)
        stands = {
            (home(self.flow, state.step), self.known(state))
            for state in line.states
            if state.turn is Turn.ANSWER
        }
        is_new = bool(ways - self.taken) or bool(stands - self._stood)
        if is_new or not line.others:
            self.lines.append(line)
            self.taken |= ways
            self._stood |= stands
        return is_new

    def _go_other_ways(self) -> None:
        """At each step that was reached, give each answer that leads another way, and go on."""
        for line in list(self.lines):
            for turn, state in enumerate(line.states):
                place = home(self.flow, state.step), self.known(state)
                if state.turn is not Turn.ANSWER or place in self._gone:
                    continue
                self._gone.add(place)
                for answer in self.answers(state):
                    if self._new(answer):
                        self._keep(self.walker.line(line.case, _at(line, turn, answer.words)))

    def known(self, state: State) -> frozenset[str]:
        """Give which of the values that a step is judged by are known."""
        step = self.flow.steps[state.step]
        rules = step.judge if isinstance(step, JudgedStep) else ()
        named = {o for rule in rules for o in rule.operands() if isinstance(o, str)}
        return frozenset(named & state.values.keys())

    def _new(self, answer: Answer) -> bool:
        events = (event for result in answer.results for event in result.events)
        return bool(set(taken(self.flow, events)) - self.taken)

    def answers(self, state: State) -> list[Answer]:
        """Give what can be answered at a place; for one step and the same values only once."""
        place = state.step, self.known(state)
        if place not in self._answers:
            walk = self.walker.walk
            found = list(choices(walk, state))
            if isinstance(self.flow.steps[state.step], NumberStep):
                found += Numbers(walk, state).answers()
            self._answers[place] = found
        return self._answers[place]

    def _lead_to_cases(self) -> None:
        """For each untaken case: give the answers that its clauses name wherever they are asked."""
        for name, step in self.flow.steps.items():
            if not isinstance(step, DecideStep):
                continue
            for position, case in enumerate(step.cases):
                way = home(self.flow, name), f"case{position}"
                if way not in self.taken:
                    self._follow_plan(way, self.plan(case.when))

    def plan(self, clauses: Iterable[object]) -> dict[str, list[str]]:
        """Give marks of answers to give, by step."""
        plan: dict[str, list[str]] = {}
        for clause in clauses:
            match clause:
                case AnswerIs():
                    ways = ["skipped" if w == "skipped" else f"choice.{w}" for w in clause.is_]
                    plan[clause.answer] = [w for w in ways if w != "choice.not_taken"]
                case VerdictIs() | OutcomeIs():
                    of = clause.verdict if isinstance(clause, VerdictIs) else clause.outcome
                    for name, step in self.flow.steps.items():
                        if isinstance(step, JudgedStep) and value_name(name, step) == of:
                            plan[name] = list(clause.is_)
                case Compare():
                    for name, reading in self._numbers(clause):
                        plan[name] = [f"={say_reading(reading)[0]}"]
                case _:
                    pass
        return {step: marks for step, marks in plan.items() if marks}

    def _numbers(self, clause: Compare) -> Iterator[tuple[str, Quantity]]:
        """Give a number that a comparison holds for, at each step that asks for it."""
        for name, step in self.flow.steps.items():
            if isinstance(step, NumberStep) and value_name(name, step) == clause.value:
                if isinstance(clause.at_least, Decimal):
                    above = [v for v in step.allowed if v >= clause.at_least]
                    yield name, Quantity((above or [clause.at_least])[0], step.unit)
                elif isinstance(clause.below, Decimal):
                    below = [v for v in step.allowed if v < clause.below]
                    yield name, Quantity((below or [clause.below - 1])[-1], step.unit)

    def _follow_plan(self, way: Way, plan: dict[str, list[str]]) -> None:
        found_first = [line for line in self.lines if self._passes(line, way[0])]
        tries = 0
        for line in found_first:
            key = (way, line.case.complaint, line.case.fault)
            if key in self._planned or tries > _TRIES:
                continue
            tries += 1
            self._planned.add(key)
            complaint = self.planned_complaint(plan, line.case.complaint)
            case = Case(line.case.unit, line.case.fault, complaint)
            if self._keep(self.walker.line(case, self.by_plan(plan, line))) and way in self.taken:
                return

    def planned_complaint(self, plan: dict[str, list[str]], own: str) -> str:
        """Give the complaint that a plan names, or the line's own."""
        marks = plan.get("complaint", [])
        wanted_ones = [mark.removeprefix("choice.") for mark in marks]
        return own if own in wanted_ones or not wanted_ones else wanted_ones[0]

    def _passes(self, line: Line, step: str) -> bool:
        return any(way[0] == step for way in line.ways(self.flow))

    def by_plan(self, plan: dict[str, list[str]], line: Line) -> Override:
        """Give the planned answers where they are asked, else a line's own."""
        used: set[str] = set()

        def override(turn: int, state: State) -> str | None:
            del turn
            if state.turn is Turn.SKIP_REASON:
                return next(iter(self.flow.vocabulary.skip_reasons.values()))[0]
            marks = plan.get(state.step)
            if state.turn is not Turn.ANSWER or state.step in used:
                return None
            used.add(state.step)
            if marks is None:
                return line.ours.get(state.step)
            if marks[0].startswith("="):
                return marks[0][1:]
            for answer in self.answers(state):
                if any(word in mark.split() for mark in answer.mark for word in marks):
                    return answer.words[0]
            return None

        return override

    def _try_at_random(self) -> None:
        for _ in range(RANDOM_LINES):
            if not self.left():
                return
            line = self._random.choice(self.lines)
            share = self._random.choice([0.05, 0.15, 0.3])
            start = self._random.randrange(len(line.words))
            self._keep(self.walker.line(line.case, self.randomly(line, start, share)))

    def randomly(self, line: Line, start: int, share: float) -> Override:
        """Go as a line to a turn, and from there give a share of answers by chance."""
        chance = self._random

        def override(turn: int, state: State) -> str | None:
            if turn < start:
                return line.words[turn]
            if state.turn is Turn.SKIP_REASON:
                return next(iter(self.flow.vocabulary.skip_reasons.values()))[0]
            if state.turn is not Turn.ANSWER or chance.random() > share:
                return line.ours.get(state.step) if state.turn is Turn.ANSWER else None
            answers = self.answers(state)
            return chance.choice(answers).words[0] if answers else None

        return override


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


def _at(line: Line, turn: int, words: tuple[str, ...]) -> Override:
    """Go as a line to one turn, answer otherwise there, and go on as the line or the bench does."""
    used = {state.step for state in line.states[: turn + 1] if state.turn is Turn.ANSWER}

    def override(now: int, state: State) -> str | None:
        if now < turn:
            return line.words[now]
        if now < turn + len(words):
            return words[now - turn]
        if state.turn is not Turn.ANSWER or state.step in used:
            return None
        used.add(state.step)
        return line.ours.get(state.step)

    return override


def goals(line: Line, flow: Flow) -> frozenset[Goal]:
    """Give what a line is kept for: ways that are no mere answers, steps reached, findings."""
    turns = {home(flow, n) for n, step in flow.steps.items() if isinstance(step, InteractiveStep)}
    found: set[Goal] = {
        way for way in line.ways(flow) if way[0] not in turns or way[1].startswith("caution.")
    }
    found |= {("stands", home(flow, step)) for step in line.stands()}
    found |= {("finding", name) for name in line.findings()}
    if not line.others:
        found.add(("fault", line.case.fault))
    return frozenset(found)


def cover(lines: list[Line], flow: Flow) -> list[tuple[Line, str]]:
    """Choose few lines that together keep every goal.

    Those of the bench come first, short ones before long ones.

    Returns:
        Each line with what it was chosen for.
    """
    ahead = [(line, goals(line, flow)) for line in lines]
    left: set[Goal] = set().union(*(own for _, own in ahead))
    chosen: list[tuple[Line, str]] = []
    while left:
        best, own = max(ahead, key=lambda pair: _worth(pair[0], pair[1] & left))
        chosen.append((best, "-".join(min(own & left))))
        left -= own
    chosen.sort(key=lambda pair: pair[0].others > 0)
    return chosen


def _worth(line: Line, gained: frozenset[Goal]) -> float:
    return len(gained) / (30 + len(line.words) + 20 * line.others)
