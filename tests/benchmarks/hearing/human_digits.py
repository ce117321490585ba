"""Readings made of recorded human digits.

The recordings are single digits, 8 kHz, named `{digit}_{speaker}_{number}.wav` (the Free Spoken
Digit Dataset, CC BY-SA 4.0: jackson speaks US English, lucas, george and nicolas with German, Greek
and Belgian French accents). They are joined with 60 to 160 ms between; neither "point" nor "oh" was
recorded, nor yes or no. Nothing of them is committed.
"""

import random
import wave
from pathlib import Path

import numpy as np
from headset import doubled
from loudness import RATE, Wave

TUNING_SPEAKERS, HELD_OUT_SPEAKERS = ("george", "nicolas"), ("jackson", "lucas")
NAMES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_GAP_SECONDS = (0.06, 0.16)
_LONGEST = 4


def digits_drawn(chance: random.Random) -> str:
    """Draw one to four digits; the first of several is no zero."""
    length = chance.choice((1, 2, 2, 3, 3, 3, 4))
    first = chance.choice("0123456789" if length == 1 else "123456789")
    return first + "".join(chance.choice("0123456789") for _ in range(length - 1))


def words_of(digits: str) -> str:
    """Give the digits in words."""
    return " ".join(NAMES[int(digit)] for digit in digits)


def _recording(path: Path) -> Wave:
    with wave.open(str(path)) as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2") / 32_768.0
        rate = file.getframerate()
    return doubled(samples, 2 * len(samples)) if rate * 2 == RATE else samples


def _levelled(sound: Wave) -> Wave:
    return np.asarray(sound * (0.1 / max(float(np.sqrt(np.mean(np.square(sound)))), 1e-9)))


def joined(folder: Path, speaker: str, digits: str, chance: random.Random) -> Wave:
    """Join recordings of one speaker, each at the same loudness, into a reading at 16 kHz.

    Raises:
        FileNotFoundError: when the speaker has not said one of the digits.
    """
    parts: list[Wave] = []
    for digit in digits:
        takes = sorted(folder.glob(f"{digit}_{speaker}_*.wav"))
        if not takes:
            raise FileNotFoundError(folder / f"{digit}_{speaker}_*.wav")
        gap = np.zeros(int(chance.uniform(*_GAP_SECONDS) * RATE))
        parts += [_levelled(_recording(chance.choice(takes))), gap]
    return np.asarray(np.concatenate(parts[:-1]), np.float64)
