"""Steps to go on from, each once and in walking order, so that what flows on arrives but once."""

from collections.abc import Mapping
from heapq import heappop, heappush
from typing import TypeAlias

from assistant.flow.linked import Flow
from assistant.flow.ways import State

_Place: TypeAlias = tuple[int, str, State]


class Ahead:
    """The steps that something new arrived at and has not been carried on from.

    They are gone through in walking order; what arrives behind that waits for the next round, so
    that a circle is gone round as a whole and not step by step.

    Args:
        order: the place of each step in walking order.
    """

    def __init__(self, order: Mapping[str, int]) -> None:
        self._order = order
        self._round: list[_Place] = []
        self._next: list[_Place] = []
        self._waiting: set[tuple[str, State]] = set()
        self._at = 0

    def __bool__(self) -> bool:
        """Whether there is a step to go on from."""
        return bool(self._waiting)

    def put(self, name: str, state: State = ()) -> None:
        """Go on from a step, reached with some conditions; once, where it waits by now."""
        if (name, state) not in self._waiting:
            self._waiting.add((name, state))
            place = self._order[name]
            heappush(self._round if place >= self._at else self._next, (place, name, state))

    def take(self) -> tuple[str, State]:
        """Give the first of them in walking order."""
        if not self._round:
            self._round, self._next = self._next, self._round
        self._at, name, state = heappop(self._round)
        self._waiting.discard((name, state))
        return name, state


def walking_order(flow: Flow) -> dict[str, int]:
    """Give the reached steps their places: each before those it leads to, circles apart."""
    seen: set[str] = set()
    left: list[str] = []
    begun = (flow.make_live, flow.make_safe, flow.start)
    ahead = [(name, False) for name in begun if name is not None]
    while ahead:
        name, is_left = ahead.pop()
        if is_left:
            left.append(name)
        elif name in flow.steps and name not in seen:
            seen.add(name)
            ahead.append((name, True))
            ahead.extend((target, False) for _, target in flow.steps[name].exits())
    return {name: place for place, name in enumerate(reversed(left))}
