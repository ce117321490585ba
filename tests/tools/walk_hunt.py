"""The hunt for walks that find out a changed decision which the chosen ones would let live."""

import random
from collections.abc import Iterable, Iterator, Sequence

from mutants import Mutant, mutants
from walk_lines import Line, Override
from walk_search import Search

from assistant.bench.walking import Case
from assistant.flow.clauses import AnswerIs, Clause
from assistant.flow.model import DecideStep, SpokenStep
from assistant.walk.state import State
from assistant.walk.weighing import choose_case

_TRIES, _RANDOM = 3, 2
"""Walks led to a decision for each mutant, and walks by chance."""


class Hunt:
    """Looks for lines that find out mutants of decisions.

    Args:
        search: the search that went before; its lines are looked at first.
        chosen: the lines that are kept already.
    """

    def __init__(self, search: Search, chosen: Iterable[Line]) -> None:
        self._search, self._flow = search, search.flow
        steps = self._flow.steps
        self._alive: dict[str, list[tuple[Mutant, DecideStep]]] = {}
        for one in mutants(self._flow):
            for name in one.steps:
                step = steps[name]
                if one.edit is not None and isinstance(step, DecideStep):
                    self._alive.setdefault(name, []).append((one, one.edit(name, step)))
        self.found: list[tuple[Line, int]] = []
        for line in chosen:
            self._strike(line)

    def run(self) -> list[tuple[Line, int]]:
        """Give further lines, each with the turn up to which it finds mutants out."""
        for line in self._search.lines:
            self._try(line)
        chance = random.Random(5)  # noqa: S311 - no secret
        for name in list(self._alive):
            by = self._passing(name)
            for mutant, _ in list(self._alive[name]):
                for case, override in self._tries(name, mutant, by, chance):
                    if all(one is not mutant for one, _ in self._alive[name]):
                        break
                    line = self._search.walker.line(case, override)
                    if line.is_ended:
                        self._try(line)
        return self.found

    def _passing(self, name: str) -> list[Line]:
        met: dict[tuple[str, frozenset[str]], Line] = {}
        for line in self._search.lines:
            if any(step == name for step, _ in line.decided):
                met.setdefault((line.case.complaint, frozenset(line.ours)), line)
        return list(met.values())

    def _tries(
        self, name: str, mutant: Mutant, by: Sequence[Line], chance: random.Random
    ) -> Iterator[tuple[Case, Override]]:
        plan = self.plan(name, mutant)
        for line in chance.sample(list(by), min(_TRIES, len(by))):
            complaint = self._search.planned_complaint(plan, line.case.complaint)
            case = Case(line.case.unit, line.case.fault, complaint)
            yield case, self._search.by_plan(plan, line)
        for line in chance.sample(list(by), min(_RANDOM, len(by))):
            start = chance.randrange(len(line.words))
            yield line.case, self._search.randomly(line, start, 0.2)

    def plan(self, name: str, mutant: Mutant) -> dict[str, list[str]]:
        """Lead to the mutant's case: every clause true, but the changed one as only it tells."""
        step = self._flow.steps[name]
        words = mutant.what.replace(":", "").split()
        if not isinstance(step, DecideStep) or not words[1].isdigit():
            return {}
        when = step.cases[int(words[1])].when
        if "clause" not in words:
            return self._search.plan(when)
        changed = int(words[3])
        plan = self._search.plan([one for at, one in enumerate(when) if at != changed])
        return plan | self._otherwise(when[changed], words[4:])

    def _otherwise(self, clause: Clause, words: Sequence[str]) -> dict[str, list[str]]:
        if words[:1] == ["not"]:
            return self._search.plan([clause.model_copy(update={"is_": (words[1],)})])
        if not isinstance(clause, AnswerIs):
            return {}
        step = self._flow.steps[clause.answer]
        if not isinstance(step, SpokenStep):
            return {}
        others = [f"choice.{one}" for one in step.choices if one not in clause.is_]
        return {clause.answer: ["skipped", *others] if step.skipped else others}

    def _try(self, line: Line) -> None:
        last = self._strike(line)
        if last is not None:
            self.found.append((line, last))

    def _strike(self, line: Line) -> int | None:
        """Take out the mutants that a line finds out; give the turn of the last, if any."""
        last = None
        for place, (name, state) in enumerate(line.decided):
            alive = self._alive.get(name, [])
            left = [pair for pair in alive if not self._is_other(name, pair[1], state)]
            if len(left) < len(alive):
                gone = {id(one) for one, _ in alive} - {id(one) for one, _ in left}
                for own, pairs in self._alive.items():
                    self._alive[own] = [pair for pair in pairs if id(pair[0]) not in gone]
                last = next(turn for turn, count in enumerate(line.counts) if count > place)
        return last

    def _is_other(self, name: str, changed: DecideStep, state: State) -> bool:
        """Whether a changed decision leads elsewhere from a state."""
        step = self._flow.steps[name]
        if not isinstance(step, DecideStep):
            return False
        own = dict(step.exits())[choose_case(self._flow, state, step)]
        return own != dict(changed.exits())[choose_case(self._flow, state, changed)]
