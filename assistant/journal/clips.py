"""The sounds of a session's answers, as far as they were kept.

Each is `clips/<SHA-256 of its samples>.wav` beside the journal. A journal may say anything, so a
hash is no path before it looks like one; and a file is believed only where its samples have the
hash that the journal holds.
"""

import io
import re
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from hashlib import sha256
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.reading import Record

CLIPS = "clips"
"""The folder of the sounds, in a session's folder."""

LARGEST_BYTES = 16 * 2**20
"""An answer of two minutes has 4 MB; a larger file is none."""

_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)
_NAME = re.compile(rf"{re.escape(CLIPS)}/{_HASH.pattern}\.wav", re.ASCII)


class ClipError(JournalError):
    """A sound that is not there, or not the one that was heard."""


class ClipState(StrEnum):
    """What became of a sound."""

    KEPT = "kept"
    PURGED = "purged"
    """The file is not there any more."""
    CHANGED = "changed"
    """The file does not fit its hash and is not believed."""


@dataclass(frozen=True, slots=True)
class Clip:
    """The sound of one answer.

    Args:
        hash: SHA-256 of its samples, under which it is kept.
        line: the journal's line that was heard so.
        time: when, UTC.
        words: what was understood.
        state: what became of it.
        wave: the WAV file's bytes; empty unless it is kept.
    """

    hash: str
    line: int
    time: str
    words: str
    state: ClipState
    wave: bytes = b""


def is_clip(name: str) -> bool:
    """Say whether it is the name of a sound, as `clips/<hash>.wav` in a session's folder."""
    return _NAME.fullmatch(name) is not None


def read_clips(record: Record, folder: Path) -> tuple[Clip, ...]:
    """Read the sounds that a journal names, in its order.

    Args:
        record: the journal as read.
        folder: the session's folder.
    """
    return tuple(_each(record, folder))


def _each(record: Record, folder: Path) -> Iterator[Clip]:
    for line in record.lines:
        name, words = line.data.get("clip"), line.data.get("words")
        if line.kind == "heard" and isinstance(name, str) and name:
            state, content = _wave(folder, name)
            yield Clip(name, line.seq, line.time, str(words or ""), state, content)


def find_clip(folder: Path, clip: str) -> Path:
    """Give the file of a kept sound, once its samples fit its name.

    Args:
        folder: the session's folder.
        clip: the SHA-256 of its samples, as the journal has it.

    Raises:
        ClipError: when no sound was kept, it was purged, or it is another than was heard.
    """
    if _HASH.fullmatch(clip) is None:
        raise ClipError("No sound was kept of this turn.", "Sound is kept only where asked for.")
    state, _ = _wave(folder, clip)
    if state is ClipState.PURGED:
        raise ClipError("The sound of this turn is not there any more.", "Read it.")
    if state is ClipState.CHANGED:
        raise ClipError("The sound of this turn was changed.", "Do not rely on it; read the turn.")
    return _file(folder, clip)


def _file(folder: Path, name: str) -> Path:
    return folder / CLIPS / f"{name}.wav"


def _wave(folder: Path, name: str) -> tuple[ClipState, bytes]:
    if _HASH.fullmatch(name) is None:
        return ClipState.PURGED, b""
    file = _file(folder, name)
    try:
        if file.stat().st_size > LARGEST_BYTES:
            return ClipState.CHANGED, b""
        content = file.read_bytes()
    except OSError:
        return ClipState.PURGED, b""
    is_kept = name == _fingerprint(content)
    return (ClipState.KEPT, content) if is_kept else (ClipState.CHANGED, b"")


def _fingerprint(content: bytes) -> str:
    """Give the hash of a WAV file's samples; empty where it is no such file."""
    try:
        with wave.open(io.BytesIO(content)) as sound:
            return sha256(sound.readframes(sound.getnframes())).hexdigest()
    except (wave.Error, EOFError, RuntimeError):
        return ""
