"""Walks that go on by chance from places of told conversations, for what none of these finds yet.

What is looked for are ways that no conversation takes and mutants that none finds out. Each try
starts at a place that was reached before, is led by the clauses of one decision that has something
left, and else answers as the bench does or by chance. What was new is told from the conversation's
place on, beside its other answers. The same seed finds the same.
"""

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from conversation import Stage, Told, hear, tell
from killing import ALIVE, Court, is_same, quick_walk
from mutants import Mutant, mutants
from walk_hunt import Hunt
from walk_search import Search
from ways import Way, home, impossible, taken, wanted

from assistant.bench.errors import BenchError
from assistant.bench.faults import HEALTHY
from assistant.bench.technician import Technician
from assistant.bench.walking import Case, make_technician
from assistant.flow.clauses import AnswerIs, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.model import DecideStep
from assistant.walk.events import Moved
from assistant.walk.state import State, Turn
from assistant.walk.walk import Result, Walk

_LONGEST, _KEPT = 60, 40
"""Turns of one try; places kept of each step."""
_SHARES = (0.05, 0.15, 0.3, 0.6)
"""Shares of answers given by chance."""

Row = tuple[str, int, tuple[Told, ...]]
"""A conversation, how many of its turns go before, and the turns told instead."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Somewhere to go on from: a conversation's turn, and what was told since."""

    name: str
    turn: int
    state: State
    told: tuple[Told, ...] = ()
    others: Mapping[int, State] = field(default_factory=dict)


class Explorer:
    """Looks for rows that take what is left.

    Args:
        stage: the flow with the conversations there are.
        search: knows what can be answered.
        seed: of all chances.
    """

    def __init__(self, stage: Stage, search: Search, seed: int = 3) -> None:
        self._walk, self._flow, self._stage = stage.walk, stage.walk.flow, stage
        self._search, self._hunt = search, Hunt(search, ())
        self._chance = random.Random(seed)  # noqa: S311 - no secret
        court = Court(stage)
        ways = {
            w for row in court.rows for one in row for w in taken(self._flow, one.result.events)
        }
        self.ways = set(wanted(self._flow) - impossible(self._flow.id).keys() - ways)
        self.alive: dict[int, Mutant] = {
            number: one
            for number, one in enumerate(mutants(self._flow))
            if court.judge(one) == ALIVE
        }
        self._walks: dict[int, Walk] = {}
        self._asked = frozenset(self._names())
        self._places: dict[str, dict[tuple[object, ...], _Place]] = {}
        self._benches: dict[str, tuple[str, str]] = {}
        self.turns = 0
        for name, one in stage.conversations.items():
            source = one.source
            self._benches[name] = source.get("unit", ""), source.get("fault", HEALTHY)
            states = stage.line(name)
            for turn in range(one.shared, len(states)):
                if states[turn].turn is Turn.ANSWER and not states[turn].troubles:
                    self._keep(_Place(name, turn, states[turn]))

    def run(self, turns: int) -> Iterator[Row]:
        """Give rows that find something new, until nothing is left or so many turns were heard."""
        for place in [place for own in self._places.values() for place in own.values()]:
            for answer in self._search.answers(place.state):
                yield from self._say(place, answer.words)
        while self.turns < turns and (self.ways or self.alive):
            steps = [*self._places]
            own = self._places[self._chance.choice(steps)]
            place = self._chance.choice([*own.values()])
            yield from self._try(place, self._goal())

    def _say(self, place: _Place, words: Sequence[str]) -> Iterator[Row]:
        """Say one answer at a place."""
        state, told, others = place.state, [*place.told], dict(place.others)
        for one in words:
            result = hear(self._walk, state, one)
            told.append(tell(one, result))
            ways = self.ways & set(taken(self._flow, result.events))
            killed = self._strike(state, one, result, told[-1], others)
            self.ways -= ways
            if ways or killed:
                yield place.name, place.turn, tuple(told)
            state = result.state

    def _goal(self) -> dict[str, list[str]]:
        """Give the answers that lead to something left, by step."""
        left: list[Way | int] = [*sorted(self.ways), *sorted(self.alive)]
        one = self._chance.choice(left)
        if isinstance(one, int):
            mutant = self.alive[one]
            name = mutant.steps[0] if mutant.steps else ""
            is_decision = isinstance(self._flow.steps.get(name), DecideStep)
            plan = self._hunt.plan(name, mutant) if is_decision else {}
        else:
            step = self._flow.steps.get(one[0])
            is_case = isinstance(step, DecideStep) and one[1].startswith("case")
            plan = {}
            if isinstance(step, DecideStep) and is_case:
                plan = self._search.plan(step.cases[int(one[1][4:])].when)
        return {step: marks for step, marks in plan.items() if self._chance.random() < 0.9}

    def _try(self, place: _Place, plan: Mapping[str, list[str]]) -> Iterator[Row]:
        share = self._chance.choice(_SHARES)
        bench = self._bench(place)
        state, told, others = place.state, [*place.told], dict(place.others)
        for _ in range(_LONGEST):
            words = self._words(state, plan, share, bench)
            if words is None:
                return
            result = hear(self._walk, state, words)
            self.turns += 1
            told.append(tell(words, result))
            ways = self.ways & set(taken(self._flow, result.events))
            killed = self._strike(state, words, result, told[-1], others)
            if ways or killed:
                self.ways -= ways
                yield place.name, place.turn, tuple(told)
            state = result.state
            if state.is_over or sum(state.troubles.values()) > 1:
                return
            if state.turn is Turn.ANSWER and not state.troubles and len(told) < _LONGEST:
                self._keep(_Place(place.name, place.turn, state, tuple(told), dict(others)))

    def _bench(self, place: _Place) -> Technician:
        ground = self._search.walker.ground
        unit, fault = self._benches[place.name]
        complaint = place.state.answers.get("complaint", "")
        case = Case(unit or next(iter(ground.units)), fault, complaint)
        return make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)

    def _words(
        self, state: State, plan: Mapping[str, list[str]], share: float, bench: Technician
    ) -> str | None:
        if state.turn is Turn.CONFIRM:
            return "yes"
        if state.turn is Turn.ANSWER:
            planned = self._planned(state, plan)
            if planned is not None and self._chance.random() < 0.9:
                return planned
            if self._chance.random() < share:
                answers = self._search.answers(state)
                return self._chance.choice(answers).words[0] if answers else None
        try:
            return bench.answer(state)
        except BenchError:
            choices = getattr(self._flow.steps[state.step], "choices", {})
            return next((one.phrases[0] for one in choices.values()), None)

    def _planned(self, state: State, plan: Mapping[str, list[str]]) -> str | None:
        marks = plan.get(state.step)
        if not marks:
            return None
        if marks[0].startswith("="):
            return marks[0][1:]
        fitting = [
            answer.words[0]
            for answer in self._search.answers(state)
            if any(
                word in mark.replace(".", " ").split() or word in mark.split()
                for mark in answer.mark
                for word in marks
            )
        ]
        return self._chance.choice(fitting) if fitting else None

    def _strike(
        self, state: State, words: str, result: Result, told: Told, others: dict[int, State]
    ) -> bool:
        """Let living mutants hear the same; take out those that come to something else."""
        steps = {state.step, result.state.step}
        for event in result.events:
            if isinstance(event, Moved):
                steps |= {event.step, event.target}
        is_new = False
        for number in [n for n, m in self.alive.items() if n in others or steps & set(m.steps)]:
            other = self._hear(number, others.get(number, state), words)
            if other is None or tell(words, other) != told:
                del self.alive[number]
                is_new = True
            elif not is_same(other.state, result.state):
                others[number] = other.state
            else:
                others.pop(number, None)
        return is_new

    def _hear(self, number: int, state: State, words: str) -> Result | None:
        """Let a mutant hear words; none where it breaks down, which is noticed too."""
        if number not in self._walks:
            self._walks[number] = quick_walk(self.alive[number].apply(self._flow))
        try:
            return hear(self._walks[number], state, words)
        except (KeyError, StopIteration, AttributeError, TypeError):
            return None

    def _keep(self, place: _Place) -> None:
        """Keep a place where no other of its step knows the same of what is asked."""
        state = place.state
        own = self._places.setdefault(home(self._flow, state.step), {})
        key = self._known(state)
        old = own.get(key)
        if old is not None:
            if len(place.told) < len(old.told):
                own[key] = place
            return
        if len(own) >= _KEPT:
            own.pop(self._chance.choice([*own]))
        own[key] = place

    def _known(self, state: State) -> tuple[object, ...]:
        answers = tuple(sorted((k, v) for k, v in state.answers.items() if k in self._asked))
        values = tuple(
            sorted(
                (k, v.verdict.outcome if v.verdict else "")
                for k, v in state.values.items()
                if k in self._asked
            )
        )
        return answers, values, tuple(sorted(set(state.findings) & self._asked))

    def _names(self) -> Iterator[str]:
        """Give what is asked by decisions that have something left."""
        open_ones = {step for step, _ in self.ways}
        open_ones |= {home(self._flow, name) for one in self.alive.values() for name in one.steps}
        for name, step in self._flow.steps.items():
            if isinstance(step, DecideStep) and home(self._flow, name) in open_ones:
                for clause in (one for case in step.cases for one in case.when):
                    match clause:
                        case AnswerIs():
                            yield clause.answer
                        case VerdictIs():
                            yield clause.verdict
                        case OutcomeIs():
                            yield clause.outcome
                        case Compare():
                            yield clause.value
                        case FoundIs():
                            yield clause.found
