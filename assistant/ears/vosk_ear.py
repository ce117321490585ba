"""The recogniser on vosk, in a process of its own whose death a walk survives.

vosk 0.3.45 ends its process on a bad grammar or a call at the wrong moment, and with a closed
grammar gives a wrong word at full confidence: so nothing it says of itself is trusted, speech that
it calls unknown is no answer, and its words are only ever one opinion.
"""

import contextlib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from assistant.ears.recogniser import Hypothesis, IsEnough
from assistant.ears.sound import EarsError, Samples
from assistant.ears.vosk_model import find_model
from assistant.ears.worker_process import WorkerGoneError, WorkerProcess
from assistant.spoken.commands import is_typed_command
from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import Expectation

UNKNOWN = "[unk]"

_WORKER = "assistant.ears.vosk_worker"
_OUTSIDE = "This was no answer that the step takes."
_DIED = "The recogniser stopped working and was started again."


class VoskRecogniser:
    """Recogniser on vosk and a model folder.

    Args:
        model: the folder; None: look where it usually is.

    Raises:
        EarsError: when there is no good model, or vosk cannot load it.
    """

    name = "vosk"

    def __init__(self, model: Path | None = None) -> None:
        self._folder = find_model(model)
        self._process: WorkerProcess | None = None
        self._words: list[str] = []
        self._texts: list[str] = []
        self._sound: list[bytes] = []
        self._running()

    def _running(self) -> WorkerProcess:
        if self._process is None:
            try:
                process = WorkerProcess(_WORKER, [str(self._folder)])
                process.wait_until_up()
            except WorkerGoneError as error:
                raise EarsError(
                    f"vosk could not load the model in {self._folder}.",
                    "Fetch it again, or go on with pocketsphinx.",
                ) from error
            self._process = process
        return self._process

    def _drop(self) -> None:
        if self._process is not None:
            self._process.end()
            self._process = None

    def _ask(self, request: dict[str, object]) -> dict[str, Any]:
        """Ask, and once more of a new process where the old one has died in between."""
        try:
            return self._running().ask(request)
        except WorkerGoneError:
            self._drop()
        try:
            return self._running().ask(request)
        except WorkerGoneError as error:
            self._drop()
            raise EarsError("vosk does not answer.", "Go on with pocketsphinx.") from error

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that the model cannot hear."""
        missing = self._ask({"do": "find", "words": sorted(set(words))})["missing"]
        return tuple(missing)

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance with the words of the turn that the model knows."""
        wanted = sorted(grammar_for(expectation).words())
        missing = set(self.lacks(wanted))
        known = [word for word in wanted if word not in missing]
        if not known:
            raise EarsError(
                f"The vosk model in {self._folder} knows none of the words of this step.",
                "Use an English model.",
            )
        self.listen_for(known)

    def listen_for(self, words: list[str]) -> None:
        """Start an utterance made of these words, in any order."""
        self._words = [*words, UNKNOWN]
        self._ask({"do": "begin", "words": self._words})

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Take more of the utterance as it is; a death shows at `finish`."""
        del cleaned
        with contextlib.suppress(WorkerGoneError):
            self._running().send({"do": "feed"}, samples.astype("<i2").tobytes())

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what the utterance came to; nothing when the process died over it."""
        del is_enough  # it comes to everything at once
        try:
            self._texts = self._running().ask({"do": "finish"})["words"]
        except WorkerGoneError:
            self._drop()
            self._running()
            self._texts = []
            return Hypothesis("", why=_DIED)
        known = list(dict.fromkeys(text for text in self._texts if text))
        if not known or _is_nothing(known[0]):
            return Hypothesis("", why=_OUTSIDE)
        return Hypothesis(known[0], tuple(text for text in known[1:] if not _is_nothing(text)))

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Give those of the phrases that the last utterance came to, by their place among them.

        Held to words alone, the library finds them in anything. One natural log a place is a guess:
        there was no English model to measure it with.
        """
        return {text: -float(at) for at, text in enumerate(self._texts) if text in phrases}

    def close(self) -> None:
        """End the process."""
        self._drop()


def _is_nothing(text: str) -> bool:
    """Whether words from the turn, in any order, are none that can be said there."""
    return UNKNOWN in text.split() or is_typed_command(text)
