"""Which mutants of a flow its conversations find out, and which they let live.

Exact and quick: a turn can only come out otherwise where a changed step is touched, so from the
states of the unchanged replay only those turns are heard again, and a row is followed on as long as
it stands otherwise than it should without telling so.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields

from conversation import Stage, Told, hear, tell
from mutants import Mutant

from assistant.flow.linked import Flow
from assistant.flow.names import check_names
from assistant.flow.safety import check_paths
from assistant.walk.events import Moved
from assistant.walk.machine import _arrows
from assistant.walk.state import State, Taken
from assistant.walk.walk import Result, Walk

KILLED, REFUSED, ALIVE = "killed", "refused", "alive"
"""A conversation fails; the flow does not load; nothing notices."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One turn of the unchanged replay.

    Args:
        state: where the walk stood; none before the first words.
        expected: what the file tells.
        result: what it came to.
        row: which row of turns it belongs to.
        place: its place in that row.
    """

    state: State | None
    expected: Told
    result: Result
    row: int
    place: int


class _Ways:
    """What the machine of a walk does, without the cost of making one for every mutant."""

    def __init__(self, flow: Flow) -> None:
        self._to: dict[tuple[str, str], str] = {}
        for outcome, step, target in _arrows(flow):
            self._to.setdefault((step, outcome), target)

    def move(self, step: str, outcome: str) -> str:
        """Give the step that an outcome leads to."""
        return self._to[(step, outcome)]


def quick_walk(flow: Flow) -> Walk:
    """Give the walk of a mutant."""
    walk = object.__new__(Walk)
    walk.flow = flow
    walk._machine = _Ways(flow)  # type: ignore[assignment]
    return walk


class Court:
    """Judges mutants of one flow by its conversations.

    Args:
        stage: the flow with its conversations.
    """

    def __init__(self, stage: Stage) -> None:
        self.flow = stage.walk.flow
        self.conversations = tuple(stage.conversations)
        self.rows: list[list[Spot]] = []
        self._touching: dict[str, list[Spot]] = {}
        for name in stage.conversations:
            self._take(stage, name)

    def _take(self, stage: Stage, name: str) -> None:
        last: State | None = None
        self.rows.append([])
        for played in stage.play(name):
            if played.state is not last and played.state is not None and self.rows[-1]:
                self.rows.append([])
            last = played.result.state
            spot = Spot(
                played.state,
                played.expected,
                played.result,
                len(self.rows) - 1,
                len(self.rows[-1]),
            )
            self.rows[-1].append(spot)
            for step in _touched(spot):
                self._touching.setdefault(step, []).append(spot)

    def judge(self, mutant: Mutant) -> str:
        """Tell whether a mutant is killed by a conversation, refused by the loader, or lives."""
        flow = mutant.apply(self.flow)
        try:
            walk = quick_walk(flow)
            spots = self._spots(mutant)
            if any(self._differs(walk, spot) for spot in spots):
                return KILLED
        except (KeyError, StopIteration, AttributeError, TypeError):
            return KILLED
        is_refused = bool(check_names(flow)) or bool(check_paths(flow))
        return REFUSED if is_refused else ALIVE

    def killer(self, mutant: Mutant, cost: Callable[[int], int]) -> int | None:
        """Give the cheapest row that finds a mutant out, by its number; none where none does."""
        walk = quick_walk(mutant.apply(self.flow))
        costs: dict[int, int] = {}
        for spot in sorted(
            self._spots(mutant),
            key=lambda one: costs.setdefault(one.row, cost(one.row)),
        ):
            try:
                if self._differs(walk, spot):
                    return spot.row
            except (KeyError, StopIteration, AttributeError, TypeError):
                return spot.row
        return None

    def _spots(self, mutant: Mutant) -> Iterator[Spot]:
        if mutant.edit is None:
            yield from (row[0] for row in self.rows if row and row[0].state is None)
        seen: set[int] = set()
        for name in mutant.steps:
            for spot in self._touching.get(name, ()):
                if id(spot) not in seen:
                    seen.add(id(spot))
                    yield spot

    def _differs(self, walk: Walk, spot: Spot) -> bool:
        """Whether the row from this turn on tells something else than its file."""
        row, state = self.rows[spot.row], spot.state
        for one in row[spot.place :]:
            words = None if one.state is None else one.expected.get("heard", "")
            result = walk.begin() if state is None else hear(walk, state, words or "")
            if tell(words, result) != one.expected:
                return True
            if is_same(result.state, one.result.state):
                return False
            state = result.state
        return False


def _touched(spot: Spot) -> set[str]:
    names = {spot.result.state.step}
    if spot.state is not None:
        names.add(spot.state.step)
    for event in spot.result.events:
        if isinstance(event, Moved):
            names |= {event.step, event.target}
    return names


_COMPARED = tuple(f.name for f in fields(State) if f.compare and f.name not in {"values", "said"})


def is_same(one: State, other: State) -> bool:
    """Whether two walks stand alike: whatever can matter later is the same."""
    if any(getattr(one, name) != getattr(other, name) for name in _COMPARED):
        return False
    return one.values.keys() == other.values.keys() and all(
        _came_to(taken) == _came_to(other.values[name]) for name, taken in one.values.items()
    )


def _came_to(taken: Taken) -> tuple[object, ...]:
    verdict = taken.verdict
    if verdict is None:
        return (taken.reading,)
    return (taken.reading, verdict.kind, verdict.outcome)


def judged(court: Court, chosen: Iterable[Mutant]) -> list[tuple[Mutant, str]]:
    """Judge mutants one after another."""
    return [(mutant, court.judge(mutant)) for mutant in chosen]


def score(results: Iterable[tuple[Mutant, str]]) -> float:
    """Give the share of mutants that a conversation finds out, of those that load."""
    verdicts = [verdict for _, verdict in results if verdict != REFUSED]
    return verdicts.count(KILLED) / len(verdicts) if verdicts else 1.0
