"""The process in which whisper runs: the sound of one answer in, likely transcripts out.

Whisper pads every sound to 30 s, which costs half a second of one core. Its encoder takes less as
well: on a few seconds it is ten times quicker and writes the same, only sometimes twice over.
"""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.ears.worker_loop import Answer, Doing, run

_RATE, _FRAMES_A_SECOND = 16_000, 100
_SHORTEST_SECONDS, _LONGEST_SECONDS = 8, 15
_QUIET_BEHIND = 1.0
_HYPOTHESES = 5
_MOST_TOKENS = 28
_FULL_SCALE = 32_768
_LEAST = 1e-9


class Worker:
    """Holds the model.

    Args:
        folder: folder of weights that were found whole.
    """

    def __init__(self, folder: str) -> None:
        import ctranslate2
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        model = WhisperModel(
            folder, device="cpu", compute_type="int8", cpu_threads=1, local_files_only=True
        )
        is_multilingual = model.model.is_multilingual
        self._view: Any = ctranslate2.StorageView
        self._model: Any = model.model
        self._features: Any = model.feature_extractor
        self._tokens: Any = Tokenizer(
            model.hf_tokenizer,
            is_multilingual,
            task="transcribe" if is_multilingual else None,
            language="en" if is_multilingual else None,
        )
        self._sound: list[bytes] = []
        self._encoded: Any = None
        self._frames = 0

    def begin(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Forget the sound of an answer that was not finished."""
        del request, sound
        self._sound, self._encoded = [], None
        return None

    def feed(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Take more of the answer's sound."""
        del request
        self._sound.append(sound)
        return None

    def transcribe(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Give transcripts, likeliest first, or the given texts, each with its log probability."""
        del sound
        heard = np.frombuffer(b"".join(self._sound), "<i2").astype(np.float32)
        self._sound = []
        self._encoded = self._model.encode(
            self._view.from_array(self._heard(heard / np.float32(_FULL_SCALE)))
        )
        self._frames = len(heard) * _FRAMES_A_SECOND // _RATE
        if request["among"]:
            texts = self._scored(request["among"], request["before"])
        else:
            texts = self._written(request["before"])
        return {"number": request["number"], "texts": texts}

    def weigh(self, request: dict[str, Any], sound: bytes) -> Answer:
        """Give the log probability of texts for the sound that was transcribed last."""
        del sound
        known = self._encoded is not None
        texts = self._scored(request["among"], request["before"]) if known else []
        return {"number": request["number"], "texts": texts}

    def _written(self, before: str) -> list[list[Any]]:
        asked = self._asked(before)
        found = self._model.generate(
            self._encoded,
            [asked],
            beam_size=_HYPOTHESES,
            num_hypotheses=_HYPOTHESES,
            return_scores=True,
            max_length=len(asked) + _MOST_TOKENS,
        )[0]
        pairs = zip(found.sequences_ids, found.scores, strict=True)
        return [[self._tokens.decode(ids), score * len(ids)] for ids, score in pairs]

    def _scored(self, among: list[str], before: str) -> list[list[Any]]:
        """Score given texts instead of writing one: what is short it writes as it pleases."""
        behind = self._asked(before) if before else list(self._tokens.sot_sequence)
        ids = [self._tokens.encode(f" {text}") for text in among]
        each = np.repeat(np.asarray(self._encoded), len(ids), axis=0)
        found = self._model.align(
            self._view.from_array(np.ascontiguousarray(each)),
            behind,
            ids,
            num_frames=[self._frames] * len(ids),
        )
        scores = (sum(math.log(max(p, _LEAST)) for p in one.text_token_probs) for one in found)
        return [[text, score] for text, score in zip(among, scores, strict=True)]

    def _heard(self, samples: NDArray[np.float32]) -> NDArray[np.float32]:
        """Give the features of the sound with quiet behind it: one, bands, frames."""
        wanted = len(samples) / _RATE + _QUIET_BEHIND
        seconds = min(max(wanted, _SHORTEST_SECONDS), _LONGEST_SECONDS)
        padded = np.zeros(int(seconds * _RATE), np.float32)
        part = samples[: len(padded)]
        padded[: len(part)] = part
        frames = int(seconds * _FRAMES_A_SECOND)
        features = self._features(padded)[None, :, :frames]
        return np.ascontiguousarray(features, np.float32)

    def _asked(self, before: str) -> list[int]:
        """Give the tokens that a transcript follows: words that went before, then the start."""
        context = [self._tokens.sot_prev, *self._tokens.encode(f" {before}")] if before else []
        return [*context, *self._tokens.sot_sequence, self._tokens.no_timestamps]


def todo_with(folder: str) -> dict[str, Doing]:
    """Load the model and give what can be asked of it."""
    worker = Worker(folder)
    return {
        "begin": worker.begin,
        "feed": worker.feed,
        "transcribe": worker.transcribe,
        "weigh": worker.weigh,
    }


if __name__ == "__main__":
    run(todo_with)
