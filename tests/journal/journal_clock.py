"""A clock for the tests of the journal."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta


def ticking() -> Callable[[], datetime]:
    """Give a clock that goes 1.25 s forward at each look."""
    times: Iterator[datetime] = (
        datetime(2026, 2, 3, 14, 5, 6, 789_000, tzinfo=UTC) + timedelta(milliseconds=1250 * tick)
        for tick in range(1_000_000)
    )
    return lambda: next(times)
