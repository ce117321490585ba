"""Ears that hear sound files in order, one file an answer."""

from collections.abc import Iterable
from pathlib import Path

from assistant.ears.listening import Keep, Listener, keep_nothing, trimmed
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import read_sound
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import HungUp, Silence, Sound


class FileEars:
    """Hears one file for each answer and hangs up behind the last.

    All files are read when the ears are made, so that a bad one is told before the walk starts.

    Args:
        paths: WAV files, in the order of the answers.
        recogniser: who turns sound into words; closed with these ears.
        keep: who keeps the sound of each answer.

    Raises:
        EarsError: when a file cannot be read.
    """

    def __init__(
        self, paths: Iterable[Path | str], recogniser: Recogniser, keep: Keep = keep_nothing
    ) -> None:
        self._waiting = [(Path(path).name, read_sound(path).samples) for path in paths]
        self._waiting.reverse()
        self._recogniser = recogniser
        self._keep = keep

    def listen(self, expectation: Expectation) -> Sound:
        """Hear the next file: one without any voice is silence."""
        if not self._waiting:
            return HungUp("The last sound file has been heard.")
        name, samples = self._waiting.pop()
        answer = trimmed(samples)
        if not len(answer):
            return Silence(name)
        listener = Listener(self._recogniser, keep=self._keep, source=name)
        return listener.understand(answer, expectation)

    def close(self) -> None:
        """Let go of the recogniser."""
        self._waiting = []
        self._recogniser.close()
