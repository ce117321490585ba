"""The picture of a reading: its place against its limits, at, just inside and just outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_accounts import a_value

from assistant.report.band import WIDTH, lay_out


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
        ("0", "", "0", "inside the limit"),
        ("-0.5", "-1", "1", "inside the limits"),
    ],
)
def test_where_a_value_lies(value: str, low: str, high: str, words: str) -> None:
    """The words follow the digits exactly; limits themselves are inside."""
    band = lay_out(a_value(value=value, low=low, high=high))
    assert band is not None
    assert words == band.words


@given(
    st.decimals(-1000, 1000, places=3),
    st.decimals(-1000, 1000, places=3),
    st.decimals(-2000, 2000, places=3),
)
def test_the_mark_agrees_with_the_words(first: object, second: object, value: object) -> None:
    """The mark is on the line, in the box exactly when the words say so."""
    low, high = sorted((str(first), str(second)), key=float)
    band = lay_out(a_value(value=str(value), low=low, high=high))
    assert band is not None
    assert 0 < band.mark < WIDTH
    is_drawn_inside = band.left - 0.1 <= band.mark <= band.right + 0.1
    if band.words == "inside the limits":
        assert is_drawn_inside
    if not is_drawn_inside:
        assert band.words != "inside the limits"


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
