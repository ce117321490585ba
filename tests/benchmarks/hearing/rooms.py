"""Where the microphone is: near the mouth, or across a small mechanical room.

Direct sound and an exponentially decaying tail of noise (Polack's model of late reverberation;
Jot, Cerveau and Warusfel, "Analysis and synthesis of room reverberation", AES 103, 1997), decaying
60 dB in 0.3 s. What differs by distance is how loud the tail is: its energy is 12 dB below the
direct sound near (about 0.1 m) and 3 dB above it far (about 2 m), for a critical distance near
1.3 m (common practice, no source).
"""

import numpy as np
from loudness import RATE, Wave

NEAR, FAR = "near", "far"
_DIRECT_OVER_TAIL_DB = {NEAR: 12.0, FAR: -3.0}
_T60_SECONDS = 0.3
_TAIL_STARTS = 0.0025


def response(distance: str, seed: int) -> Wave:
    """Give the room's answer to one click.

    Args:
        distance: `near` or `far`.
        seed: which room.
    """
    count = int(_T60_SECONDS * RATE)
    time = np.arange(count) / RATE
    tail = np.random.default_rng(seed).normal(size=count) * 10 ** (-3 * time / _T60_SECONDS)
    tail[: int(_TAIL_STARTS * RATE)] = 0
    tail *= 10 ** (-_DIRECT_OVER_TAIL_DB[distance] / 20) / np.sqrt(np.sum(np.square(tail)))
    tail[0] = 1.0
    return np.asarray(tail, np.float64)


def in_room(wave: Wave, distance: str, seed: int) -> Wave:
    """Hear a sound in the room; as long as before, so the last of the tail is left out."""
    answer = response(distance, seed)
    size = len(wave) + len(answer)
    spectrum = np.fft.rfft(wave, size) * np.fft.rfft(answer, size)
    return np.asarray(np.fft.irfft(spectrum, size)[: len(wave)], np.float64)
