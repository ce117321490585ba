"""What a meter shows on a bench: a quantity at one or two places, with the meter's own digits."""

import numpy as np

from assistant.bench.errors import BenchError
from assistant.bench.kind import Probed
from assistant.bench.meter import METERS
from assistant.flow.model import QuantityKind
from assistant.flow.problems import nearest
from assistant.quantity import Reading


def take(
    stand: Probed,
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
    true = stand.read(kind, first, second or _OTHER.get(kind, ""))
    return METERS[meter].show(true, chance)


_OTHER = {QuantityKind.STATIC_PRESSURE: "room", QuantityKind.INSULATION: "frame"}
"""What a probe is read against where a step names one place."""
