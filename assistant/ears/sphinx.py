"""The recogniser that always works: pocketsphinx with the model of its own wheel.

A closed grammar accepts anything, and no score of the decoder is a probability. So three ears that
fail differently hear the same sound: one as the sound is, one for a shorter throat, one that
leaves out the lowest tones; `voting` says what they come to.
"""

from collections.abc import Iterable

import numpy as np

from assistant.ears.pronouncing import guess_phones
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import RATE, Samples
from assistant.ears.sphinx_decoder import Decoded, SphinxDecoder
from assistant.ears.voting import vote
from assistant.ears.weighing import Search, search_for
from assistant.spoken.meaning import Expectation, Value
from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS
from assistant.spoken.understanding import understand

_FRONT_ENDS: tuple[dict[str, str], ...] = (
    {"remove_noise": "no"},
    {"remove_noise": "no", "warp_params": "1.1"},
    {"remove_noise": "no", "lowerf": "200"},
)
_FEW_WORDS = {"wip": 0.02, "wbeam": 1e-25, "beam": 1e-40, "pbeam": 1e-40}
_SHORTEST = RATE // 10


def _sense(words: str, expectation: Expectation) -> object:
    """Give what words mean, without the doubts about it."""
    meaning = understand(words, expectation)
    return (meaning.reading, meaning.second) if isinstance(meaning, Value) else meaning


class SphinxRecogniser:
    """Recogniser on pocketsphinx; needs no network, no download and no other process.

    Raises:
        EarsError: when the model is missing or cannot be loaded.
    """

    name = "sphinx"

    def __init__(self) -> None:
        self._ears = [SphinxDecoder(front_end, _FEW_WORDS) for front_end in _FRONT_ENDS]
        for word, phones in EXTRA_PRONUNCIATIONS.items():
            self._learn(word, phones)
        self._guessed: set[str] = set()
        self._expectation = Expectation()
        self._search: Search | None = None
        self._parts: list[Samples] = []

    def _learn(self, word: str, phones: str) -> None:
        for ear in self._ears:
            ear.learn(word, phones)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words whose pronunciation is, or would be, only guessed from their letters."""
        known = self._ears[0].knows
        return tuple(sorted({word for word in words if word in self._guessed or not known(word)}))

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance; words that no dictionary has are pronounced as they are spelled."""
        self._expectation = expectation
        self._search = search_for(expectation)
        for word in self.lacks(self._search.words):
            if word not in self._guessed:
                self._learn(word, guess_phones(word))
                self._guessed.add(word)
        self._parts = []

    def feed(self, samples: Samples) -> None:
        """Keep the samples: the ears need the whole utterance to level its loudness."""
        self._parts.append(samples)

    def _ballots(self) -> list[Decoded]:
        if self._search is None or sum(map(len, self._parts)) < _SHORTEST:
            return []
        samples = np.concatenate(self._parts)
        return [ear.decode(ear.prepare(self._search), samples) for ear in self._ears]

    def finish(self) -> Hypothesis:
        """Let every ear hear the utterance and say what they come to."""
        ballots = self._ballots()
        self._parts = []
        return vote(ballots, lambda words: _sense(words, self._expectation))

    def close(self) -> None:
        """Forget the utterance; the decoders go with this object."""
        self._parts = []
        self._search = None
