"""Confirms what a conversation is now asked back for and was not when it was recorded.

A `yes` is put in behind each such answer, so that the conversation goes on as it did. Forks and
asides, which count the turns before them, count it too.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from conversation import Aside, Conversation, Told, hear

from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk


@dataclass(frozen=True, slots=True)
class _Line:
    """A conversation from the first words on.

    Args:
        states: where the walk stands after so many recorded turns, and what was put in behind.
        counts: how many turns that are by now.
    """

    states: tuple[State, ...]
    counts: tuple[int, ...]


class Confirming:
    """The conversations of one flow, each with what it must now confirm.

    Args:
        walk: the flow's walk.
        conversations: by name, as recorded.
    """

    def __init__(self, walk: Walk, conversations: Mapping[str, Conversation]) -> None:
        self._walk, self._recorded = walk, conversations
        self._lines: dict[str, _Line] = {}
        self._made: dict[str, Conversation] = {}

    def all(self) -> dict[str, Conversation]:
        """Give all of them, by name."""
        for name in self._recorded:
            self._line(name)
        return {name: self._made[name] for name in self._recorded}

    def _line(self, name: str) -> _Line:
        if name not in self._lines:
            self._lines[name] = self._confirmed(self._recorded[name])
        return self._lines[name]

    def _confirmed(self, one: Conversation) -> _Line:
        base = self._line(one.walk) if one.walk else _Line((self._walk.begin().state,), (0,))
        states, counts = list(base.states[: one.shared + 1]), list(base.counts[: one.shared + 1])
        turns: list[Told] = []
        for told in one.turns:
            state, given = self._given(states[-1], told)
            turns += given
            states.append(state)
            counts.append(counts[-1] + len(given))
        line = _Line(tuple(states), tuple(counts))
        self._made[one.name] = replace(
            one,
            turns=tuple(turns),
            shared=counts[one.shared],
            asides=tuple(self._aside(aside, line) for aside in one.asides),
        )
        return line

    def _aside(self, aside: Aside, line: _Line) -> Aside:
        rows = []
        for row in aside.answers:
            state, turns = line.states[aside.after], list[Told]()
            for told in row:
                state, given = self._given(state, told)
                turns += given
            rows.append(tuple(turns))
        return replace(aside, after=line.counts[aside.after], answers=tuple(rows))

    def _given(self, state: State, told: Told) -> tuple[State, list[Told]]:
        """Give where a turn leads, and the turns that it takes now."""
        after = hear(self._walk, state, told["heard"]).state
        was_asked = told.get("turn", "").startswith(Turn.CONFIRM.value)
        if after.turn is not Turn.CONFIRM or state.turn is Turn.CONFIRM or was_asked:
            return after, [told]
        return hear(self._walk, after, "yes").state, [told, {"heard": "yes"}]
