"""The sound that was kept of a turn: a file named by the hash of its bytes."""

import hashlib
import re
from pathlib import Path

from assistant.errors import RungsideError

CLIPS = "clips"
"""The folder of the sounds, in a session's folder."""

_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


class ClipError(RungsideError):
    """A sound that cannot be played."""


def find_clip(folder: Path, clip: str) -> Path:
    """Give the file of a kept sound, once its bytes fit its name.

    Args:
        folder: the session's folder.
        clip: the SHA-256 of the file's bytes, as the journal has it.

    Raises:
        ClipError: when no sound was kept, it was purged, or it is another than was heard.
    """
    if _HASH.fullmatch(clip) is None:
        raise ClipError("No sound was kept of this turn.", "Sound is kept only where asked for.")
    file = folder / CLIPS / f"{clip}.wav"
    try:
        content = file.read_bytes()
    except OSError as error:
        raise ClipError("The sound of this turn is not there any more.", "Read it.") from error
    if hashlib.sha256(content).hexdigest() != clip:
        raise ClipError("The sound of this turn was changed.", "Do not rely on it; read the turn.")
    return file
