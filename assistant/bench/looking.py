"""Looking up what eyes, ears and hands tell of a unit, whatever its kind."""

from collections.abc import Callable, Mapping
from typing import Protocol, TypeVar

from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.flow.problems import nearest


class Seen(Protocol):
    """A unit in one state that can be looked at."""

    @property
    def unit(self) -> Equipment:
        """The unit, with its faults."""
        ...


SeenT = TypeVar("SeenT", bound=Seen)


def look(stand: SeenT, observation: str, observers: Mapping[str, Callable[[SeenT], str]]) -> str:
    """Give the value of an observation; the unit's own `looks` come first.

    Args:
        stand: the unit in one state.
        observation: an observation of the vocabulary.
        observers: what tells each observation of such a unit.

    Raises:
        BenchError: for an observation the bench does not know.
    """
    unit = stand.unit
    if observation in unit.looks:
        return unit.looks[observation]
    if observation not in observers:
        hint = nearest(observation, observers)
        raise BenchError(f"The bench cannot tell '{observation}' of {unit.unit}.", hint)
    return observers[observation](stand)


def first_of(*cases: tuple[bool, str], healthy: str) -> str:
    """Give the value of the first case that is so.

    Args:
        cases: whether it is so, and the value it is seen by; the plainest first.
        healthy: the value where none is.
    """
    return next((value for is_so, value in cases if is_so), healthy)
