"""The recogniser on vosk, in a process of its own whose death a walk survives.

vosk 0.3.45 ends its process on a bad grammar or a call at the wrong moment, and with a closed
grammar gives a wrong word at full confidence: so nothing it says of itself is trusted, speech that
it calls unknown is no answer, and its words are only ever one opinion.
"""

import contextlib
import json
import queue
import subprocess
import sys
import threading
from collections.abc import Iterable
from pathlib import Path
from typing import IO, Any

from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import EarsError, Samples
from assistant.ears.vosk_model import find_model
from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import Expectation

UNKNOWN = "[unk]"

_LOADING_SECONDS = 60.0
_ANSWER_SECONDS = 15.0
_ENDING_SECONDS = 2.0
_OUTSIDE = "This was no answer that the step takes."
_DIED = "The recogniser stopped working and was started again."


class WorkerGoneError(Exception):
    """The process ended, or gave no answer in time."""


class VoskProcess:
    """One worker process and the talk with it.

    Args:
        folder: folder of a model that was found good.

    Raises:
        WorkerGoneError: when it does not come up.
    """

    def __init__(self, folder: Path) -> None:
        self._process = subprocess.Popen(  # noqa: S603 - our own module, no shell
            [sys.executable, "-m", "assistant.ears.vosk_worker", str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._answers: queue.Queue[bytes] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        try:
            self._answer(_LOADING_SECONDS)
        except WorkerGoneError:
            self.end()
            raise

    @property
    def _input(self) -> IO[bytes]:
        assert self._process.stdin is not None  # noqa: S101 - it was asked for
        return self._process.stdin

    def _read(self) -> None:
        assert self._process.stdout is not None  # noqa: S101 - it was asked for
        for line in self._process.stdout:
            self._answers.put(line)
        self._answers.put(b"")

    def _answer(self, seconds: float) -> dict[str, Any]:
        try:
            line = self._answers.get(timeout=seconds)
            answer: dict[str, Any] = json.loads(line)
        except (queue.Empty, ValueError) as error:
            raise WorkerGoneError from error
        return answer

    def send(self, request: dict[str, object], sound: bytes = b"") -> None:
        """Send a request that has no answer.

        Raises:
            WorkerGoneError: when the process has ended.
        """
        try:
            self._input.write(json.dumps({**request, "bytes": len(sound)}).encode() + b"\n" + sound)
            self._input.flush()
        except (OSError, ValueError) as error:
            raise WorkerGoneError from error

    def ask(self, request: dict[str, object]) -> dict[str, Any]:
        """Send a request and wait for its answer.

        Raises:
            WorkerGoneError: when the process has ended or does not answer in time.
        """
        self.send(request)
        return self._answer(_ANSWER_SECONDS)

    def end(self) -> None:
        """End the process, by force if need be; may be called twice."""
        with contextlib.suppress(OSError):
            self._input.close()
        try:
            self._process.wait(_ENDING_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._reader.join(_ENDING_SECONDS)
        if self._process.stdout is not None:
            self._process.stdout.close()


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
        self._process: VoskProcess | None = None
        self._words: list[str] = []
        self._sound: list[bytes] = []
        self._running()

    def _running(self) -> VoskProcess:
        if self._process is None:
            try:
                self._process = VoskProcess(self._folder)
            except WorkerGoneError as error:
                raise EarsError(
                    f"vosk could not load the model in {self._folder}.",
                    "Fetch it again, or go on with pocketsphinx.",
                ) from error
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

    def feed(self, samples: Samples) -> None:
        """Take more of the utterance; a death shows at `finish`."""
        with contextlib.suppress(WorkerGoneError):
            self._running().send({"do": "feed"}, samples.astype("<i2").tobytes())

    def finish(self) -> Hypothesis:
        """Say what the utterance came to; nothing when the process died over it."""
        try:
            texts = self._running().ask({"do": "finish"})["words"]
        except WorkerGoneError:
            self._drop()
            self._running()
            return Hypothesis("", why=_DIED)
        known = list(dict.fromkeys(text for text in texts if text))
        if not known or UNKNOWN in known[0].split():
            return Hypothesis("", why=_OUTSIDE)
        return Hypothesis(known[0], tuple(text for text in known[1:] if UNKNOWN not in text))

    def close(self) -> None:
        """End the process."""
        self._drop()
