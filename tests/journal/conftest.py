"""A clock that ticks and one session's bytes, open and sealed."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from journal_clock import ticking

from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL
from assistant.journal.store import Event, Journal

OPENING: Event = {"kind": "began", "flow": "psc", "title": "PSC blower", "edition": "1"}

TURNS: tuple[tuple[Event, ...], ...] = (
    (
        {"kind": "said", "text": "Lock out the disconnect."},
        {"kind": "heard", "words": "locked out"},
    ),
    ({"kind": "took", "name": "low", "value": "17.50", "unit": "ohm", "over_limit": False},),
    (
        {"kind": "noted", "text": 'שלום مرحبا 👩‍🔧 "quoted"\n\tline two\u2028\x00\x1b[31m'},
        {"kind": "not_known_here", "deep": {"list": [1, 2.5, None, {"yes": True}]}},
    ),
    ({"kind": "ended", "outcome": "stopped", "why": "stop was said"},),
)


@pytest.fixture
def clock() -> Callable[[], datetime]:
    """Give a clock that goes 1.25 s forward at each look."""
    return ticking()


@pytest.fixture(scope="session")
def opening() -> Event:
    """Give a session's first event."""
    return OPENING


@pytest.fixture(scope="session")
def turns() -> tuple[tuple[Event, ...], ...]:
    """Give the events of four turns, with text that is hard to keep."""
    return TURNS


def _content(*, is_sealed: bool) -> bytes:
    files = MemoryFiles()
    with Journal.create(Path("s"), "one", OPENING, clock=ticking(), files=files) as journal:
        for turn in TURNS:
            journal.append(turn)
        if is_sealed:
            journal.seal()
    return bytes(files.contents[Path("s/one") / JOURNAL])


@pytest.fixture(scope="session")
def open_content() -> bytes:
    """Give the bytes of a journal of seven lines without a seal."""
    return _content(is_sealed=False)


@pytest.fixture(scope="session")
def sealed_content() -> bytes:
    """Give the bytes of the same journal with its seal, eight lines."""
    return _content(is_sealed=True)
