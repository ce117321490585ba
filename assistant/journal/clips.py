"""The sound that was kept of an answer: `clips/<SHA-256 of its samples>.wav` beside the journal.

A journal may say anything, so a hash is no path before it looks like one; and a file is believed
only where its samples have the hash that the journal holds.
"""

import io
import re
import wave
from hashlib import sha256
from pathlib import Path

from assistant.journal.errors import JournalError

CLIPS = "clips"
"""The folder of the sounds, in a session's folder."""

LARGEST_BYTES = 16 * 2**20
"""An answer of two minutes has 4 MB; a larger file is none."""

_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


class ClipError(JournalError):
    """A sound that is not there, or not the one that was heard."""


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
    file = folder / CLIPS / f"{clip}.wav"
    try:
        content = b"" if file.stat().st_size > LARGEST_BYTES else file.read_bytes()
    except OSError as error:
        raise ClipError("The sound of this turn is not there any more.", "Read it.") from error
    if fingerprint(content) != clip:
        raise ClipError("The sound of this turn was changed.", "Do not rely on it; read the turn.")
    return file


def fingerprint(content: bytes) -> str:
    """Give the hash of a WAV file's samples; empty where it is no such file."""
    try:
        with wave.open(io.BytesIO(content)) as sound:
            return sha256(sound.readframes(sound.getnframes())).hexdigest()
    except (wave.Error, EOFError, RuntimeError):
        return ""
