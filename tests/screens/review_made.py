"""Sessions made for the tests of the review: walks of the tests' own small flow, on a clock."""

import wave
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from itertools import count
from pathlib import Path

from screen_driver import KETTLE, TO_CAN, TO_END, load_once

from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.journal.clips import CLIPS
from assistant.journal.reading import JOURNAL
from assistant.journal.session import Session
from assistant.screens.reviewing.handed import Handed
from assistant.walk.ends import Heard, Silence
from assistant.walk.walk import Walk

NOON = datetime(2026, 2, 3, 12, tzinfo=UTC)
EVENTFUL = (
    *TO_CAN,
    *("mumble", "ten", "yes", "note wet floor \N{DROPLET}", "hold", "go ahead"),
    *("seventeen point five", "yes", "scratch that", "seventeen point five", "yes"),
)
"""A walk with a note, a hold, words not taken and an answer taken back; it is not over."""


def ticking(start: datetime = NOON, seconds: float = 60.0) -> Callable[[], datetime]:
    """Give a clock that goes on at each look."""
    ticks = count()
    return lambda: start + timedelta(seconds=seconds * next(ticks))


def make(
    folder: Path,
    name: str,
    phrases: Sequence[str] = TO_END,
    *,
    technician: str = "R.K.",
    unit: str = "K-1 Kettle",
    start: datetime = NOON,
    clip: str = "",
) -> Path:
    """Walk phrases, an empty one being silence, and give the session's folder."""
    session = Session.begin(
        Walk(load_once(str(KETTLE))),
        folder,
        name,
        clock=ticking(start),
        technician=technician,
        unit=unit,
    )
    for phrase in phrases:
        also = (f"{phrase} too",) if phrase == "ten" else ()
        session.hear(Heard(phrase, also, "microphone", clip) if phrase else Silence())
    session.close()
    return session.journal.folder


def damage(folder: Path) -> None:
    """Take the third line out of a session."""
    lines = (folder / JOURNAL).read_bytes().splitlines(keepends=True)
    (folder / JOURNAL).write_bytes(b"".join(lines[:2] + lines[3:]))


def load(name: str) -> Flow:
    """Open the tests' flow by its id, another by its file."""
    return load_once(str(KETTLE)) if name == "kettle" else open_flow(name)


def handed(
    sessions: Path, *, author: str = "LT", play: Callable[[Path], None] | None = None
) -> Handed:
    """Give what a review works with."""
    return Handed(sessions, ticking(NOON + timedelta(days=30)), load, author, play)


def keep_sound(folder: Path, samples: bytes) -> tuple[str, Path]:
    """Keep a sound beside a session as it is kept: give its name, and the file."""
    name = sha256(samples).hexdigest()
    file = folder / CLIPS / f"{name}.wav"
    file.parent.mkdir(parents=True, exist_ok=True)
    write_sound(file, samples)
    return name, file


def write_sound(file: Path, samples: bytes) -> None:
    """Write a WAV file."""
    with wave.open(str(file), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(16_000)
        sound.writeframes(samples)
