"""A session with whatever names, made through the real journal."""

from datetime import UTC, datetime
from pathlib import Path

from assistant.journal.store import Journal


def odd_session(sessions: Path, *, unit: str, technician: str, session_id: str = "odd-1") -> Path:
    """Make a short sealed session; give its folder."""
    opening = {
        "kind": "began",
        "flow": "capacitor",
        "title": "A capacitor",
        "edition": "1",
        "digest": "0",
        "technician": technician,
        "unit": unit,
    }
    clock = lambda: datetime(2026, 2, 3, 14, 5, tzinfo=UTC)  # noqa: E731 - one fixed time
    with Journal.create(sessions, session_id, opening, clock=clock) as journal:
        journal.seal()
    return sessions / session_id
