"""The sounds of a session's answers, as far as they were kept: `clips/<SHA-256>.wav` in its folder.

A journal may say anything, so a hash is no path before it looks like one; and a file is believed
only where its samples have the hash that the journal holds.
"""

import io
import re
import wave
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from assistant.journal.reading import Record
from assistant.report.beside import Clip

CLIPS = "clips"
"""The folder of the sounds, in a session's folder."""

LARGEST_BYTES = 16 * 2**20
"""An answer of two minutes has 4 MB; a larger file is none."""

_HASH = re.compile(r"[0-9a-f]{64}")


def read_clips(record: Record, folder: Path) -> tuple[Clip, ...]:
    """Read the sounds that a journal names, in its order.

    Args:
        record: the journal as read.
        folder: the session's folder.
    """
    return tuple(_each(record, folder / CLIPS))


def _each(record: Record, folder: Path) -> Iterator[Clip]:
    for line in record.lines:
        name, words = line.data.get("clip"), line.data.get("words")
        if line.kind == "heard" and isinstance(name, str) and name:
            state, content = _wave(folder, name)
            yield Clip(name, line.seq, line.time, str(words or ""), state, content)


def _wave(folder: Path, name: str) -> tuple[str, bytes]:
    if _HASH.fullmatch(name) is None:
        return "purged", b""
    file = folder / f"{name}.wav"
    try:
        if file.stat().st_size > LARGEST_BYTES:
            return "changed", b""
        content = file.read_bytes()
    except OSError:
        return "purged", b""
    return ("kept", content) if name == _fingerprint(content) else ("changed", b"")


def _fingerprint(content: bytes) -> str:
    """Give the hash of a WAV file's samples; empty where it is no such file."""
    try:
        with wave.open(io.BytesIO(content)) as sound:
            return sha256(sound.readframes(sound.getnframes())).hexdigest()
    except (wave.Error, EOFError, RuntimeError):
        return ""
