"""A stream of frames to one thing heard, for microphone and files alike.

The recogniser's work is done inside the pause that must be waited for anyway: it hears the answer
as soon as it has been quiet for a moment, and again only if more is said. So the answer is
there when the pause is over, and its words tell how long that pause must be.
"""

import math
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

_LOOKS_AFTER = 0.3

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
        self._recogniser.begin(expectation)  # what it must prepare it does before anyone speaks
        endpointer = Endpointer(VoiceDetector())
        found: Hypothesis | None = None
        for frame in frames:
            if endpointer.take(frame) is not Phase.PAUSED:
                found = None
            elif endpointer.quiet_seconds >= _LOOKS_AFTER:
                found = found or recognise(endpointer.answer(), expectation, self._recogniser)
            if self._is_over(endpointer, found, expectation):
                return self._result(endpointer, found, expectation)
        return None

    def _is_over(
        self, endpointer: Endpointer, found: Hypothesis | None, expectation: Expectation
    ) -> bool:
        if endpointer.phase is Phase.WAITING:
            return endpointer.waited_seconds >= self._patience.before
        if endpointer.answer_seconds >= self._patience.longest:
            return True
        allowed = _pause_allowed(found.words, expectation, self._patience) if found else math.inf
        return endpointer.quiet_seconds >= allowed

    def _result(
        self, endpointer: Endpointer, found: Hypothesis | None, expectation: Expectation
    ) -> Heard | Silence:
        if endpointer.phase is Phase.WAITING:
            return Silence(self._source)
        if found is None:
            return self.understand(endpointer.answer(), expectation)
        return self._heard(found, endpointer.answer())

    def understand(self, samples: Samples, expectation: Expectation) -> Heard:
        """Turn the sound of one whole answer into words."""
        return self._heard(recognise(samples, expectation, self._recogniser), samples)

    def _heard(self, found: Hypothesis, samples: Samples) -> Heard:
        return Heard(found.words, found.alternatives, self._source, self._keep(samples))


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
