"""The room's error, and the checks that keep nonsense out of the formulas."""

from assistant.errors import RungsideError


class TradeError(RungsideError):
    """A value that a formula of the trade cannot take, or a formula that does not exist."""


LARGEST = 1e12
"""No meter or nameplate shows more, in any unit used here; keeps every formula finite."""
SMALLEST = 1e-12
"""The least that still counts as above zero."""

ABSOLUTE_ZERO_C = -273.15
ABSOLUTE_ZERO_F = -459.67

_UNIT_WORDS = {
    "uf": "microfarads",
    "nf": "nanofarads",
    "volts": "volts",
    "amps": "amps",
    "ohms": "ohms",
    "megohms": "megohms",
    "watts": "watts",
    "kw": "kilowatts",
    "va": "volt amps",
    "hz": "hertz",
    "rpm": "r p m",
    "hp": "horsepower",
    "seconds": "seconds",
    "percent": "percent",
    "inwc": "inches of water",
    "cfm": "cubic feet a minute",
    "fpm": "feet a minute",
    "ft": "feet",
    "in": "inches",
    "f": "degrees Fahrenheit",
    "c": "degrees Celsius",
    "tons": "tons",
    "btuh": "Btu an hour",
    "joules": "joules",
}


def need_above_zero(**values: float) -> None:
    """Refuse a value that is not above zero.

    Args:
        **values: the values by their names; a name's last word is its unit.

    Raises:
        TradeError: for the first value that is not a number above zero.
    """
    for name, value in values.items():
        if not SMALLEST <= value <= LARGEST:
            raise _refusal(name, value, "above zero")


def need_zero_or_more(**values: float) -> None:
    """Refuse a value below zero.

    Args:
        **values: the values by their names; a name's last word is its unit.

    Raises:
        TradeError: for the first value that is not a number, zero or more.
    """
    for name, value in values.items():
        if not 0 <= value <= LARGEST:
            raise _refusal(name, value, "zero or more")


def need_within(low: float, high: float, **values: float) -> None:
    """Refuse a value outside two limits, both included.

    Args:
        low: lowest value allowed.
        high: highest value allowed.
        **values: the values by their names; a name's last word is its unit.

    Raises:
        TradeError: for the first value outside.
    """
    for name, value in values.items():
        if not low <= value <= high:
            raise _refusal(name, value, f"from {low:g} to {high:g}")


def _refusal(name: str, value: float, wanted: str) -> TradeError:
    unit = _UNIT_WORDS.get(name.rpartition("_")[2], "")
    return TradeError(
        f"{name} is {value:g}, which this formula cannot take.",
        f"Give {f'{unit}, ' if unit else 'a number '}{wanted}.",
    )
