"""A verdict and what it is judged from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from assistant.flow.judging import VerdictKind
from assistant.flow.vocabulary import Meter
from assistant.quantity import (
    FORMS,
    RESISTANCE_UNITS,
    Quantity,
    Reading,
    Unit,
    in_fit_unit,
    unit_words,
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a rule says of a reading.

    Args:
        kind: pass, marginal, fail or cannot tell.
        outcome: the rule's own word for it, as `low`.
        measured: the reading, for the eye.
        expected: the limits, for the eye.
        reason: one sentence, speakable.
        low: the lower limit in the reading's unit, for drawing the band.
        high: the upper limit.
    """

    kind: VerdictKind
    outcome: str
    measured: str
    expected: str
    reason: str
    low: Decimal | None = None
    high: Decimal | None = None


EXACT = Meter(say="as printed", percent=Decimal(0), counts=Decimal(0))
"""The meter of a value that was read off a label: no error."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a rule may look at.

    Args:
        reading: the reading to judge.
        known: values taken earlier, by name; one that was not taken is not there.
        meter: the meter setting the reading was taken with.
        plausible: lowest and highest that a meter can show here, in the reading's unit; None where
            nothing was measured.
    """

    reading: Reading
    known: Mapping[str, Reading] = field(default_factory=dict)
    meter: Meter = EXACT
    plausible: tuple[Decimal, Decimal] | None = None

    @property
    def unit(self) -> Unit:
        """Give the reading's unit."""
        return self.reading.unit

    @property
    def is_implausible(self) -> bool:
        """Whether it is less or more than can be here; OL is no number."""
        reading, span = self.reading, self.plausible
        if span is None or not isinstance(reading, Quantity):
            return False
        return not span[0] <= reading.value <= span[1]

    @property
    def is_above_plausible(self) -> bool:
        """Whether it is more than can be here."""
        reading, span = self.reading, self.plausible
        return isinstance(reading, Quantity) and span is not None and reading.value > span[1]


def resolution(value: Decimal) -> Decimal:
    """Give one count of the last digit shown: 17.5 has 0.1, 240 has 1.

    A whole number is often said for short ("ten" for 10.0), so three figures are assumed of it:
    10 has 0.1, as any meter shows it (common practice, no source).
    """
    exponent = int(value.as_tuple().exponent)
    if exponent < 0:
        return Decimal(1).scaleb(exponent)
    figures = value.adjusted() if value else 0
    return Decimal(1).scaleb(min(figures - 2, 0) if figures else -1)


def meter_error(meter: Meter, reading: Quantity) -> Decimal:
    """Give the meter's own error for a reading, in the reading's unit.

    Percent of the reading, counts of its last digit, and what leads add on ohms
    (+-(0.9 % + 2 counts) plus 0.1 to 0.4 ohm; common practice, no source).
    """
    error = abs(reading.value) * meter.percent / 100 + meter.counts * resolution(reading.value)
    return error + lead_error(meter, reading.unit)


def lead_error(meter: Meter, unit: Unit) -> Decimal:
    """Give what leads and clips add to a reading, in the reading's unit; nothing but to ohms."""
    if not meter.lead_ohms or unit not in RESISTANCE_UNITS:
        return Decimal(0)
    return Quantity(meter.lead_ohms, Unit.OHM).to(unit).value


def plain(value: Decimal) -> Decimal:
    """Give a number with no trailing zeros and at most four figures past the first, for limits."""
    rounded = +value.quantize(Decimal("0.0001")) if value != value.to_integral() else value
    short = rounded.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral() else short


def band_text(low: Decimal | None, high: Decimal | None, unit: Unit) -> str:
    """Write limits for the eye: `14.1 to 15.9 µF`, `at least 20 V`, `exactly 5 µF`."""
    if low is not None and high is not None:
        if low == high:
            return f"exactly {_limit(low, unit)}"
        least, most = (in_fit_unit(Quantity(limit, unit)) for limit in (low, high))
        is_like = not low or least.unit is most.unit
        words = f"{plain(least.value):f}" if is_like else _limit(low, unit)
        return f"{words} to {_limit(high, unit)}"
    if low is not None:
        return f"at least {_limit(low, unit)}"
    return f"at most {_limit(high or Decimal(0), unit)}"


def _limit(value: Decimal, unit: Unit) -> str:
    shown = in_fit_unit(Quantity(value, unit))
    return f"{plain(shown.value):f} {FORMS[shown.unit].symbol}".strip()


def spoken_limit(value: Decimal, unit: Unit) -> str:
    """Say a limit: the number as digits, which the voice reads, and the unit's word."""
    return f"{plain(value):f} {unit_words(unit, value)}".strip()


def digits(reading: Quantity) -> str:
    """Write a reading for a sentence: its digits; a large resistance as "1.8 megohms".

    Whoever hears a reason takes bare digits for the unit of the limit that follows.
    """
    shown = in_fit_unit(reading)
    return f"{reading.value:f}" if shown.unit is reading.unit else with_words(shown)


def with_words(reading: Quantity) -> str:
    """Write a reading for a sentence with its unit's word: "17.5 ohms", "1.8 megohms"."""
    shown = in_fit_unit(reading)
    return f"{shown.value:f} {unit_words(shown.unit, shown.value)}".strip()
