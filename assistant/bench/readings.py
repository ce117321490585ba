"""What a meter shows on a bench: a quantity at one or two places, with the meter's own digits."""

from collections.abc import Callable

import numpy as np

from assistant.bench.errors import BenchError
from assistant.bench.meter import METERS
from assistant.bench.stand import Stand
from assistant.flow.model import QuantityKind
from assistant.flow.problems import nearest
from assistant.quantity import Reading

_True = Callable[[Stand, str, str], float | None]


def take(
    stand: Stand,
    kind: QuantityKind,
    first: str,
    second: str | None,
    meter: str,
    *,
    chance: np.random.Generator | None = None,
) -> Reading:
    """Give what the meter shows.

    Resistance, capacitance and insulation are read with the power off and the leads apart, stored
    volts once the capacitor is bled, all else in the stand's own state.

    Args:
        stand: the unit in one state.
        kind: what is measured.
        first: place of the first probe, or the only place.
        second: place of the second probe.
        meter: setting, by its name in the vocabulary.
        chance: draws the meter's error; None: the meter is exact.

    Raises:
        BenchError: for an unknown meter.
    """
    if meter not in METERS:
        raise BenchError(f"The bench has no meter '{meter}'.", nearest(meter, METERS))
    true = TRUE_VALUES[kind](stand, first, second or _OTHER.get(kind, ""))
    return METERS[meter].show(true, chance)


def _shell_f(stand: Stand, first: str, second: str) -> float:
    del second
    celsius = stand.shell_c if first == "motor_shell" else stand.unit.surroundings_c
    return celsius * 9 / 5 + 32


_OTHER = {QuantityKind.STATIC_PRESSURE: "room", QuantityKind.INSULATION: "frame"}
TRUE_VALUES: dict[QuantityKind, _True] = {
    QuantityKind.RESISTANCE: Stand.ohms,
    QuantityKind.CAPACITANCE: Stand.microfarads,
    QuantityKind.VOLTAGE: Stand.volts,
    QuantityKind.STORED_VOLTAGE: lambda _stand, _first, _second: 0.0,
    QuantityKind.CURRENT: lambda stand, first, _second: stand.amps(first),
    QuantityKind.POWER: lambda stand, _first, _second: stand.running.watts,
    QuantityKind.SPEED: lambda stand, _first, _second: stand.running.rpm,
    QuantityKind.STATIC_PRESSURE: Stand.static,
    QuantityKind.TEMPERATURE: _shell_f,
    QuantityKind.INSULATION: lambda stand, _first, _second: stand.megohms(),
}
"""One row a quantity, in the base unit of its meters: ohms, microfarads, volts, amps, watts, rpm,
inches of water, degrees F, megohms."""
