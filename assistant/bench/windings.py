"""The winding network as it is now: warm, and with what is open taken out."""

from collections.abc import Iterator

from assistant.bench.motor import WINDING_ROLES, Branch, Motor
from assistant.bench.unit import Unit
from assistant.trade.windings import resistance_at_temperature_ohms

RATED_C = 25.0
"""Temperature at which a unit file gives its ohms."""


def present_branches(unit: Unit) -> tuple[Branch, ...]:
    """Give the branches that carry current now, with the ohms they have at this temperature.

    Open branches and an overload that has let go are left out. A broken lead ends at a node of its
    own, so that its terminal hangs free.
    """
    return tuple(_warmed(unit))


def is_overload_open(unit: Unit) -> bool:
    """Tell whether the thermal overload has let go: for good, or until it has cooled."""
    return unit.motor.overload.state != "closed"


def _warmed(unit: Unit) -> Iterator[Branch]:
    motor, is_tripped = unit.motor, is_overload_open(unit)
    warm = resistance_at_temperature_ohms(1.0, RATED_C, unit.winding_c)
    for branch in motor.branches:
        if branch.is_open or (is_tripped and branch.role == "overload"):
            continue
        ratio = motor.impedance * warm if branch.role in WINDING_ROLES else 1.0
        yield branch.model_copy(
            update={
                "ohms": branch.ohms * ratio,
                "leakage": branch.leakage * motor.impedance,
                "between": tuple(_inside(motor, node) for node in branch.between),
            }
        )


def _inside(motor: Motor, node: str) -> str:
    """Name the motor's end of a lead: another one than its terminal when the lead is broken."""
    broken = {motor.leads[place] for place in motor.broken_leads if place in motor.leads}
    return f"{node}_inside" if node in broken else node
