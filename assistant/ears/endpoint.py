"""Where an answer begins and ends in a stream of frames.

No clock: time is counted in frames, so that a file, a microphone and a test come to the same end.
Who speaks into the microphone is loud in it. A voice that is much softer for a while is somebody
else's, or our own leaking back, and does not keep an answer open.
"""

import heapq
from collections import deque
from dataclasses import dataclass, replace
from enum import StrEnum

from assistant.ears.cleaning import LATE, Cleaner
from assistant.ears.detector import FRAME_SECONDS, VoiceDetector
from assistant.ears.sound import Samples, Stretch, power_of


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


_LEAD_IN = round(0.7 / FRAME_SECONDS)
"""A first word that no detector takes for a voice, as a soft "six" far away, is heard even so."""
_LEARNT = round(0.8 / FRAME_SECONDS)
"""How much of what was before an answer the noise reduction hears first, to know the noise."""
_LEAD_OUT = round(0.3 / FRAME_SECONDS)
_LONG_LEAD_OUT = round(1.0 / FRAME_SECONDS)
_ONSET_WINDOW = round(0.2 / FRAME_SECONDS)
_ONSET_VOICED = round(0.08 / FRAME_SECONDS)
_KEPT_BEFORE = _LEAD_IN + _ONSET_WINDOW
_PAUSE_STARTS = round(0.1 / FRAME_SECONDS)
_HINTED = round(0.06 / FRAME_SECONDS)
_MUCH_SOFTER = 100.0  # 20 dB in power
_SOFT_FOR = round(0.4 / FRAME_SECONDS)
_LOUD_FOR = round(0.2 / FRAME_SECONDS)
"""How long the loudest part of an answer is taken to last at least: a bang does not."""


class Endpointer:
    """Follows one answer through a stream of frames of `detector.FRAME` samples.

    Noise is taken out of the answer alone, from a little before it: while nobody speaks that would
    keep a fifth of a core busy.

    Args:
        detector: who says which frame holds a voice.
        cleaner: takes the noise out of the answer; what it gives first is of what was before.

    Attributes:
        has_others: whether softer voices than the answer's were heard behind it.
    """

    def __init__(self, detector: VoiceDetector, cleaner: Cleaner) -> None:
        self._detector = detector
        self._cleaner = cleaner
        self._before: deque[Samples] = deque(maxlen=_LEARNT + _KEPT_BEFORE)
        self._recent: deque[bool] = deque(maxlen=_ONSET_WINDOW)
        self._frames: list[Stretch] = []
        self._waiting: list[Samples] = []
        self._taken = 0
        self._quiet = 0
        self._voiced = 0
        self._soft = 0
        self._hints = 0
        self._loudest: list[float] = []
        self._onset = 0
        self.has_others = False
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
    def has_hints(self) -> bool:
        """Whether the quiet by now may hold a word that no detector found."""
        return self._hints >= _HINTED

    @property
    def answer_seconds(self) -> float:
        """How long the answer is by now, quiet behind it included."""
        return (len(self._frames) + len(self._waiting)) * FRAME_SECONDS

    def take(self, frame: Samples) -> Phase:
        """Take the next frame and say where the stream is now."""
        is_voiced = self._detector.has_voice(frame)
        self._taken += 1
        if self.phase is Phase.WAITING:
            self._look_for_start(frame, is_voiced)
        else:
            self._go_on(frame, is_voiced)
        return self.phase

    def _look_for_start(self, frame: Samples, is_voiced: bool) -> None:
        self._before.append(frame)
        self._recent.append(is_voiced)
        if sum(self._recent) >= _ONSET_VOICED:
            cleaned = list(map(self._cleaner.take, self._before))
            self._frames = cleaned[LATE:][-_KEPT_BEFORE:]
            since = len(self._recent) - list(self._recent).index(True)
            self._onset = len(self._frames) + LATE - since
            self.phase = Phase.SPEAKING

    def _go_on(self, frame: Samples, is_voiced: bool) -> None:
        is_others = self._is_of_others(frame, is_voiced)
        self.has_others |= is_others and is_voiced
        if is_voiced and not is_others:
            self._voiced += 1
            self._quiet = self._hints = 0
        else:
            self._hints += self._detector.is_hint and self._quiet >= _PAUSE_STARTS
            self._quiet = max(self._quiet + 1, self._soft if is_others else 0)
        self.phase = Phase.PAUSED if self._quiet >= _PAUSE_STARTS else Phase.SPEAKING
        self._waiting.append(frame)
        if self._quiet <= _LEAD_OUT + LATE:
            self._frames += map(self._cleaner.take, self._waiting)
            self._waiting = []

    def _is_of_others(self, frame: Samples, is_voiced: bool) -> bool:
        """Whether it has been much softer than the answer for so long that nobody speaks to us."""
        power = power_of(frame)
        if is_voiced:
            heapq.heappush(self._loudest, power)
            if len(self._loudest) > _LOUD_FOR:
                heapq.heappop(self._loudest)
        is_known = len(self._loudest) == _LOUD_FOR
        is_soft = is_known and power * _MUCH_SOFTER < self._loudest[0]
        self._soft = self._soft + 1 if is_soft else 0
        return self._soft >= _SOFT_FOR

    def answer(self) -> Stretch:
        """Give the sound of the answer, with a little of what was before and after it."""
        return self._sound(_LEAD_OUT)

    def answer_and_more(self) -> Stretch:
        """Give it with more behind it: a last word may be so soft that no detector finds it."""
        self._frames += map(self._cleaner.take, self._waiting)
        self._waiting = []
        return self._sound(_LONG_LEAD_OUT)

    def _sound(self, behind: int) -> Stretch:
        surplus = max(0, self._quiet - behind) - len(self._waiting)
        sound = Stretch.joined(self._frames[: len(self._frames) - max(0, surplus)])
        return replace(sound, onset=self._onset * FRAME_SECONDS) if self._frames else sound
