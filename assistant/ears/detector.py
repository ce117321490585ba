"""Whether a frame of sound holds a voice.

Chosen by measurement among the modes of the detector that comes with pocketsphinx (the WebRTC
one): 20 ms frames in mode 2 miss little speech and let no frame of white, pink or humming noise
20 dB down through. Loud humming gets through (60 % of frames at 10 dB), so a frame must also be
louder than the background of the last seconds.
"""

from collections import deque

import numpy as np

from assistant.ears.sound import RATE, Samples

FRAME_SECONDS = 0.02
FRAME = int(RATE * FRAME_SECONDS)

_MODE = 2
_REMEMBERED = int(3 / FRAME_SECONDS)
_BACKGROUND_SHARE = 0.1
_ABOVE_BACKGROUND = 2.5  # 4 dB in power
_QUIETEST = 30.0**2  # below this power a frame is as good as silent (-61 dB of full scale)


class VoiceDetector:
    """Judges frames of `FRAME` samples in the order in which they come."""

    def __init__(self) -> None:
        import pocketsphinx

        self._vad = pocketsphinx.Vad(_MODE, RATE, FRAME_SECONDS)
        self._powers: deque[float] = deque(maxlen=_REMEMBERED)

    def has_voice(self, frame: Samples) -> bool:
        """Tell whether the frame holds a voice above the background."""
        power = float(np.square(frame, dtype=np.float64).mean())
        self._powers.append(power)
        is_voiced = bool(self._vad.is_speech(frame.tobytes()))
        return is_voiced and power > max(_ABOVE_BACKGROUND * self._background(), _QUIETEST)

    def _background(self) -> float:
        at = int(len(self._powers) * _BACKGROUND_SHARE)
        return sorted(self._powers)[at]
