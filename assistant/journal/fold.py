"""State made from a journal's lines, one reducer a kind of event."""

from collections.abc import Callable, Iterable, Mapping
from typing import TypeAlias, TypeVar

from assistant.journal.line import Line

State = TypeVar("State")
Reducer: TypeAlias = Callable[[State, Line], State]
"""Gives the state after a line from the state before it; changes neither."""


def fold(lines: Iterable[Line], reducers: Mapping[str, Reducer[State]], initial: State) -> State:
    """Go through lines in order and give the last state; kinds without a reducer change nothing.

    Args:
        lines: the lines of a journal.
        reducers: one function a kind of event.
        initial: the state before the first line.
    """
    state = initial
    for line in lines:
        reducer = reducers.get(line.kind)
        if reducer is not None:
            state = reducer(state, line)
    return state
