"""Intervals, keys and classes of time: against published figures, and at their edges."""

from datetime import date
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.shop.intervals import shared_deviations, wilson
from assistant.shop.keys import (
    first_key,
    month_keys,
    next_month,
    pace_of,
    pace_seconds,
    session_key,
)
from assistant.shop.totals import edges, whole_months


@pytest.mark.parametrize(
    ("hits", "tries", "least", "most"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_is_the_published_one(
    hits: int, tries: int, least: float, most: float
) -> None:
    """Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3."""
    assert pytest.approx((least, most), abs=5e-5) == wilson(hits, tries)


def test_an_interval_of_nothing_is_everything() -> None:
    """Without a count nothing is known; at both ends the share itself is inside."""
    assert (0.0, 1.0) == wilson(0, 0)
    assert 0.0 == wilson(0, 7)[0]
    assert 1.0 == wilson(7, 7)[1]


def test_more_comparisons_need_more_certainty() -> None:
    """One comparison at 95 % is 1.96 deviations, ten share the 5 %."""
    assert pytest.approx(1.96, abs=0.0005) == shared_deviations(1)
    assert pytest.approx(1 - 0.0025) == NormalDist().cdf(shared_deviations(10))


@given(st.datetimes(min_value=None).filter(lambda moment: moment.year > 1970))
def test_a_session_stands_in_its_month(moment: object) -> None:
    """A key lies in the range of its month, and in that of its day."""
    started = f"{moment:%Y-%m-%dT%H:%M:%S}.123Z".rjust(24, "0")
    key = session_key("any", started)
    if started < "9999-12":
        low, high = month_keys(started[:7])
        assert low <= key < high
    assert first_key(started[:10]) <= key


def test_sessions_without_a_time_stand_before_all_others() -> None:
    """Their keys are below 0, and so is their month's range."""
    key = session_key("any", "")
    low, high = month_keys("")
    assert low <= key < high <= 0
    assert key != session_key("other", "")


def test_december_is_followed_by_january() -> None:
    """A year ends."""
    assert ("2025-01", "2024-12") == (next_month("2024-12"), next_month("2024-11"))


@given(st.floats(0.2, 100_000))
def test_the_middle_of_a_class_is_near_what_is_in_it(seconds: float) -> None:
    """A quarter of an octave is 19 % wide, so its middle is within 9.1 %."""
    assert pytest.approx(seconds, rel=0.0906) == pace_seconds(pace_of(seconds))


@given(st.dates(date(2020, 1, 1), date(2024, 1, 1)), st.integers(1, 500))
def test_edges_and_whole_months_make_up_a_range(since: date, days: int) -> None:
    """Every day of a range is in one whole month or one edge, and no other day is."""
    end = date.fromordinal(since.toordinal() + days)
    first, after = whole_months(since, end)
    assert first is not None
    assert after is not None
    parts = [(one.toordinal(), other.toordinal()) for one, other in edges(since, end)]
    if first < after:
        parts.append((first.toordinal(), after.toordinal()))
        assert 1 == first.day == after.day
    covered = sorted(day for low, high in parts for day in range(low, high))
    assert list(range(since.toordinal(), end.toordinal())) == covered
