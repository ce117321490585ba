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
from walk_limits import Limits
from walk_lines import Line, Override, Walker, at_turn
from ways import Way, home, taken, wanted

from assistant.bench.faults import HEALTHY
from assistant.bench.isolation import fault_cases, healthy_cases
from assistant.bench.walking import Case
from assistant.flow.clauses import AnswerIs, Compare, OutcomeIs, VerdictIs
from assistant.flow.linked import Flow
from assistant.flow.model import (
    DecideStep,
    InteractiveStep,
    JudgedStep,
    NumberStep,
    SpokenStep,
    value_name,
)
from assistant.quantity import Quantity
from assistant.spoken.phrasing import say_reading
from assistant.walk.state import State, Turn

Goal: TypeAlias = tuple[str, str]
"""A way, or ("stands", step), ("finding", id), ("fault", id)."""

RANDOM_LINES = 300
_ROUNDS, _TRIES, _UNITS = 4, 8, 2


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
        self._random = random.Random(seed)  # noqa: S311 - no secret
        self._answers: dict[tuple[str, frozenset[str]], list[Answer]] = {}
        self._gone: set[tuple[str, frozenset[str]]] = set()
        self._planned: set[tuple[Way, str, str]] = set()
        self._stood: set[tuple[str, frozenset[str]]] = set()

    def run(self, first: Iterable[Line] = ()) -> None:
        """Search until every way is taken or nothing new was found.

        Args:
            first: lines that are kept already.
        """
        for line in first:
            self.keep(line)
        for case in self._cases():
            self.keep(self.walker.line(case))
        for _ in range(_ROUNDS):
            before = len(self.taken)
            self._go_other_ways()
            self._lead_to_cases()
            if len(self.taken) == before:
                break
        self._try_at_random()
        self._go_other_ways()
        self._lead_to_cases()
        for go_along in (Limits(self).go_along_formulas, Limits(self).go_along_decisions):
            go_along()
            self._go_other_ways()
            self._lead_to_cases()

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
        if not ground.flow.complaints:
            yield Case(next(iter(ground.units)), HEALTHY, "")

    def keep(self, line: Line) -> bool:
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
                        self.keep(self.walker.line(line.case, at_turn(line, turn, answer.words)))

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
            way = home(self.flow, name), "otherwise"
            if way not in self.taken:
                self._follow_plan(way, self._plan_otherwise(step))

    def _plan_otherwise(self, step: DecideStep) -> dict[str, list[str]]:
        """Give other answers than the cases of a decision name, a skip first."""
        plan: dict[str, list[str]] = {}
        for clause in (one for case in step.cases for one in case.when):
            asked = self.flow.steps.get(clause.answer) if isinstance(clause, AnswerIs) else None
            if isinstance(clause, AnswerIs) and isinstance(asked, SpokenStep):
                others = [f"choice.{one}" for one in asked.choices if one not in clause.is_]
                plan[clause.answer] = ["skipped", *others] if asked.skipped else others
        return {name: marks for name, marks in plan.items() if marks}

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
            if self.keep(self.walker.line(case, self.by_plan(plan, line))) and way in self.taken:
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
            if not marks:
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
            self.keep(self.walker.line(line.case, self.randomly(line, start, share)))

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


def cover(lines: list[Line], flow: Flow, kept: list[Line]) -> list[tuple[Line, str]]:
    """Choose few lines that together keep every goal that the kept ones do not.

    Those of the bench come first, short ones before long ones.

    Returns:
        Each line with what it was chosen for.
    """
    ahead = [(line, goals(line, flow)) for line in lines]
    left: set[Goal] = set().union(*(own for _, own in ahead))
    left -= set().union(*(goals(line, flow) for line in kept))
    chosen: list[tuple[Line, str]] = []
    while left:
        best, own = max(ahead, key=lambda pair: _worth(pair[0], pair[1] & left))
        chosen.append((best, "-".join(min(own & left))))
        left -= own
    chosen.sort(key=lambda pair: pair[0].others > 0)
    return chosen


def _worth(line: Line, gained: frozenset[Goal]) -> float:
    return len(gained) / (30 + len(line.words) + 20 * line.others)
