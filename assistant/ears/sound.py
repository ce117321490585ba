"""Sound in memory, and reading it from WAV files.

Everything behind this module works on one form only: mono, 16 kHz, signed 16 bit.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Self, TypeAlias

import numpy as np
from numpy.typing import NDArray

from assistant.errors import RungsideError

Samples: TypeAlias = NDArray[np.int16]

Span: TypeAlias = tuple[float, float]
"""From where to where something lasts, in seconds from the start of its sound."""

RATE = 16_000
"""Samples a second of every sound inside Rungside."""

FULL_SCALE = 32768.0
"""What the loudest sample is short of."""

LONGEST_SECONDS = 120
"""An answer is a few seconds; a longer file is a mistake, and would keep a walk waiting."""

_LARGEST_BYTES = 64 * 1024 * 1024  # 120 s of 48 kHz stereo 32 bit is 46 MB
_HEADER_BYTES = 12
_LEFT_OF_NOISE = 10 ** (-12 / 20)


class EarsError(RungsideError):
    """A sound file, a device, a model or a recogniser that cannot be used."""


_DITHER = 2


def is_muted(samples: Samples) -> bool:
    """Whether it is what a muted device gives: nothing, or the last bit or two of its dither.

    The softest microphone in the quietest room gives more, common practice, no source.
    """
    return not len(samples) or bool(samples.max() <= _DITHER and samples.min() >= -_DITHER)


def power_of(samples: Samples) -> float:
    """Give the mean square of some samples."""
    return float(np.square(samples, dtype=np.float64).mean())


def frame_powers(samples: Samples, length: int) -> NDArray[np.float64]:
    """Give the mean square of each whole frame of so many samples."""
    whole = samples[: len(samples) // length * length].reshape(-1, length)
    powers: NDArray[np.float64] = np.square(whole, dtype=np.float64).mean(axis=1)
    return powers


@dataclass(frozen=True, slots=True, eq=False)
class Sound:
    """A stretch of sound.

    Args:
        samples: int16, mono, `RATE` a second.
    """

    samples: Samples

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return len(self.samples) / RATE

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the samples, in hexadecimal."""
        return sha256(self.samples.astype("<i2").tobytes()).hexdigest()


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """A stretch of sound as it was heard, and with its noise taken out.

    Args:
        raw: int16, mono, `RATE` a second.
        cleaned: the same, of the same length; the very same where there is no noise reduction.
        onset: seconds from its start to the first voice found in it; None where nobody looked.
    """

    raw: Samples
    cleaned: Samples
    onset: float | None = None

    @classmethod
    def of(cls, raw: Samples) -> Self:
        """Give a stretch that nothing was taken out of."""
        return cls(raw, raw)

    @classmethod
    def joined(cls, parts: Iterable[Self]) -> Self:
        """Put stretches behind each other; where nothing was taken out of any, nothing is."""
        each = (cls.of(np.zeros(0, np.int16)), *parts)
        raw: Samples = np.concatenate([one.raw for one in each])
        if not any(one.is_cleaned for one in each):
            return cls.of(raw)
        return cls(raw, np.concatenate([one.cleaned for one in each]))

    @property
    def is_cleaned(self) -> bool:
        """Whether noise was taken out of it, however little there was."""
        return self.cleaned is not self.raw

    def softened(self) -> Samples:
        """Give the sound with its noise 12 dB softer: what is cleaned, and a quarter of the rest.

        With all noise taken out, a voice far from the microphone loses much.
        """
        if not self.is_cleaned:
            return self.raw
        mixed = self.cleaned.astype(np.float64) + _LEFT_OF_NOISE * self.raw
        softened: Samples = np.clip(np.rint(mixed), -FULL_SCALE, FULL_SCALE - 1).astype(np.int16)
        return softened

    def __len__(self) -> int:
        """How many samples it lasts."""
        return len(self.raw)


def _bytes_of(path: Path) -> bytes:
    """Read a file whole, after the checks that can be made from outside."""
    if path.is_dir():
        raise EarsError(f"{path} is a folder.", "Give the name of one WAV file.")
    try:
        size = path.stat().st_size
        if size > _LARGEST_BYTES:
            raise EarsError(
                f"{path} is too large ({size // 2**20} MB).",
                f"Give a WAV file of at most {LONGEST_SECONDS} seconds.",
            )
        return path.read_bytes()
    except FileNotFoundError as error:
        raise EarsError(f"There is no file {path}.", "Check the name of the WAV file.") from error
    except OSError as error:
        raise EarsError(
            f"{path} cannot be read: {error.strerror}.", "Check who may read it."
        ) from error


def _check_header(path: Path, data: bytes) -> None:
    if not data:
        raise EarsError(f"{path} is empty.", "Give a WAV file with sound in it.")
    if len(data) < _HEADER_BYTES or data[:4] not in {b"RIFF", b"RF64"} or data[8:12] != b"WAVE":
        raise EarsError(f"{path} is not a WAV file.", "Save the sound as WAV.")


def _decoded(path: Path, data: bytes) -> Samples:
    import miniaudio

    try:
        decoded = miniaudio.decode(data, nchannels=1, sample_rate=RATE)
    except miniaudio.MiniaudioError as error:
        raise EarsError(
            f"{path} is a WAV file whose sound cannot be read.", "Save it as 16-bit PCM."
        ) from error
    return np.frombuffer(decoded.samples.tobytes(), dtype=np.int16)


def read_sound(path: Path | str) -> Sound:
    """Read a WAV file: any usual rate and width, mono or stereo.

    Returns:
        The sound, mixed to mono and brought to 16 kHz.

    Raises:
        EarsError: when it is missing, a folder, unreadable, empty, no WAV file, holds no sound, or
            lasts longer than `LONGEST_SECONDS`.
    """
    path = Path(path)
    data = _bytes_of(path)
    _check_header(path, data)
    sound = Sound(_decoded(path, data))
    if not len(sound.samples):
        raise EarsError(f"{path} holds no sound: its length is zero.", "Record it again.")
    if sound.seconds > LONGEST_SECONDS:
        raise EarsError(
            f"{path} lasts {sound.seconds:.0f} seconds.",
            f"Give an answer of at most {LONGEST_SECONDS} seconds.",
        )
    return sound
