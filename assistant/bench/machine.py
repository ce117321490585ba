"""The motor on its load: does it start, what speed does it settle at, what does it draw there."""

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from assistant.bench.air import Load, part_drops, wheel_load
from assistant.bench.circuit import Solved, solve_circuit
from assistant.bench.motor import WINDING_ROLES
from assistant.bench.rotor import Cage, Gap, Reals, synchronous_radians
from assistant.bench.unit import Unit
from assistant.bench.wiring import LINE_HZ, circuit_elements

_RADIANS = math.pi / 30
_STEPS = 256
_ROUNDS = 3
NO_CURRENT = 1e-3
"""Amps below which a motor is simply dead."""


@dataclass(frozen=True, slots=True)
class Running:
    """All that can be read on a powered motor.

    Args:
        rpm: its speed; 0 when it stands.
        is_backwards: it turns against the arrow.
        amps: line current.
        watts: line power.
        power_factor: 0 where no current flows.
        currents: amps of each element of the circuit.
        volts: phasor of each node to ground.
        cfm: flow of air.
        static: total drop of the duct, inches of water.
        torque: on the shaft, newton metres.
        start_torque: at rest, newton metres, above 0 with the arrow.
        shaft_watts: power given to the shaft.
        cage_watts: lost in the rotor.
        winding_watts: lost in the windings.
        wire_watts: lost in all else that has resistance.
    """

    rpm: float
    is_backwards: bool
    amps: float
    watts: float
    power_factor: float
    currents: dict[str, float]
    volts: dict[str, complex] = field(repr=False)
    cfm: float
    static: float
    torque: float
    start_torque: float
    shaft_watts: float
    cage_watts: float
    winding_watts: float
    wire_watts: float

    def volts_between(self, first: str, second: str) -> float:
        """Give what a voltmeter shows between two nodes of the circuit; 0 where one is dead."""
        return abs(self.volts.get(first, 0j) - self.volts.get(second, 0j))


class Machine:
    """A unit's motor, line and wheel; each answer is worked out once.

    Args:
        unit: the unit.
        taps: place names of the live taps.
        is_contact_closed: whether the fan relay has closed.
    """

    def __init__(self, unit: Unit, taps: tuple[str, ...], is_contact_closed: bool = True) -> None:
        self.unit = unit
        self._solved: Solved = solve_circuit(circuit_elements(unit, taps, is_contact_closed))
        self._free, self._coupling = self._solved.ampere_turns
        motor, hz = unit.motor, unit.supply.hz
        per_hz = hz / LINE_HZ * motor.impedance
        self._cage = Cage(
            motor.rotor.magnetizing * per_hz,
            motor.rotor.ohms * motor.impedance,
            motor.rotor.leakage * per_hz,
            synchronous_radians(motor.plate.poles, hz),
        )

    @property
    def synchronous_rpm(self) -> float:
        """Give the speed of the fields."""
        return self._cage.synchronous / _RADIANS

    @cached_property
    def _loads(self) -> dict[bool, Load]:
        """Give what the wheel asks of the shaft, with and against the arrow."""
        return {way: wheel_load(self.unit, is_backwards=way) for way in (False, True)}

    @cached_property
    def start_torque(self) -> float:
        """Give the torque at rest, newton metres, above 0 with the arrow."""
        return float(self.torque(np.zeros(1))[0])

    def torque(self, rpms: Reals) -> Reals:
        """Give the torque of the field at speeds with the arrow, newton metres."""
        return self._cage.torque(self._gap(rpms))

    def _gap(self, rpms: Reals) -> Gap:
        return self._cage.gap(1 - rpms / self.synchronous_rpm, self._free, self._coupling)

    @cached_property
    def breakaway(self) -> float:
        """Give the torque that moves the shaft from rest, newton metres."""
        held = self.unit.motor.bearings
        return held.breakaway + held.extra + self.unit.blower.rubs

    @cached_property
    def running(self) -> Running:
        """Give what it does when power is put on it at rest."""
        if self.unit.motor.bearings.is_seized or abs(self.start_torque) <= self.breakaway:
            return self.at_speed(0.0)
        way = math.copysign(1.0, self.start_torque)
        return self.at_speed(way * self._settles(way))

    @cached_property
    def pushed(self) -> Running:
        """Give what it does when it was spun by hand with power on."""
        if self.unit.motor.bearings.is_seized:
            return self.at_speed(0.0)
        return self.at_speed(self._settles(1.0))

    def _settles(self, way: float) -> float:
        """Give the lowest speed at which torque falls to the load, 0 where there is none.

        A motor that is spun passes the speeds below it, where the load is still the greater.
        """
        low, high = 0.0, self.synchronous_rpm
        for _ in range(_ROUNDS):
            speeds = np.linspace(low, high, _STEPS)
            excess = self._excess(speeds, way)
            falls = np.flatnonzero((excess[:-1] > 0) & (excess[1:] <= 0))
            if not len(falls):
                return 0.0
            low, high = float(speeds[falls[0]]), float(speeds[falls[0] + 1])
        return (low + high) / 2

    def _excess(self, speeds: Reals, way: float) -> Reals:
        held = self.unit.motor.bearings
        drag = held.running + held.extra + self.unit.blower.rubs
        load = self._loads[way < 0]
        return way * self.torque(way * speeds) - load.nm_per_rpm2 * speeds**2 - drag

    def at_speed(self, rpm: float) -> Running:
        """Give what it draws when held at a speed; below 0 is against the arrow."""
        gap = self._gap(np.array([rpm]))
        solved, induced = self._solved, gap.induced[0]
        currents, volts = solved.currents(induced), solved.volts(induced)
        watts = sum((e.emf * currents[e.name].conjugate()).real for e in solved.elements)
        line = currents.get("joint", 0j)
        torque = float(self._cage.torque(gap)[0])
        shaft = torque * rpm * _RADIANS
        winding, wire = self._losses(currents)
        apparent = abs(line) * self.unit.supply.volts
        cfm = self._loads[rpm < 0].cfm_per_rpm * abs(rpm)
        return Running(
            rpm=abs(rpm),
            is_backwards=rpm < 0,
            amps=abs(line),
            watts=watts,
            power_factor=watts / apparent if abs(line) > NO_CURRENT else 0.0,
            currents={name: abs(current) for name, current in currents.items()},
            volts=volts,
            cfm=cfm,
            static=sum(part_drops(self.unit, cfm).values()),
            torque=abs(torque),
            start_torque=self.start_torque,
            shaft_watts=shaft,
            cage_watts=float(gap.forward[0] + gap.backward[0]) - shaft,
            winding_watts=winding,
            wire_watts=wire,
        )

    def _losses(self, currents: dict[str, complex]) -> tuple[float, float]:
        roles = {b.name: b.role for b in self.unit.motor.branches}
        winding = wire = 0.0
        for element in self._solved.elements:
            lost = abs(currents[element.name]) ** 2 * element.impedance.real
            if roles.get(element.name) in WINDING_ROLES:
                winding += lost
            else:
                wire += lost
        return winding, wire
