"""Where an answer begins and ends in a stream of frames.

No clock: time is counted in frames, so that a file, a microphone and a test come to the same end.
"""

from collections import deque
from dataclasses import dataclass
from enum import StrEnum

from assistant.ears.cleaning import softened_noise
from assistant.ears.detector import FRAME_SECONDS, VoiceDetector
from assistant.ears.sound import Stretch


@dataclass(frozen=True, slots=True)
class Patience:
    """How long to wait for what; all in seconds.

    Args:
        before: for the first word; then the turn is silent.
        settled: quiet after words that are a whole answer and cannot go on.
        open_ended: quiet after words that are a whole answer but could go on ("one eighteen").
        unfinished: quiet after words that only begin an answer ("one eighteen point").
        longest: for the whole answer; noise that never ends must end the turn too.
    """

    before: float = 8.0
    settled: float = 0.4
    open_ended: float = 1.6
    unfinished: float = 1.6
    longest: float = 10.0


class Phase(StrEnum):
    """Where in an answer the stream is."""

    WAITING = "waiting"
    SPEAKING = "speaking"
    PAUSED = "paused"


_LEAD_IN = round(0.3 / FRAME_SECONDS)
_LEAD_OUT = round(0.3 / FRAME_SECONDS)
_ONSET_WINDOW = round(0.2 / FRAME_SECONDS)
_ONSET_VOICED = round(0.08 / FRAME_SECONDS)
_PAUSE_STARTS = round(0.1 / FRAME_SECONDS)


class Endpointer:
    """Follows one answer through a stream of frames of `detector.FRAME` samples.

    Args:
        detector: who says which frame holds a voice.
    """

    def __init__(self, detector: VoiceDetector) -> None:
        self._detector = detector
        self._frames: list[Stretch] = []
        self._before: deque[Stretch] = deque(maxlen=_LEAD_IN + _ONSET_WINDOW)
        self._recent: deque[bool] = deque(maxlen=_ONSET_WINDOW)
        self._taken = 0
        self._quiet = 0
        self._voiced = 0
        self.phase = Phase.WAITING

    @property
    def waited_seconds(self) -> float:
        """How much sound has gone by in all."""
        return self._taken * FRAME_SECONDS

    @property
    def quiet_seconds(self) -> float:
        """How long it has been quiet since the last voice; 0 before the first."""
        return self._quiet * FRAME_SECONDS

    @property
    def voiced_seconds(self) -> float:
        """How much of the answer was voice by now."""
        return self._voiced * FRAME_SECONDS

    @property
    def answer_seconds(self) -> float:
        """How long the answer is by now, quiet behind it included."""
        return len(self._frames) * FRAME_SECONDS

    def take(self, frame: Stretch) -> Phase:
        """Take the next frame and say where the stream is now.

        A voice is looked for with the noise made softer: with all of it taken out, one that is far
        away or of a narrow band goes with it (measured: 65 % of its frames found, against 77 %).
        """
        is_voiced = self._detector.has_voice(softened_noise(frame))
        self._taken += 1
        if self.phase is Phase.WAITING:
            self._look_for_start(frame, is_voiced)
        else:
            self._frames.append(frame)
            self._voiced += is_voiced
            self._quiet = 0 if is_voiced else self._quiet + 1
            is_paused = self._quiet >= _PAUSE_STARTS
            self.phase = Phase.PAUSED if is_paused else Phase.SPEAKING
        return self.phase

    def _look_for_start(self, frame: Stretch, is_voiced: bool) -> None:
        self._before.append(frame)
        self._recent.append(is_voiced)
        if sum(self._recent) >= _ONSET_VOICED:
            self._frames.extend(self._before)
            self.phase = Phase.SPEAKING

    def answer(self) -> Stretch:
        """Give the sound of the answer, with a little of what was before and after it."""
        surplus = max(0, self._quiet - _LEAD_OUT)
        return Stretch.joined(self._frames[: len(self._frames) - surplus])
