"""A stream of frames to one thing heard, for microphone and files alike."""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

import numpy as np

from assistant.ears.detector import FRAME, VoiceDetector
from assistant.ears.endpoint import Endpointer, Patience, Phase
from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.sound import Samples
from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, Silence

Keep: TypeAlias = Callable[[Samples], str]
"""Keeps the sound of an answer and gives the fingerprint it is kept under."""


def keep_nothing(samples: Samples) -> str:
    """Keep no sound: the usual case."""
    del samples
    return ""


def frames_of(samples: Samples) -> Iterator[Samples]:
    """Cut sound into frames; a last one that is short is filled up with quiet."""
    rest = -len(samples) % FRAME
    whole = np.concatenate([samples, np.zeros(rest, np.int16)])
    yield from whole.reshape(-1, FRAME)


def trimmed(samples: Samples) -> Samples:
    """Give a recording from just before its first voice to just after its last; maybe nothing.

    A recording is one answer however long its pauses are: cutting it at one would make another
    number of it.
    """
    endpointer = Endpointer(VoiceDetector())
    for frame in frames_of(samples):
        endpointer.take(frame)
    return endpointer.answer()


def _pause_allowed(words: str, expectation: Expectation, patience: Patience) -> float:
    """Tell how long it must be quiet before these words are taken for the whole answer."""
    grammar = grammar_for(expectation)
    if not words or not grammar.is_complete(words):
        return patience.unfinished
    return patience.open_ended if grammar.can_continue(words) else patience.settled


class Listener:
    """Hears one answer in a stream.

    Args:
        recogniser: who turns sound into words.
        patience: how long to wait for what.
        keep: who keeps the sound of each answer.
        source: what `Heard.source` says.
    """

    def __init__(
        self,
        recogniser: Recogniser,
        patience: Patience | None = None,
        keep: Keep = keep_nothing,
        source: str = "microphone",
    ) -> None:
        self._recogniser = recogniser
        self._patience = patience or Patience()
        self._keep = keep
        self._source = source

    def hear(self, frames: Iterable[Samples], expectation: Expectation) -> Heard | Silence | None:
        """Follow the frames until an answer has ended, or none has begun in time.

        Returns:
            What was heard; None where the frames ended first, so that the answer may be cut off.
        """
        endpointer = Endpointer(VoiceDetector())
        if not self._follow(frames, endpointer, expectation):
            return None
        if endpointer.phase is Phase.WAITING:
            return Silence(self._source)
        return self.understand(endpointer.answer(), expectation)

    def understand(self, samples: Samples, expectation: Expectation) -> Heard:
        """Turn the sound of one whole answer into words."""
        found = recognise(samples, expectation, self._recogniser)
        return Heard(found.words, found.alternatives, self._source, self._keep(samples))

    def _follow(
        self, frames: Iterable[Samples], endpointer: Endpointer, expectation: Expectation
    ) -> bool:
        """Tell whether the answer, or the waiting for it, came to an end within the frames."""
        allowed = 0.0
        for frame in frames:
            phase = endpointer.take(frame)
            if self._is_over(endpointer):
                return True
            if phase is not Phase.PAUSED:
                allowed = 0.0
            elif endpointer.quiet_seconds >= self._patience.settled:
                allowed = allowed or self._allowed(endpointer, expectation)
                if endpointer.quiet_seconds >= allowed:
                    return True
        return False

    def _is_over(self, endpointer: Endpointer) -> bool:
        if endpointer.phase is Phase.WAITING:
            return endpointer.waited_seconds >= self._patience.before
        return endpointer.answer_seconds >= self._patience.longest

    def _allowed(self, endpointer: Endpointer, expectation: Expectation) -> float:
        self._recogniser.begin(expectation)
        self._recogniser.feed(endpointer.answer())
        return _pause_allowed(self._recogniser.so_far(), expectation, self._patience)


def recognise(samples: Samples, expectation: Expectation, recogniser: Recogniser) -> Hypothesis:
    """Give what one whole utterance came to.

    Args:
        samples: int16, mono, 16 kHz.
        expectation: what it answers.
        recogniser: who listens.
    """
    recogniser.begin(expectation)
    recogniser.feed(samples)
    return recogniser.finish()
