"""Walks of the bench's faults with a few answers that the bench would not give, by chance.

A customer who says "still there", another look, a skip, another number: so a walk goes on where the
bench's own has come to its end. The same seed gives the same walks.
"""

import random
from collections.abc import Iterator

from walk_lines import Line, Override
from walk_search import Search
from ways import Way, home

from assistant.bench.isolation import fault_cases
from assistant.bench.walking import Case
from assistant.flow.model import NumberStep, SpokenStep
from assistant.walk.state import State, Turn

_GONE = "gone"
"""The step at which a customer may say that it is still there."""
_COUNTS = (0, 1, 1, 2, 3)


class Variety:
    """Looks for lines that take what is left.

    Args:
        search: walks lines and knows what can be answered.
        left: the ways looked for.
        seed: of all chances.
    """

    def __init__(self, search: Search, left: frozenset[Way], seed: int = 6) -> None:
        self._search, self._flow = search, search.flow
        self.left = set(left)
        self._chance = random.Random(seed)  # noqa: S311 - no secret
        self._asked = [
            name
            for name, step in self._flow.steps.items()
            if isinstance(step, SpokenStep) and (step.choices or isinstance(step, NumberStep))
        ]
        self._own = [one for one in self._asked if home(self._flow, one) == one]

    def run(self, count: int) -> Iterator[tuple[Line, str]]:
        """Walk so many lines; give each that takes something new, with what it took."""
        cases = list(fault_cases(self._search.walker.ground, [None]))
        complaints = sorted({one.complaint for one in cases})
        for _ in range(count if cases else 0):
            if not self.left:
                return
            one = self._chance.choice(cases)
            is_own = self._chance.random() < 0.8
            complaint = one.complaint if is_own else self._chance.choice(complaints)
            case = Case(one.unit, one.fault, complaint)
            line = self._search.walker.line(case, self._override())
            new = self.left & line.ways(self._flow)
            if new and line.is_ended:
                self.left -= new
                yield line, "-".join(min(new))

    def _override(self) -> Override:
        chance, search = self._chance, self._search
        planned = {
            chance.choice(self._own if chance.random() < 0.8 else self._asked)
            for _ in range(chance.choice(_COUNTS))
        }
        is_still_there = [chance.random() < 0.7]

        def override(turn: int, state: State) -> str | None:
            del turn
            if state.turn is not Turn.ANSWER:
                return None
            if state.step == _GONE and is_still_there[0]:
                is_still_there[0] = False
                return str(self._still_there())
            if state.step not in planned:
                return None
            planned.discard(state.step)
            answers = search.answers(state)
            return chance.choice(answers).words[0] if answers else None

        return override

    def _still_there(self) -> str:
        step = self._flow.steps[_GONE]
        assert isinstance(step, SpokenStep)
        return step.choices["still_there"].phrases[0]
