"""The recogniser that always works: pocketsphinx with the model of its own wheel.

A closed grammar accepts anything, so a wrong number is kept out in two ways: two ears that fail
differently hear the same sound, and a word that fits its sound badly is not believed.
"""

from collections.abc import Iterable

import numpy as np

from assistant.ears.pronouncing import guess_phones
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import RATE, Samples
from assistant.ears.sphinx_decoder import Decoded, SphinxDecoder
from assistant.ears.wordnet import WordNet, word_net
from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import Expectation
from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS

_KEPT_AS_IT_IS = {"remove_noise": "no"}
_FEW_WORDS = {"wip": 0.01, "wbeam": 1e-25, "beam": 1e-40, "pbeam": 1e-40}
_WORST_FIT = -60.0
_SHORTEST = RATE // 10
_OUTSIDE = "This was no answer that the step takes."


class SphinxRecogniser:
    """Recogniser on pocketsphinx; needs no network, no download and no other process.

    Raises:
        EarsError: when the model is missing or cannot be loaded.
    """

    name = "sphinx"

    def __init__(self) -> None:
        self._first = SphinxDecoder(_KEPT_AS_IT_IS, _FEW_WORDS)
        self._second = SphinxDecoder({**_KEPT_AS_IT_IS, "warp_params": "0.9"}, _FEW_WORDS)
        for word, phones in EXTRA_PRONUNCIATIONS.items():
            self._learn(word, phones)
        self._lacking: set[str] = set()
        self._net: WordNet | None = None
        self._parts: list[Samples] = []

    def _learn(self, word: str, phones: str) -> None:
        for decoder in (self._first, self._second):
            decoder.learn(word, phones)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words whose pronunciation is only guessed from their letters."""
        unknown = {word for word in words if not self._first.knows(word)}
        return tuple(sorted(unknown | (self._lacking & set(words))))

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance; words that no dictionary has are pronounced as they are spelled."""
        self._net = word_net(grammar_for(expectation).to_jsgf())
        for word in self.lacks({word for _, _, word in self._net.arcs}):
            if word not in self._lacking:
                self._learn(word, guess_phones(word))
                self._lacking.add(word)
        self._parts = []

    def feed(self, samples: Samples) -> None:
        """Keep the samples: the decoders need the whole utterance to level its loudness."""
        self._parts.append(samples)

    def _heard(self, decoder: SphinxDecoder) -> Decoded:
        if self._net is None or sum(map(len, self._parts)) < _SHORTEST:
            return Decoded(())
        return decoder.decode(decoder.prepare(self._net), np.concatenate(self._parts))

    def so_far(self) -> str:
        """Give the first ear's words until now."""
        return self._heard(self._first).words

    def finish(self) -> Hypothesis:
        """Let every ear hear the utterance and say what they agree on."""
        first, second = self._heard(self._first), self._heard(self._second)
        if not first.words:
            return Hypothesis("", why=_OUTSIDE)
        self._parts = []
        if first.worst_fit < _WORST_FIT:
            return Hypothesis("", why=_OUTSIDE)
        others = (second.words,) if second.words != first.words else ()
        return Hypothesis(first.words, others)

    def close(self) -> None:
        """Forget the utterance; the decoders go with this object."""
        self._parts = []
        self._net = None
