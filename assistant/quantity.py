"""What a meter can show: a number with a unit, or over limit.

The digits are kept as they were said (`Decimal`), so 15.05 stays 15.05 and 17.50 stays 17.50.
Conversions go through pint; formatting is for the eye (`17.5 Ω`) and for the ear
("seventeen point five ohms").
"""

import re
from dataclasses import dataclass
from decimal import Context, Decimal
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

from assistant.errors import RungsideError

if TYPE_CHECKING:
    from pint import UnitRegistry


class QuantityError(RungsideError):
    """A number or unit that no meter shows."""


class Unit(StrEnum):
    """The units a reading or a nameplate value may have; the value is its name in files."""

    OHM = "ohm"
    KILOHM = "kilohm"
    MEGOHM = "megohm"
    MICROFARAD = "microfarad"
    VOLT = "volt"
    AMPERE = "ampere"
    WATT = "watt"
    VOLT_AMPERE = "volt_ampere"
    HERTZ = "hertz"
    RPM = "rpm"
    HORSEPOWER = "horsepower"
    IN_WC = "in_wc"
    PASCAL = "pascal"
    DEG_F = "deg_f"
    DEG_C = "deg_c"
    CFM = "cfm"
    PERCENT = "percent"
    SECOND = "second"
    INCH = "inch"
    FOOT = "foot"
    TON = "ton"
    COUNT = "count"


class Current(StrEnum):
    """What a meter is set to; on the wrong one it shows about nothing where there is voltage."""

    AC = "ac"
    DC = "dc"


@dataclass(frozen=True, slots=True)
class UnitForm:
    """How one unit is written, said and known to pint."""

    symbol: str
    singular: str
    plural: str
    pint_name: str


FORMS: dict[Unit, UnitForm] = {
    Unit.OHM: UnitForm("Ω", "ohm", "ohms", "ohm"),
    Unit.KILOHM: UnitForm("kΩ", "kilohm", "kilohms", "kiloohm"),
    Unit.MEGOHM: UnitForm("MΩ", "megohm", "megohms", "megaohm"),
    Unit.MICROFARAD: UnitForm("µF", "microfarad", "microfarads", "microfarad"),
    Unit.VOLT: UnitForm("V", "volt", "volts", "volt"),
    Unit.AMPERE: UnitForm("A", "amp", "amps", "ampere"),
    Unit.WATT: UnitForm("W", "watt", "watts", "watt"),
    Unit.VOLT_AMPERE: UnitForm("VA", "volt amp", "volt amps", "volt_ampere"),
    Unit.HERTZ: UnitForm("Hz", "hertz", "hertz", "hertz"),
    Unit.RPM: UnitForm("rpm", "r p m", "r p m", "revolutions_per_minute"),
    Unit.HORSEPOWER: UnitForm("hp", "horsepower", "horsepower", "horsepower"),
    Unit.IN_WC: UnitForm("in. w.c.", "inch", "inches", "in_wc"),
    Unit.PASCAL: UnitForm("Pa", "pascal", "pascals", "pascal"),
    Unit.DEG_F: UnitForm("°F", "degree", "degrees", "degF"),
    Unit.DEG_C: UnitForm("°C", "degree Celsius", "degrees Celsius", "degC"),
    Unit.CFM: UnitForm("cfm", "c f m", "c f m", "foot ** 3 / minute"),
    Unit.PERCENT: UnitForm("%", "percent", "percent", "percent"),
    Unit.SECOND: UnitForm("s", "second", "seconds", "second"),
    Unit.INCH: UnitForm("in.", "inch", "inches", "inch"),
    Unit.FOOT: UnitForm("ft", "foot", "feet", "foot"),
    Unit.TON: UnitForm("ton", "ton", "tons", "refrigeration_ton"),
    Unit.COUNT: UnitForm("", "", "", "dimensionless"),
}

_FIFTEEN_FIGURES = Context(prec=15)

RESISTANCE_UNITS = (Unit.OHM, Unit.KILOHM, Unit.MEGOHM)


@lru_cache(maxsize=1)
def _registry() -> "UnitRegistry[Decimal]":
    from pint import UnitRegistry

    registry: UnitRegistry[Decimal] = UnitRegistry(non_int_type=Decimal, cache_folder=None)
    registry.define(
        "in_wc = 249.08891 * pascal"
    )  # 25.4 mm of water at 1000 kg/m3, standard gravity
    return registry


_PREFIX = {Unit.OHM: 0, Unit.KILOHM: 3, Unit.MEGOHM: 6}
"""Powers of ten of the ohms, known without waking pint in the middle of a walk; a test holds them
against pint."""


@lru_cache(maxsize=512)
def _scale(source: Unit, target: Unit) -> tuple[Decimal, Decimal]:
    """Factor and offset from one unit to another."""
    if source in _PREFIX and target in _PREFIX:
        return Decimal(1).scaleb(_PREFIX[source] - _PREFIX[target]), Decimal(0)
    return _scale_by_pint(source, target)


def _scale_by_pint(source: Unit, target: Unit) -> tuple[Decimal, Decimal]:
    from pint.errors import DimensionalityError

    registry = _registry()
    names = FORMS[source].pint_name, FORMS[target].pint_name
    try:
        zero, one = (
            Decimal(registry.Quantity(Decimal(n), names[0]).to(names[1]).magnitude) for n in (0, 1)
        )
    except DimensionalityError as error:
        raise QuantityError(
            f"{source.value} cannot be turned into {target.value}.",
            "Give a reading in a unit of the same kind.",
        ) from error
    return one - zero, zero


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, the digits kept as they were said.

    Args:
        value: the number in `unit`; must be finite.
        unit: its unit.

    Raises:
        QuantityError: when the number is not finite.
    """

    value: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        """Refuse what no meter shows."""
        if not self.value.is_finite():
            raise QuantityError(f"{self.value} is not a number a meter shows.", "Say a number.")

    def to(self, unit: Unit) -> "Quantity":
        """Give the same quantity in another unit of its kind.

        Raises:
            QuantityError: when the units measure different things.
        """
        if unit is self.unit:
            return self
        factor, offset = _scale(self.unit, unit)
        return Quantity(_tidy(self.value * factor + offset), unit)

    @property
    def is_over_limit(self) -> bool:
        """A number is never over limit."""
        return False


@dataclass(frozen=True, slots=True)
class OverLimit:
    """The meter showed OL: more than its range, or no path at all.

    Args:
        unit: what the meter was set to measure.
    """

    unit: Unit

    @property
    def is_over_limit(self) -> bool:
        """Always true."""
        return True


Reading: TypeAlias = Quantity | OverLimit


def _tidy(value: Decimal) -> Decimal:
    """Drop the digits that only the arithmetic of a conversion made (past 15 figures)."""
    rounded = _FIFTEEN_FIGURES.plus(value)
    if rounded == rounded.to_integral():
        return rounded.quantize(Decimal(1))
    return rounded.normalize()


def quantity(value: str | int | Decimal, unit: Unit | str) -> Quantity:
    """Make a quantity from digits and a unit's name.

    Args:
        value: the digits, as `"15.05"`; a float is not taken, so that no digit is invented.
        unit: a `Unit` or its name in files.

    Raises:
        QuantityError: when either cannot be read.
    """
    try:
        return Quantity(Decimal(value), Unit(unit))
    except (ArithmeticError, ValueError) as error:
        raise QuantityError(
            f"'{value} {unit}' is not a quantity.",
            "Write digits and a unit, as '15.05 microfarad'.",
        ) from error


_LARGE = ((Unit.MEGOHM, Decimal(1_000_000)), (Unit.KILOHM, Decimal(10_000)))
"""From so many ohms on a resistance is read in the larger unit."""


def in_fit_unit(reading: Quantity) -> Quantity:
    """Give a reading in the unit people read it in: 1800000 ohms are 1.8 megohms.

    Args:
        reading: anything; only a large resistance changes.
    """
    if reading.unit not in RESISTANCE_UNITS or reading.unit is Unit.MEGOHM:
        return reading
    ohms = abs(reading.to(Unit.OHM).value)
    return next((reading.to(unit) for unit, least in _LARGE if ohms >= least), reading)


def format_for_eye(reading: Reading) -> str:
    """Write a reading for a screen: `17.5 Ω`, `1.8 MΩ`, `OL`."""
    if isinstance(reading, OverLimit):
        return "OL"
    shown = in_fit_unit(reading)
    digits = f"{shown.value:f}".replace("-", "\N{MINUS SIGN}")
    return f"{digits} {FORMS[shown.unit].symbol}".strip()


_STOPPED = "|".join(re.escape(one.symbol) for one in FORMS.values() if one.symbol.endswith("."))
_TWO_STOPS = re.compile(rf"(\d (?:{_STOPPED}))\.(?!\.)")


def with_one_stop(text: str) -> str:
    """Give a sentence without a second full stop behind a unit that ends in one: `in. w.c.`.

    Args:
        text: sentences for the eye.
    """
    return _TWO_STOPS.sub(r"\1", text)


_ONES = [
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen"),
]
_TENS = [
    *("zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty"),
    "ninety",
]
_HUNDRED, _THOUSAND, _MILLION = 100, 1000, 1_000_000


def cardinal_words(number: int) -> str:
    """Say a whole number: 240 is "two hundred forty".

    Args:
        number: 0 to 999 999 999.
    """
    if number >= _MILLION:
        return _joined(number, _MILLION, "million")
    if number >= _THOUSAND:
        return _joined(number, _THOUSAND, "thousand")
    if number >= _HUNDRED:
        return _joined(number, _HUNDRED, "hundred")
    if number < len(_ONES):
        return _ONES[number]
    tens, ones = divmod(number, 10)
    return _TENS[tens] + (f" {_ONES[ones]}" if ones else "")


def _joined(number: int, size: int, name: str) -> str:
    head, rest = divmod(number, size)
    return f"{cardinal_words(head)} {name}" + (f" {cardinal_words(rest)}" if rest else "")


def number_words(value: Decimal) -> str:
    """Say a number with its digits as they stand: 15.05 is "fifteen point zero five"."""
    sign, digits = ("minus ", f"{-value:f}") if value.is_signed() else ("", f"{value:f}")
    whole, _, decimals = digits.partition(".")
    said = sign + cardinal_words(int(whole))
    if decimals:
        said += " point " + " ".join(_ONES[int(digit)] for digit in decimals)
    return said


def digit_words(value: Decimal) -> str:
    """Say a number one digit at a time: 17.5 is "one seven point five"."""
    names = {"-": "minus", ".": "point"} | {str(n): _ONES[n] for n in range(10)}
    return " ".join(names[mark] for mark in f"{value:f}")


def unit_words(unit: Unit, value: Decimal | None = None) -> str:
    """Say a unit, in the singular only for exactly one."""
    form = FORMS[unit]
    return form.singular if value is not None and abs(value) == 1 else form.plural


def format_for_ear(reading: Reading) -> str:
    """Say a reading: "seventeen point five ohms", "over limit"."""
    if isinstance(reading, OverLimit):
        return "over limit"
    return f"{number_words(reading.value)} {unit_words(reading.unit, reading.value)}".strip()
