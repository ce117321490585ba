"""A circuit on alternating current, some of whose branches sit in the field of a rotor.

A branch between nodes p and q with impedance Z and turns (a, b) on the two axes obeys
`v(p) - v(q) + emf = Z I + a E1 + b E2`, where E1 and E2 are what the field induces in one turn of
each axis. The network is solved once, for its sources and for E1 = 1 and E2 = 1; the ampere turns
of both axes are then `F = F0 + G E`, and whatever the rotor does is a two by two problem.

Source: modified nodal analysis, textbook; figures agree with ngspice (check values C090 to C094).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Phasors = NDArray[np.complex128]
GROUND = "ground"
LEAK_SIEMENS = 1e-9
"""From each node to ground, so that a node without any other path has a potential."""


@dataclass(frozen=True, slots=True)
class Element:
    """One branch of the circuit.

    Args:
        name: its own name.
        first: node where its current enters.
        second: node where it leaves.
        impedance: ohms at the line's frequency.
        turns: on the main and the auxiliary axis.
        emf: volts it adds from first to second, as a source.
    """

    name: str
    first: str
    second: str
    impedance: complex
    turns: tuple[float, float] = (0.0, 0.0)
    emf: complex = 0.0


@dataclass(frozen=True, slots=True)
class Solved:
    """A circuit solved for any field.

    Args:
        elements: its branches.
        nodes: its nodes but ground.
        responses: rows of branch currents, then node volts; columns for the sources, E1, E2.
    """

    elements: tuple[Element, ...]
    nodes: tuple[str, ...]
    responses: Phasors

    @property
    def turns(self) -> NDArray[np.float64]:
        """Give the turns, two rows, a column a branch."""
        return np.array([e.turns for e in self.elements], dtype=float).T

    @property
    def ampere_turns(self) -> tuple[Phasors, Phasors]:
        """Give F0, two, and G, two by two."""
        currents = self.responses[: len(self.elements)]
        seen = self.turns @ currents
        return seen[:, 0], seen[:, 1:]

    def currents(self, field: Phasors) -> dict[str, complex]:
        """Give the current of each branch, for the induced volts of both axes."""
        values = self._values(field)[: len(self.elements)]
        return {e.name: complex(v) for e, v in zip(self.elements, values, strict=True)}

    def volts(self, field: Phasors) -> dict[str, complex]:
        """Give the volts of each node to ground, for the induced volts of both axes."""
        values = self._values(field)[len(self.elements) :]
        return {n: complex(v) for n, v in zip(self.nodes, values, strict=True)} | {GROUND: 0j}

    def _values(self, field: Phasors) -> Phasors:
        return np.asarray(self.responses @ np.array([1.0, field[0], field[1]]))


def solve_circuit(elements: Sequence[Element]) -> Solved:
    """Solve a circuit for its sources and for a unit field on each axis.

    Args:
        elements: its branches; one that leads nowhere carries nothing.
    """
    nodes = tuple(sorted({n for e in elements for n in (e.first, e.second)} - {GROUND}))
    place = {node: len(elements) + i for i, node in enumerate(nodes)}
    size = len(elements) + len(nodes)
    matrix = np.zeros((size, size), dtype=complex)
    sources = np.zeros((size, 3), dtype=complex)
    for row, element in enumerate(elements):
        matrix[row, row] = element.impedance
        sources[row] = (element.emf, -element.turns[0], -element.turns[1])
        for node, sign in ((element.first, 1), (element.second, -1)):
            if node in place:
                matrix[row, place[node]] -= sign
                matrix[place[node], row] += sign
    for at in place.values():
        matrix[at, at] = LEAK_SIEMENS
    return Solved(tuple(elements), nodes, np.asarray(np.linalg.solve(matrix, sources), complex))
