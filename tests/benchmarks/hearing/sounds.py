"""WAV files of the bench: mono, 16 bits, 16 kHz."""

import wave
from pathlib import Path

import numpy as np
from loudness import RATE, Wave
from numpy.typing import NDArray


def read_samples(path: Path) -> NDArray[np.int16]:
    """Read a file of the bench."""
    with wave.open(str(path)) as file:
        return np.frombuffer(file.readframes(file.getnframes()), np.int16)


def seconds_of(path: Path) -> float:
    """Give how long a file of the bench lasts."""
    with wave.open(str(path)) as file:
        return float(file.getnframes() / RATE)


def read_wave(path: Path) -> Wave:
    """Read a file of the bench as a wave with full scale 1."""
    return np.asarray(read_samples(path) / 32_768.0, np.float64)


def write_samples(path: Path, samples: NDArray[np.int16]) -> None:
    """Write a file whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    with wave.open(str(part), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.astype("<i2").tobytes())
    part.rename(path)
