"""The picture of a reading: its place against its limits, at, just inside and just outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_accounts import a_value

from assistant.report.band import WIDTH, lay_out


@given(
    st.decimals(-1000, 1000, places=3),
    st.decimals(-1000, 1000, places=3),
    st.decimals(-2000, 2000, places=3),
)
def test_the_mark_agrees_with_the_words(first: object, second: object, value: object) -> None:
    """The mark is on the line, in the box exactly when the value is allowed."""
    low, high = sorted((str(first), str(second)), key=float)
    band = lay_out(a_value(value=str(value), low=low, high=high))
    assert band is not None
    assert 0 < band.mark < WIDTH
    assert (band.left <= band.mark <= band.right) == band.is_inside


@pytest.mark.parametrize(
    ("value", "low", "high", "mark"),
    [
        ("14.1", "14.1", "15.9", 40),
        ("14.09", "14.1", "15.9", 34),
        ("15.9", "14.1", "15.9", 80),
        ("15.91", "14.1", "15.9", 86),
        ("10", "10", "10", 60),
        ("9.99", "10", "10", 34),
        ("10.01", "10", "10", 86),
    ],
)
def test_a_value_just_outside_stands_clear(value: str, low: str, high: str, mark: float) -> None:
    """At a limit on its line, just outside clear of it, also where only one value is allowed."""
    band = lay_out(a_value(value=value, low=low, high=high))
    assert band is not None
    assert mark == band.mark


def test_a_value_far_off_stands_at_the_end() -> None:
    """A value a thousand times too large is at the end of the line and marked as beyond it."""
    band = lay_out(a_value(value="17500", low="14", high="20"))
    assert band is not None
    assert (True, True) == (band.is_beyond, band.mark > band.right)


def test_over_limit_is_off_the_scale() -> None:
    """OL has no place on the line: it is marked as beyond it, and said so."""
    band = lay_out(a_value(value="", over_limit=True))
    assert band is not None
    assert (True, "over limit, off the scale") == (band.is_beyond, band.words)


@pytest.mark.parametrize(("low", "high"), [("", ""), ("x", "20"), ("14", "|")])
def test_no_picture_without_limits(low: str, high: str) -> None:
    """Without limits, or with limits that are no numbers, there is no picture."""
    assert lay_out(a_value(low=low, high=high)) is None


def test_limits_are_written_short() -> None:
    """Limits are written without a tail of zeros."""
    band = lay_out(a_value(low="14.1000", high="15.90"))
    assert band is not None
    assert ("14.1", "15.9") == (band.low, band.high)
