"""How readings are said and asked."""

from decimal import Decimal

import pytest

from assistant.errors import RungsideError
from assistant.quantity import OverLimit, Quantity, Unit
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.phrasing import ask_back, either_or, say_digits, say_reading


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        ("17.4", Unit.OHM, ("seventeen point four ohms",)),
        ("7.5", Unit.OHM, ("seven point five ohms", "seven and a half ohms")),
        ("7.50", Unit.OHM, ("seven point five zero ohms",)),
        ("1", Unit.OHM, ("one ohm",)),
        ("240", Unit.OHM, ("two hundred forty ohms", "two hundred and forty ohms")),
        (
            "208",
            Unit.VOLT,
            ("two hundred eight volts", "two hundred and eight volts", "two oh eight volts"),
        ),
        ("220", Unit.VOLT, ("two hundred twenty volts", "two hundred and twenty volts")),
        ("-0.3", Unit.IN_WC, ("minus zero point three inches",)),
    ],
)
def test_ways_of_saying(value: str, unit: Unit, said: tuple[str, ...]) -> None:
    """The preferred way comes first; ambiguous short forms are left out."""
    assert said == say_reading(Quantity(Decimal(value), unit))


def test_digit_by_digit() -> None:
    """Digits are said one at a time, OL as its letters."""
    assert "one seven point five" == say_digits(Quantity(Decimal("17.5"), Unit.OHM))
    assert "O L" == say_digits(OverLimit(Unit.OHM))


def test_asking_back() -> None:
    """A question repeats the digits and the unit."""
    reading = Quantity(Decimal("17.5"), Unit.OHM)
    assert "One seven point five ohms?" == ask_back(reading)
    assert "O L, over limit?" == ask_back(OverLimit(Unit.OHM))
    assert "Seventeen point five, or O L?" == either_or((reading, OverLimit(Unit.OHM)))


def test_unknown_expectation_is_one_sentence() -> None:
    """A name that is no unit raises the room's error, which lists the right ones."""
    with pytest.raises(RungsideError, match="'parsec' is nothing to expect") as caught:
        expectation_for_unit("parsec")
    assert "microfarad" in caught.value.hint
