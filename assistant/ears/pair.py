"""Two recognisers as one: what either doubts is doubted.

Two that work differently seldom make the same mistake, so agreement is worth more than any figure
of confidence; where they differ, the other's words become the first alternative.
"""

from collections.abc import Iterable

from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.sound import Samples
from assistant.spoken.meaning import Expectation


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

    def feed(self, samples: Samples) -> None:
        """Give more of the utterance to both."""
        for recogniser in self._both:
            recogniser.feed(samples)

    def finish(self) -> Hypothesis:
        """Say what both make of the utterance."""
        first, second = (recogniser.finish() for recogniser in self._both)
        for silent in (first, second):
            if not silent.words:
                return silent
        others = [second.words, *first.alternatives, *second.alternatives]
        return Hypothesis(
            first.words, tuple(other for other in dict.fromkeys(others) if other != first.words)
        )

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that either lacks."""
        wanted = tuple(words)
        return tuple(sorted({word for each in self._both for word in each.lacks(wanted)}))

    def close(self) -> None:
        """Close both."""
        for recogniser in self._both:
            recogniser.close()
