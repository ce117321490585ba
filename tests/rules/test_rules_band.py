"""Where a reading stands against its limits: at, just inside and just outside."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.rules.band import HIGH_AT, LOW_AT, Side, stand


@pytest.mark.parametrize(
    ("value", "low", "high", "words"),
    [
        ("14.1", "14.1", "15.9", "inside the limits"),
        ("14.09", "14.1", "15.9", "below the limits"),
        ("14.11", "14.1", "15.9", "inside the limits"),
        ("15.9", "14.1", "15.9", "inside the limits"),
        ("15.91", "14.1", "15.9", "above the limits"),
        ("20", "20", "", "inside the limit"),
        ("19.9", "20", "", "below the limit"),
        ("2", "", "2", "inside the limit"),
        ("2.1", "", "2", "above the limit"),
        ("10", "10", "10", "inside the limits"),
        ("9.99", "10", "10", "below the limits"),
        ("0", "", "0", "inside the limit"),
        ("-0.5", "-1", "1", "inside the limits"),
    ],
)
def test_where_a_value_lies(value: str, low: str, high: str, words: str) -> None:
    """The words follow the digits exactly; limits themselves are inside."""
    standing = stand(value, low, high)
    assert standing is not None
    assert words == standing.words
    assert words.startswith("inside") == standing.is_inside


@pytest.mark.parametrize(
    ("value", "low", "high", "thirds"),
    [
        ("7", "7", "8", "1"),
        ("7.5", "7", "8", "1.5"),
        ("8", "7", "8", "2"),
        ("9", "7", "8", "3"),
        ("0", "20", "", "0"),
        ("40", "20", "", "2"),
        ("0", "", "2", "0"),
        ("3", "", "2", "3"),
        ("10", "10", "10", "1.5"),
        ("9.9", "10", "10", "0.9"),
        ("10.1", "10", "10", "2.1"),
        ("0.1", "0", "0", "3"),
    ],
)
def test_the_place_on_the_line(value: str, low: str, high: str, thirds: str) -> None:
    """Worked by hand: linear through the limits, with one limit from zero, alone in the middle."""
    standing = stand(value, low, high)
    assert standing is not None
    assert Decimal(thirds) == standing.thirds
    assert not standing.is_off_the_line


@given(
    st.decimals(-1000, 1000, places=3),
    st.decimals(-1000, 1000, places=3),
    st.decimals(-2000, 2000, places=3),
)
def test_the_place_agrees_with_the_side(first: Decimal, second: Decimal, value: Decimal) -> None:
    """A place is between those of the limits exactly when the value is allowed."""
    low, high = sorted((first, second))
    standing = stand(str(value), str(low), str(high))
    assert standing is not None
    assert (LOW_AT <= standing.thirds <= HIGH_AT) == standing.is_inside
    assert (value < low) == (standing.side is Side.BELOW)
    assert (value > high) == (standing.side is Side.ABOVE)


@pytest.mark.parametrize(("value", "is_off"), [("6", False), ("5.9", True), ("9.1", True)])
def test_a_value_far_off_is_off_the_line(value: str, is_off: bool) -> None:
    """Past an end of the line is told from on it."""
    standing = stand(value, "7", "8")
    assert standing is not None
    assert is_off == standing.is_off_the_line


def test_over_limit_is_off_the_scale() -> None:
    """OL has no place on the line, whatever digits stand with it."""
    standing = stand("?", "7", "8", over_limit=True)
    assert standing is not None
    assert (True, "over limit, off the scale") == (standing.is_off_the_line, standing.words)
    assert (Side.OVER_LIMIT, None) == (standing.side, standing.crossed)


@pytest.mark.parametrize("damaged", ["x", "|", "NaN", "sNaN", "Infinity", "1E+16", "1E-16"])
def test_what_no_meter_shows_stands_nowhere(damaged: str) -> None:
    """A record may claim any number; one that no meter shows is not placed, wherever it is."""
    places = (stand(damaged, "7", "8"), stand("7", damaged, "8"), stand("7", "7", damaged))
    assert (None, None, None) == places


@pytest.mark.parametrize(("low", "high"), [("", ""), ("8", "7")])
def test_without_limits_it_stands_nowhere(low: str, high: str) -> None:
    """Without limits, or with limits that cross and so allow nothing, there is no place."""
    assert stand("7", low, high) is None
