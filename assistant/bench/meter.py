"""What a meter makes of a true value: its ranges, its digits, its error, over limit."""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np

from assistant.quantity import OverLimit, Quantity, Reading, Unit


@dataclass(frozen=True, slots=True)
class Range:
    """One range of a meter.

    Args:
        limit: the highest value it shows, in its unit.
        places: decimal places shown.
        unit: the unit it shows.
        scale: how many of the base unit are one of the range's.
    """

    limit: float
    places: int
    unit: Unit
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter on one setting.

    Args:
        ranges: finest first; above the last it shows over limit.
        percent: its error, percent of the reading.
        counts: its error, counts of the last digit shown.
        lead_ohms: what its leads and clips add.
    """

    ranges: tuple[Range, ...]
    percent: float
    counts: int
    lead_ohms: float = 0.0

    def show(self, true: float | None, chance: np.random.Generator | None = None) -> Reading:
        """Give what it shows.

        Args:
            true: the value at its probes, in the setting's base unit; None is no path at all.
            chance: draws an error evenly within the meter's own; None: the meter is exact.

        Returns:
            A quantity with the digits shown, or over limit.
        """
        if true is None:
            return OverLimit(self.ranges[0].unit)
        seen = true + self.lead_ohms
        for one in self.ranges:
            if abs(seen) / one.scale <= one.limit:
                return _shown(seen / one.scale, one, self.error(seen / one.scale, one), chance)
        return OverLimit(self.ranges[0].unit)

    def error(self, value: float, one: Range) -> float:
        """Give the error the maker allows at a value on a range, in the range's unit."""
        return abs(value) * self.percent / 100 + self.counts * 10.0**-one.places


def _shown(value: float, one: Range, error: float, chance: np.random.Generator | None) -> Quantity:
    if chance is not None:
        value += float(chance.uniform(-error, error))
    if value < 0 and one.unit is not Unit.IN_WC:
        value = 0.0
    step = Decimal(1).scaleb(-one.places)
    digits = Decimal(repr(value)).quantize(step, rounding=ROUND_HALF_EVEN)
    return Quantity(abs(digits) if digits.is_zero() else digits, one.unit)


def _plain(unit: Unit, *ranges: tuple[float, int]) -> tuple[Range, ...]:
    return tuple(Range(limit, places, unit) for limit, places in ranges)


_KILO, _MEGA = 1e3, 1e6
METERS = {
    "ohms": Meter(
        (
            Range(599.9, 1, Unit.OHM),
            Range(5.999, 3, Unit.KILOHM, _KILO),
            Range(59.99, 2, Unit.KILOHM, _KILO),
            Range(599.9, 1, Unit.KILOHM, _KILO),
            Range(5.999, 3, Unit.MEGOHM, _MEGA),
            Range(40.00, 2, Unit.MEGOHM, _MEGA),
        ),
        0.9,
        2,
        0.1,
    ),
    "capacitance": Meter(
        _plain(Unit.MICROFARAD, (5.999, 3), (59.99, 2), (599.9, 1), (5999.0, 0)), 1.0, 2
    ),
    "volts_ac": Meter(_plain(Unit.VOLT, (59.99, 2), (599.9, 1), (750.0, 0)), 1.0, 3),
    "volts_low_z": Meter(_plain(Unit.VOLT, (59.99, 2), (599.9, 1)), 2.0, 5),
    "volts_dc": Meter(_plain(Unit.VOLT, (59.99, 2), (599.9, 1), (1000.0, 0)), 0.5, 2),
    "clamp_amps": Meter(_plain(Unit.AMPERE, (59.99, 2), (599.9, 1)), 2.0, 5),
    "watts": Meter(
        _plain(
            Unit.WATT,
            (5999.0, 0),
        ),
        3.0,
        5,
    ),
    "manometer": Meter(_plain(Unit.IN_WC, (19.99, 2)), 2.0, 1),
    "thermometer": Meter(_plain(Unit.DEG_F, (999.9, 1)), 1.0, 1),
    "tachometer": Meter(_plain(Unit.RPM, (9999.0, 0)), 0.5, 1),
    "insulation_tester": Meter(_plain(Unit.MEGOHM, (9.99, 2), (99.9, 1), (999.0, 0)), 5.0, 2),
}
"""Settings by their names in the vocabulary; ranges and digits of a 6000-count meter, error as the
vocabulary has it (common practice, no source)."""
