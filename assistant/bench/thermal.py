"""How warm the windings get, when the overload opens, and when it closes again.

One lump: `C dT/dt = P - G (T - surroundings)`, with the loss P taken as constant in one state.
"""

import math
from dataclasses import dataclass

from assistant.bench.machine import Running
from assistant.bench.unit import Unit

HOT_TO_HOLD_C = 75.0
"""A shell above this cannot be held (common practice, no source)."""
SHELL_SHARE = 0.6
"""Rise of the shell for each kelvin of the winding (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Warming:
    """The temperature of the windings while one state lasts.

    Args:
        start_c: at the beginning.
        steady_c: where it goes.
        constant_s: time constant, seconds.
    """

    start_c: float
    steady_c: float
    constant_s: float

    def after(self, seconds: float) -> float:
        """Give the temperature after a time, C."""
        return self.steady_c + (self.start_c - self.steady_c) * math.exp(-seconds / self.constant_s)

    def seconds_to(self, celsius: float) -> float | None:
        """Give the time until a temperature is reached; None where it never is."""
        whole, rest = self.start_c - self.steady_c, celsius - self.steady_c
        if (self.start_c - celsius) * (celsius - self.steady_c) < 0 or rest == 0:
            return None
        return self.constant_s * math.log(whole / rest)


def warming(unit: Unit, running: Running) -> Warming:
    """Give how the windings warm while the motor does this."""
    heat = unit.motor.heat
    air = (running.cfm / unit.blower.cfm + running.rpm / unit.motor.plate.rpm) / 2
    given_off = heat.still_w_per_k + (heat.moving_w_per_k - heat.still_w_per_k) * air
    lost = running.winding_watts + running.cage_watts
    return Warming(
        unit.winding_c, unit.surroundings_c + lost / given_off, heat.joules_per_k / given_off
    )


def cooling(unit: Unit, from_c: float) -> Warming:
    """Give how the windings cool with the power off."""
    heat = unit.motor.heat
    return Warming(from_c, unit.surroundings_c, heat.joules_per_k / heat.still_w_per_k)


def opens_after_s(unit: Unit, running: Running) -> float | None:
    """Give the time until the overload opens, seconds; None where it never does."""
    return warming(unit, running).seconds_to(unit.motor.overload.opens_c)


def closes_after_s(unit: Unit) -> float | None:
    """Give the time from opening until it has cooled enough to close, seconds."""
    overload = unit.motor.overload
    return cooling(unit, overload.opens_c).seconds_to(overload.closes_c)


def after_waiting(unit: Unit, minutes: float) -> Unit:
    """Give the unit as it is after standing without power for some minutes."""
    winding_c = cooling(unit, unit.winding_c).after(minutes * 60)
    overload = unit.motor.overload
    if overload.state == "tripped" and winding_c <= overload.closes_c:
        overload = overload.model_copy(update={"state": "closed"})
    heat = unit.motor.heat.model_copy(update={"winding_c": winding_c})
    motor = unit.motor.model_copy(update={"heat": heat, "overload": overload})
    return unit.model_copy(update={"motor": motor})


def shell_c(unit: Unit, winding_c: float) -> float:
    """Give the temperature of the shell under windings this warm, C."""
    return unit.surroundings_c + SHELL_SHARE * (winding_c - unit.surroundings_c)
