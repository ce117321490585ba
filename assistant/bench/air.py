"""The air: what the blower moves against the duct, the shaft power it takes, static by port.

Pressure rises with the square of speed and so does the duct's drop, so the share of flow to speed
is the same at every speed: it is found once, and the load on the shaft is `torque ~ rpm^2`.

Source: fan laws and system curve, handbook; the curve's form is ours, fitted by no maker's fan.
"""

import math
from dataclasses import dataclass

from assistant.bench.unit import Blower, Duct, Unit
from assistant.trade.air import pressure_ratio

WATTS_PER_HP = 745.69987
_RADIANS = math.pi / 30
BACKWARDS_HEAD = 0.5
"""What a forward-curved wheel keeps of its head against the arrow (common practice, no source)."""
PARTS = ("grille", "return_duct", "filter", "coil", "trunk", "supply")


@dataclass(frozen=True, slots=True)
class Load:
    """What the wheel asks of the shaft, by the fan laws.

    Args:
        cfm_per_rpm: flow for each rpm.
        nm_per_rpm2: torque for each rpm squared.
    """

    cfm_per_rpm: float
    nm_per_rpm2: float

    def torque(self, rpm: float) -> float:
        """Give the torque at a speed, newton metres."""
        return self.nm_per_rpm2 * rpm * rpm


def wheel_load(unit: Unit, *, is_backwards: bool = False) -> Load:
    """Give the load of the unit's wheel on its duct; a loose wheel is none.

    Args:
        unit: the unit.
        is_backwards: the wheel turns against the arrow.
    """
    blower = unit.blower
    if blower.is_loose:
        return Load(0.0, 0.0)
    head = blower.head * (BACKWARDS_HEAD if is_backwards else 1.0)
    flow = _flow_share(blower, head, total_drop(unit.duct))
    horsepower = (blower.idle_hp * head + blower.flow_hp * flow**2) * _density(unit)
    torque = horsepower * WATTS_PER_HP / (blower.rpm * _RADIANS)
    return Load(flow * blower.cfm / blower.rpm, torque / blower.rpm**2)


def _density(unit: Unit) -> float:
    """Give the air's density as a share of sea level's; pressure and power fall with it."""
    return pressure_ratio(unit.altitude_ft)


def _flow_share(blower: Blower, head: float, drop: float) -> float:
    """Give the flow at the blower's own speed as a share of the design flow.

    Where `shutoff head^2 - (shutoff - static) x^2 = drop x^2`.
    """
    return math.sqrt(blower.shutoff * head**2 / (blower.shutoff - blower.static + drop))


def total_drop(duct: Duct) -> float:
    """Give the drop of the whole duct at the design flow, inches of water.

    A gap after the coil lets part of the flow miss the supply duct, one before the filter the
    return duct.
    """
    return sum(_drops(duct).values())


def _drops(duct: Duct) -> dict[str, float]:
    """Give each part's drop at the design flow of the blower."""
    drops: dict[str, float] = {part: getattr(duct, part) * duct.share for part in PARTS}
    for part in ("trunk", "supply"):
        drops[part] *= (1 - duct.leak) ** 2
    for part in ("grille", "return_duct"):
        drops[part] *= (1 - duct.return_leak) ** 2
    return drops


def part_drops(unit: Unit, cfm: float) -> dict[str, float]:
    """Give each part's drop at a flow, inches of water."""
    square = (cfm / unit.blower.cfm) ** 2 * _density(unit)
    return {part: drop * square for part, drop in _drops(unit.duct).items()}


def static_pressures(unit: Unit, cfm: float) -> dict[str, float]:
    """Give the static pressure to the room at each port of the vocabulary, inches of water."""
    drop = part_drops(unit, cfm)
    supply, returned = drop["trunk"] + drop["supply"], drop["grille"] + drop["return_duct"]
    return {
        "room": 0.0,
        "behind_grille": -drop["grille"],
        "return_plenum": -returned,
        "blower_inlet": -returned - drop["filter"],
        "before_coil": drop["coil"] + supply,
        "supply_plenum": supply,
        "trunk_end": drop["supply"],
    }
