"""Two recognisers as one: what either doubts is doubted.

Two that work differently seldom make the same mistake, so agreement is worth more than any figure
of confidence; where they differ, the other's words become the first alternative. The first ear is
the only source of what is heard: where it hears nothing there is nothing.
"""

from collections.abc import Hashable, Iterable

from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.second_ear import Opinion, SecondEar
from assistant.ears.second_ear_reading import sense_of
from assistant.ears.sound import Samples
from assistant.spoken.meaning import Expectation, Value
from assistant.spoken.understanding import understand


class PairRecogniser:
    """Two recognisers that hear the same utterances.

    Args:
        first: whose words are given.
        second: whose words are alternatives; where it hears no answer there is none.
    """

    def __init__(self, first: Recogniser, second: Recogniser) -> None:
        self._both = (first, second)
        self.name = f"{first.name}+{second.name}"

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance on both."""
        for recogniser in self._both:
            recogniser.begin(expectation)

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Give more of the utterance to both."""
        for recogniser in self._both:
            recogniser.feed(samples, cleaned)

    def finish(self) -> Hypothesis:
        """Say what both make of the utterance."""
        first, second = (recogniser.finish() for recogniser in self._both)
        for silent in (first, second):
            if not silent.words:
                return silent
        others = [second.words, *first.alternatives, *second.alternatives]
        guesses = (*first.guesses, *second.guesses)
        return Hypothesis(first.words, _without(first.words, others), guesses=guesses)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that either lacks."""
        wanted = tuple(words)
        return tuple(sorted({word for each in self._both for word in each.lacks(wanted)}))

    def close(self) -> None:
        """Close both."""
        for recogniser in self._both:
            recogniser.close()


class SecondedRecogniser:
    """A recogniser whose answers a second ear has heard too; both work at the same time.

    Args:
        first: whose words are given; it alone can hear an answer.
        second: who says whether it heard the same; it is waited for here.

    Raises:
        EarsError: when the second ear cannot be loaded; the first is then closed.
    """

    def __init__(self, first: Recogniser, second: SecondEar) -> None:
        self._first, self._second = first, second
        self._expectation = Expectation()
        self.name = f"{first.name}+{second.name}"
        try:
            second.wait()
        except BaseException:
            self.close()
            raise

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance on both."""
        self._expectation = expectation
        self._first.begin(expectation)
        self._second.begin(expectation)

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Give more of the utterance to both."""
        self._second.feed(samples, cleaned)
        self._first.feed(samples, cleaned)

    def finish(self) -> Hypothesis:
        """Say what the first ear heard, and whether the second heard it too."""
        self._second.conclude()
        heard = self._first.finish()
        return seconded(heard, self._second.opinion(), self._expectation)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that the first lacks; the second spells what it hears."""
        return self._first.lacks(words)

    def close(self) -> None:
        """Close both."""
        self._first.close()
        self._second.close()


def seconded(heard: Hypothesis, opinion: Opinion, expectation: Expectation) -> Hypothesis:
    """Hold a first ear's answer against what a second ear heard.

    - They agree: only what both found nearly as likely is left as an alternative.
    - The second heard what the first had as an alternative, or at least among its guesses: that is
      put first, to be asked about.
    - It heard another answer: that becomes the first alternative.
    - It heard no number in what the first took for one: there was no answer.
    - It made nothing of what was no number: the first ear's answer stands as it is.

    Args:
        heard: the first ear's answer; where it is nothing, it stays nothing.
        opinion: what the second ear made of the same sound.
        expectation: the turn.
    """
    if not heard.words:
        return heard
    meaning = understand(heard.words, expectation)
    if isinstance(meaning, Value) and not opinion.is_answer:
        return Hypothesis("", why=opinion.why, is_seconded=False)
    best = next(iter(opinion.senses), None)
    if best is not None and best == sense_of(meaning):
        doubted = (_meaning(sense, heard.alternatives, expectation) for sense in opinion.senses[1:])
        return Hypothesis(heard.words, tuple(filter(None, doubted)), is_seconded=True)
    if best is None and not isinstance(meaning, Value):
        return heard
    own = (*heard.alternatives, *heard.guesses)
    words = heard.words if best is None else _meaning(best, own, expectation) or heard.words
    others = _without(words, [heard.words, *opinion.words, *heard.alternatives])
    return Hypothesis(words, others, is_seconded=False)


def _meaning(sense: Hashable, phrases: Iterable[str], expectation: Expectation) -> str:
    """Give the first of the phrases that has this sense; empty when none has."""
    for words in phrases:
        if sense_of(understand(words, expectation)) == sense:
            return words
    return ""


def _without(words: str, others: Iterable[str]) -> tuple[str, ...]:
    return tuple(other for other in dict.fromkeys(others) if other and other != words)
