"""Resistance between any two points of a network, by nodal analysis."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

LEAST_OHMS = 1e-6
"""A joint without resistance still has this much, so that its conductance is a number."""


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistance between two nodes, in ohms."""

    first: str
    second: str
    ohms: float


class ResistiveNetwork:
    """All effective resistances of a network, worked out once.

    Args:
        resistors: its parts; parallel ones are allowed.
    """

    def __init__(self, resistors: Iterable[Resistor]) -> None:
        parts = tuple(resistors)
        self._islands = _islands(parts)
        self._effective: dict[int, NDArray[np.float64]] = {}
        self._place: dict[str, int] = {}
        for number, nodes in enumerate(self._islands):
            order = {node: position for position, node in enumerate(nodes)}
            self._place |= order
            inside = [part for part in parts if part.first in order]
            self._effective[number] = _effective_ohms(inside, order)
        self._island_of = {n: i for i, nodes in enumerate(self._islands) for n in nodes}

    def ohms(self, first: str, second: str) -> float | None:
        """Give the resistance between two nodes; None where no path joins them."""
        if first == second:
            return 0.0
        island = self._island_of.get(first)
        if island is None or island != self._island_of.get(second):
            return None
        return float(self._effective[island][self._place[first], self._place[second]])


def _islands(parts: Iterable[Resistor]) -> list[list[str]]:
    """Group the nodes that are joined."""
    islands: list[list[str]] = []
    for part in parts:
        touched = [i for i in islands if part.first in i or part.second in i]
        merged = [node for island in touched for node in island]
        merged += [n for n in (part.first, part.second) if n not in merged]
        islands = [i for i in islands if i not in touched] + [merged]
    return islands


def _effective_ohms(parts: Iterable[Resistor], order: dict[str, int]) -> NDArray[np.float64]:
    """Give the table of effective resistances of one island, node by node.

    With the last node grounded, R(a, b) = X(a, a) + X(b, b) - 2 X(a, b), where X is the inverse of
    the conductance matrix.

    Source: nodal analysis, textbook.
    """
    size = len(order)
    conductance = np.zeros((size, size))
    for part in parts:
        a, b = order[part.first], order[part.second]
        siemens = 1 / max(part.ohms, LEAST_OHMS)
        conductance[[a, b], [a, b]] += siemens
        conductance[[a, b], [b, a]] -= siemens
    inverse = np.zeros((size, size))
    inverse[:-1, :-1] = np.linalg.inv(conductance[:-1, :-1])
    diagonal = np.diag(inverse)
    return diagonal[:, None] + diagonal[None, :] - (inverse + inverse.T)
