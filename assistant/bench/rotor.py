"""The squirrel cage as two revolving fields.

Any field of a single-phase winding is two that revolve against each other. Each sees the cage at
its own slip, s and 2 - s:

    Zf = 1/2 jXm || (R2/s + jX2)          Zb = 1/2 jXm || (R2/(2 - s) + jX2)

Two windings a quarter turn apart, carrying F1 and F2 ampere turns, are induced
`E1 = (Zf + Zb) F1 - j (Zf - Zb) F2` and `E2 = (Zf + Zb) F2 + j (Zf - Zb) F1`. The power across the
gap is `Re(Zf) |F1 - jF2|^2` forward and `Re(Zb) |F1 + jF2|^2` backward; torque is their difference
over the synchronous speed, and s and 2 - s of them stay in the cage.

Source: double revolving field theory, textbooks of electric machinery (from memory); figures agree
with check values C090 to C096.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assistant.bench.circuit import Phasors

Reals = NDArray[np.float64]
LEAST_SLIP = 1e-9


@dataclass(frozen=True, slots=True)
class Gap:
    """What crosses the air gap at some slips.

    Args:
        induced: volts in one turn of each axis, a row a slip.
        forward: watts of the forward field.
        backward: watts of the backward field.
    """

    induced: Phasors
    forward: Reals
    backward: Reals


@dataclass(frozen=True, slots=True)
class Cage:
    """A rotor at one frequency.

    Args:
        magnetizing: reactance of the gap at that frequency, ohms.
        ohms: of the cage.
        leakage: its leakage reactance at that frequency, ohms.
        synchronous: radians a second of the fields.
    """

    magnetizing: float
    ohms: float
    leakage: float
    synchronous: float

    def impedances(self, slips: Reals) -> tuple[Phasors, Phasors]:
        """Give Zf and Zb at each slip, ohms."""
        slips = np.clip(slips, LEAST_SLIP, 2 - LEAST_SLIP)
        forward, backward = self._half(self.ohms / slips), self._half(self.ohms / (2 - slips))
        return forward, backward

    def _half(self, ohms: Reals) -> Phasors:
        cage = ohms + 1j * self.leakage
        return np.asarray(0.5j * self.magnetizing * cage / (cage + 1j * self.magnetizing))

    def gap(self, slips: Reals, free: Phasors, coupling: Phasors) -> Gap:
        """Give what crosses the gap, for stator ampere turns `free + coupling E`.

        Args:
            slips: as many as wanted.
            free: ampere turns of both axes with no field.
            coupling: what a field changes in them, two by two.
        """
        zf, zb = self.impedances(slips)
        rotor = np.empty((len(slips), 2, 2), dtype=complex)
        rotor[:, 0, 0] = rotor[:, 1, 1] = zf + zb
        rotor[:, 1, 0] = 1j * (zf - zb)
        rotor[:, 0, 1] = -rotor[:, 1, 0]
        system = np.eye(2) - coupling @ rotor
        turns = np.linalg.solve(system, np.broadcast_to(free[:, None], (len(slips), 2, 1)))[..., 0]
        induced = (rotor @ turns[..., None])[..., 0]
        first, second = turns[:, 0], turns[:, 1]
        return Gap(
            induced,
            zf.real * np.abs(first - 1j * second) ** 2,
            zb.real * np.abs(first + 1j * second) ** 2,
        )

    def torque(self, gap: Gap) -> Reals:
        """Give newton metres, above 0 in the forward direction."""
        return (gap.forward - gap.backward) / self.synchronous


def synchronous_radians(poles: int, hz: float) -> float:
    """Give the synchronous speed in radians a second: 4 pi f / poles (identity)."""
    return 4 * math.pi * hz / poles
