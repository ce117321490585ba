"""The process in which vosk runs: it reads requests on its input and answers on its output.

A request is one line of JSON, followed by as many bytes of sound as its `bytes` says. Each but
`feed` is answered with one line of JSON. The library writes where it likes, so its own output is
turned to the error stream first.
"""

import json
import os
import sys
from typing import TYPE_CHECKING, Any, BinaryIO, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Callable

Answer: TypeAlias = dict[str, object] | None

_RATE = 16_000
_ALTERNATIVES = 3


class Worker:
    """Holds the model and the utterance at hand.

    Args:
        folder: folder of a model that was found good.
    """

    def __init__(self, folder: str) -> None:
        import vosk

        self._vosk: Any = vosk
        vosk.SetLogLevel(-1)
        self._model: Any = vosk.Model(model_path=folder)
        self._recogniser: Any = None

    def find(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Name the words that the model does not know."""
        del sound
        find = self._model.vosk_model_find_word
        return {"missing": [word for word in request["words"] if find(word) < 0]}

    def begin(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Start an utterance with a grammar of its own; a new recogniser is always safe."""
        del sound
        grammar = json.dumps(request["words"], ensure_ascii=False)
        self._recogniser = self._vosk.KaldiRecognizer(self._model, _RATE, grammar)
        self._recogniser.SetMaxAlternatives(_ALTERNATIVES)
        return {}

    def feed(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Take more of the utterance."""
        del request
        self._recogniser.AcceptWaveform(sound)
        return None

    def finish(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Give the words, likeliest first."""
        del request, sound
        found = json.loads(self._recogniser.FinalResult())
        texts = [each.get("text", "") for each in found.get("alternatives", [found])]
        return {"words": [text.strip() for text in texts]}


def serve(worker: Worker, requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer requests until there are no more."""
    todo: dict[str, Callable[[dict[str, Any], bytes], Answer]] = {
        "find": worker.find,
        "begin": worker.begin,
        "feed": worker.feed,
        "finish": worker.finish,
    }
    for line in requests:
        request = json.loads(line)
        sound = requests.read(request.get("bytes", 0))
        answer = todo[request["do"]](request, sound)
        if answer is not None:
            answers.write(json.dumps(answer).encode() + b"\n")
            answers.flush()


def main() -> None:
    """Run the worker on the model folder that the command line names."""
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    worker = Worker(sys.argv[1])
    answers.write(b"{}\n")
    answers.flush()
    serve(worker, sys.stdin.buffer, answers)


if __name__ == "__main__":
    main()
