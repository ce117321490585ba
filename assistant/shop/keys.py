"""Keys, months and classes of time: small arithmetic that every index does the same way."""

import hashlib
import math
from datetime import UTC, datetime

_SPARE = 22
"""Bits that keep sessions of one millisecond apart."""
_NAME_BITS = 62
_STEPS_AN_OCTAVE = 4
"""A class of time is a quarter of an octave wide, so a median from classes is within 9 %."""
_SHORTEST = 0.125


def session_key(name: str, started: str) -> int:
    """Give a session's key: milliseconds since 1970, then bits of its name.

    Two sessions that began in one millisecond share a key once in four million.

    Args:
        name: the session's id.
        started: the first line's time; empty where it is not known, which gives a key below 0.
    """
    bits = int.from_bytes(hashlib.sha256(name.encode("utf-8", "replace")).digest()[:8])
    if not started:
        return -1 - (bits >> (64 - _NAME_BITS))
    return (milliseconds(started) << _SPARE) | (bits & ((1 << _SPARE) - 1))


def milliseconds(time: str) -> int:
    """Give the milliseconds since 1970 of a line's time; a time before then counts as 1970."""
    moment = datetime.fromisoformat(time)
    return max(0, round(moment.timestamp() * 1000))


def first_key(day: str) -> int:
    """Give the least key of a day.

    Args:
        day: `2026-02-03`, in UTC.
    """
    return milliseconds(f"{day}T00:00:00+00:00") << _SPARE


def month_keys(month: str) -> tuple[int, int]:
    """Give the least key of a month and the least key after it.

    Args:
        month: `2026-02`; empty for the sessions whose time is not known.
    """
    if not month:
        return -(1 << 63), 0
    return first_key(f"{month}-01"), first_key(f"{next_month(month)}-01")


def next_month(month: str) -> str:
    """Give the month after one."""
    year, number = int(month[:4]), int(month[5:])
    return f"{year + number // 12:04d}-{number % 12 + 1:02d}"


def month_of(moment: datetime) -> str:
    """Give a moment's month, in UTC."""
    return moment.astimezone(UTC).strftime("%Y-%m")


def pace_of(seconds: float) -> int:
    """Give the class of a time; 0 is the shortest."""
    return max(0, math.floor(_STEPS_AN_OCTAVE * math.log2(max(seconds, _SHORTEST) / _SHORTEST)))


def pace_seconds(pace: int) -> float:
    """Give the middle of a class of time, in seconds."""
    return float(_SHORTEST * 2 ** ((pace + 0.5) / _STEPS_AN_OCTAVE))
