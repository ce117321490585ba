"""The recogniser that always works: pocketsphinx with the model of its own wheel.

A closed grammar accepts anything, and no score of the decoder is a probability. So three ears that
fail differently hear the same sound: one as it is, one for a shorter throat, one that leaves out
the lowest tones. They hear it with its noise made softer; unless they are sure, also as it is, or
in loud noise with all of it taken out, and two more hear it for voices much lower and higher than
usual. `voting` says what they come to.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from assistant.ears.cleaning import signal_over_noise
from assistant.ears.coverage import spans_of_number
from assistant.ears.pronouncing import guess_phones
from assistant.ears.recogniser import Hypothesis, IsEnough, likeliest_first
from assistant.ears.sound import RATE, Samples, Span, Stretch
from assistant.ears.sphinx_decoder import Decoded, SphinxDecoder
from assistant.ears.voting import FAINT, NOT_RANKED, fits, is_settled, rank, vote
from assistant.ears.weighing import Search, search_for, search_for_phrases
from assistant.spoken.meaning import Expectation, Picked, Value
from assistant.spoken.pronunciation import EXTRA_PRONUNCIATIONS
from assistant.spoken.understanding import understand

_AS_IT_IS = {"remove_noise": "no"}
_USUAL_EARS: tuple[dict[str, str], ...] = (
    _AS_IT_IS,
    {**_AS_IT_IS, "warp_params": "1.15"},
    {**_AS_IT_IS, "lowerf": "200"},
)
_FURTHER_EARS: tuple[dict[str, str], ...] = (
    {**_AS_IT_IS, "warp_params": "0.8"},
    {**_AS_IT_IS, "warp_params": "1.25"},
)
_FEW_WORDS = {"wip": 0.02, "wbeam": 1e-15, "beam": 1e-40, "pbeam": 1e-40}
_VARIANTS = (("point", "P OY N"), ("l", "W EH L"), ("el", "W EH L"), ("ell", "W EH L"))
"""Said so in running speech: "poin two", and "oh-well" for the letters O L."""
_SHORTEST = RATE // 10
_LONG = 6 * RATE
_STEPS_A_NAT = 120.0
"""How far behind in a ranking is one natural log less likely: a decoder's own score is far too sure
of itself. With it, two ears together choose best of what either heard: the right one for 95 of 102
numbers of the hearing bench's tuning part in noise, 90 with 80 and 92 with 200."""
_CLEANED_BELOW = 10.0
"""Decibels of the voice over the noise, below which sound as it is misleads more than it tells."""


class SphinxRecogniser:
    """Recogniser on pocketsphinx; needs no network, no download and no other process.

    Raises:
        EarsError: when the model is missing or cannot be loaded.
    """

    name = "sphinx"

    def __init__(self) -> None:
        self._usual = [SphinxDecoder(front_end, _FEW_WORDS) for front_end in _USUAL_EARS]
        self._further = [SphinxDecoder(front_end, _FEW_WORDS) for front_end in _FURTHER_EARS]
        for word, phones in (*EXTRA_PRONUNCIATIONS.items(), *_VARIANTS):
            self._learn(word, phones)
        self._guessed: set[str] = set()
        self._expectation = Expectation()
        self._search: Search | None = None
        self._parts: list[Stretch] = []
        self._last = Stretch.joined(())

    def _learn(self, word: str, phones: str) -> None:
        for ear in (*self._usual, *self._further):
            ear.learn(word, phones)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words whose pronunciation is, or would be, only guessed from their letters."""
        known = self._usual[0].knows
        return tuple(sorted({word for word in words if word in self._guessed or not known(word)}))

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance; words that no dictionary has are pronounced as they are spelled."""
        self._expectation = expectation
        self._search = search_for(expectation)
        for word in self.lacks(self._search.words):
            if word not in self._guessed:
                self._learn(word, guess_phones(word))
                self._guessed.add(word)
        for ear in self._usual:
            ear.prepare(self._search)
        self._parts = []

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Keep the samples: the ears need the whole utterance to level its loudness."""
        self._parts.append(Stretch(samples, samples if cleaned is None else cleaned))

    @staticmethod
    def _ballots(
        search: Search | None, ears: Iterable[SphinxDecoder], samples: Samples
    ) -> list[Decoded]:
        """Let ears decode; digital silence they hear as "two", once they have heard speech."""
        if search is None or len(samples) < _SHORTEST or not samples.any():
            return []
        return [ear.decode(ear.prepare(search), samples) for ear in ears]

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Let the ears hear the utterance and say what they come to.

        A number, also of a choice, that they did not agree on at once and surely is to be asked.
        """
        self._last = Stretch.joined(self._parts)
        self._parts = []
        ballots: list[Decoded] = []
        found, is_sure = vote(ballots, self._sense), False
        for ears, samples in self._hearings(self._last):
            ballots += self._ballots(self._search, ears, samples)
            found = replace(vote(ballots, self._sense), guesses=_guesses(ballots))
            is_sure = is_settled(ballots, self._sense)
            if is_sure or (is_enough and is_enough(found)):
                break
        if not is_sure and self._is_numbered(found.words):
            found = replace(found, doubt=FAINT)
        return replace(found, spans=self._spans(found.words, ballots))

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Let the usual ears hear the last utterance once more, for these phrases alone."""
        known = [words for words in phrases if self._usual[0].knows_all(words.split())]
        if not known:
            return {}
        search = search_for_phrases(tuple(known))
        ballots = self._ballots(search, self._usual, self._last.softened())
        for ear in self._usual:
            ear.forget(search)
        if not fits(ballots):
            return {}
        behind = rank(ballots)  # in it are parts of phrases too, where a path ended early
        likely = {words: -behind.get(words, NOT_RANKED) / _STEPS_A_NAT for words in known}
        return likeliest_first(likely)

    def _hearings(self, answer: Stretch) -> Iterator[tuple[list[SphinxDecoder], Samples]]:
        """Give which ears hear what, until they are sure: the voice as it suits them best first."""
        softened = answer.softened()
        yield self._usual, softened
        if len(answer) > _LONG:
            return  # few answers are so long, and noise that is takes many times as long to hear
        if softened is not answer.raw:
            is_loud = signal_over_noise(answer) < _CLEANED_BELOW
            yield self._usual, answer.cleaned if is_loud else answer.raw
        yield self._further, softened

    def _is_numbered(self, words: str) -> bool:
        """Whether it is a number, or a choice by its number."""
        meaning = understand(words, self._expectation)
        if not isinstance(meaning, Picked):
            return isinstance(meaning, Value)
        by_name = replace(self._expectation, takes_numbered_choice=False)
        return understand(words, by_name) != meaning

    def _spans(self, words: str, ballots: Sequence[Decoded]) -> tuple[Span, ...]:
        """Give where the words are, by the ear that they fit best of those that put them first."""
        sense = self._sense(words) if words else None
        agreed = [each for each in ballots if each.words and self._sense(each.words) == sense]
        best = max(agreed or ballots, key=lambda each: each.fit, default=Decoded())
        said = [(each.text, each.span) for each in best.segments if each.is_word]
        is_number = isinstance(understand(words, self._expectation), Value)
        return spans_of_number(said) if is_number else tuple(span for _, span in said)

    def _sense(self, words: str) -> object:
        """Give what words mean at this turn, without the doubts about it."""
        meaning = understand(words, self._expectation)
        return (meaning.reading, meaning.second) if isinstance(meaning, Value) else meaning

    def close(self) -> None:
        """Forget the utterance; the decoders go with this object."""
        self._parts = []
        self._last = Stretch.joined(())
        self._search = None


def _guesses(ballots: Iterable[Decoded]) -> tuple[str, ...]:
    """Give every phrase that any ear ranked, the least far behind first."""
    ranked = (each for ballot in ballots for each in ballot.ranking)
    return tuple(dict.fromkeys(each.words for each in sorted(ranked, key=lambda each: each.behind)))
