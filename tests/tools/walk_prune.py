"""Conversations thinned out: what takes no way and finds out no mutant that another does is gone.

One of each fault of the bench and those with facts of the trade stay; of the rest the shortest
that are needed.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from conversation import Aside, Conversation, Stage
from killing import Court, Spot
from mutants import mutants
from ways import Way, home, taken, wanted

from assistant.walk.events import Found
from assistant.walk.state import Turn


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of turns: a conversation's own, or other answers beside it."""

    number: int
    owner: str
    is_own: bool
    goals: frozenset[tuple[str, str]]
    turns: int


class _Rows:
    """Which rows stay.

    Args:
        court: has the rows, in order.
        stage: has the conversations.
    """

    def __init__(self, court: Court, stage: Stage) -> None:
        self._court, self._flow = court, stage.walk.flow
        self.rows = [self._row(*one) for one in _numbered(stage)]
        self._own = {row.owner: row.number for row in self.rows if row.is_own}
        self.kept: set[int] = set()

    def _row(self, number: int, owner: str, is_own: bool) -> _Row:
        spots = self._court.rows[number]
        return _Row(number, owner, is_own, frozenset(self._goals(spots)), len(spots))

    def _goals(self, spots: list[Spot]) -> Iterator[tuple[str, str]]:
        for spot in spots:
            yield from taken(self._flow, spot.result.events)
            state = spot.result.state
            if state.turn is Turn.ANSWER:
                yield "stands", home(self._flow, state.step)
            yield from (("found", e.finding) for e in spot.result.events if isinstance(e, Found))

    def keep(self, number: int) -> None:
        """Keep a row, and the conversation that it stands beside."""
        self.kept |= {number, self._own[self.rows[number].owner]}

    def cover(self, ways: frozenset[Way]) -> None:
        """Keep few rows that together reach all that all reach."""
        left = {
            goal
            for row in self.rows
            for goal in row.goals
            if goal in ways or goal[0] in {"stands", "found"}
        }
        for number in self.kept:
            left -= self.rows[number].goals
        while left:
            best = max(self.rows, key=lambda row: len(row.goals & left) / self.cost(row.number))
            left -= best.goals | self.rows[self._own[best.owner]].goals
            self.keep(best.number)

    def cost(self, number: int) -> int:
        """Give how many turns more there are when a row is kept, and one."""
        row = self.rows[number]
        own = self._own[row.owner]
        more = {number, own} - self.kept
        return 1 + sum(self.rows[one].turns for one in more)


def _numbered(stage: Stage) -> Iterator[tuple[int, str, bool]]:
    number = 0
    for name, one in stage.conversations.items():
        for place in range(1 + sum(len(aside.answers) for aside in one.asides)):
            yield number, name, place == 0
            number += 1


def prune(stage: Stage, is_kept: Callable[[Conversation], bool]) -> list[Conversation]:
    """Give the conversations that are needed, without the other answers that are not.

    Args:
        stage: the flow with all its conversations.
        is_kept: whether a conversation's own turns stay in any case.
    """
    court = Court(stage)
    rows = _Rows(court, stage)
    for row in rows.rows:
        one = stage.conversations[row.owner]
        if row.is_own and is_kept(one):
            rows.keep(row.number)
    rows.cover(wanted(stage.walk.flow))
    for mutant in mutants(stage.walk.flow):
        killer = court.killer(mutant, rows.cost)
        if killer is not None:
            rows.keep(killer)
    bases = {stage.conversations[rows.rows[number].owner].walk for number in rows.kept}
    for row in rows.rows:
        if row.is_own and row.owner in bases:
            rows.keep(row.number)
    return list(_thinned(stage, rows))


def _thinned(stage: Stage, rows: _Rows) -> Iterator[Conversation]:
    number = 0
    for one in stage.conversations.values():
        is_needed = number in rows.kept
        number += 1
        asides = []
        for aside in one.asides:
            count = len(aside.answers)
            kept = [aside.answers[at] for at in range(count) if number + at in rows.kept]
            number += count
            if kept:
                asides.append(Aside(aside.after, aside.at, tuple(kept)))
        if is_needed:
            yield replace(one, asides=tuple(asides))
