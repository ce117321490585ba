"""The process in which vosk runs: it finds words, begins, takes sound and says what it heard."""

import json
from typing import Any

from assistant.ears.worker_loop import Answer, Doing, run

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


def todo_with(folder: str) -> dict[str, Doing]:
    """Load the model and give what can be asked of it."""
    worker = Worker(folder)
    return {
        "find": worker.find,
        "begin": worker.begin,
        "feed": worker.feed,
        "finish": worker.finish,
    }


if __name__ == "__main__":
    run(todo_with)
