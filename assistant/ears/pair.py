"""Two recognisers as one: what either doubts is doubted.

Two that work differently seldom make the same mistake, so agreement is worth more than any figure
of confidence. Where they differ, what the second heard is asked about first, if the first ear finds
that the sound fits it; nothing that only one of them heard is believed, and what does not fit
the first is not even asked about.
"""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import replace
from itertools import chain

from assistant.ears.recogniser import Hypothesis, IsEnough, Recogniser
from assistant.ears.second_ear import Opinion, SecondEar
from assistant.ears.second_ear_reading import spoken_ways
from assistant.ears.sound import Samples
from assistant.spoken.commands import PLAIN_NO, PLAIN_YES
from assistant.spoken.meaning import (
    Command,
    CommandKind,
    Expectation,
    Meaning,
    Picked,
    Value,
    YesNo,
    sense_of,
)
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

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what both make of the utterance."""
        del is_enough
        first, second = (recogniser.finish() for recogniser in self._both)
        for silent in (first, second):
            if not silent.words:
                return silent
        others = [second.words, *first.alternatives, *second.alternatives]
        return Hypothesis(
            first.words,
            _without(first.words, others),
            guesses=(*first.guesses, *second.guesses),
            spans=first.spans or second.spans,
        )

    def best_fit(self, phrases: Sequence[str]) -> str:
        """Give the phrase that the utterance fits best, by the first that finds one."""
        found = (recogniser.best_fit(phrases) for recogniser in self._both)
        return next(filter(None, found), "")

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
        first: whose words are given, its own or those of the second's that it finds fitting.
        second: who says what it heard in the same sound; it is waited for here.

    Raises:
        EarsError: when the second ear cannot be loaded; the first is then closed.
    """

    def __init__(self, first: Recogniser, second: SecondEar) -> None:
        self._first, self._second = first, second
        self._expectation = Expectation()
        self._heard: Opinion | None = None
        self.name = f"{first.name}+{second.name}"
        try:
            second.wait()
        except BaseException:
            self.close()
            raise

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance on both."""
        self._expectation, self._heard = expectation, None
        self._first.begin(expectation)
        self._second.begin(expectation)

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Give more of the utterance to both."""
        self._second.feed(samples, cleaned)
        self._first.feed(samples, cleaned)

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what the first ear heard, and whether the second heard it too.

        The first need not listen again once it has come to what the second heard.
        """
        del is_enough
        self._second.conclude()
        heard = self._first.finish(self._is_seconded)
        return seconded(heard, self._opinion(), self._expectation, self._first.best_fit)

    def _opinion(self) -> Opinion:
        if self._heard is None:
            self._heard = self._second.opinion()
        return self._heard

    def _is_seconded(self, heard: Hypothesis) -> bool:
        best = next(iter(self._opinion().senses), None)
        return not heard.doubt and best is not None and best == self._sense(heard.words)

    def _sense(self, words: str) -> Hashable:
        return sense_of(understand(words, self._expectation)) if words else None

    def best_fit(self, phrases: Sequence[str]) -> str:
        """Give the phrase that the utterance fits best by the first ear."""
        return self._first.best_fit(phrases)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that the first lacks; the second spells what it hears."""
        return self._first.lacks(words)

    def close(self) -> None:
        """Close both."""
        self._first.close()
        self._second.close()


NOT_BOTH = "Only one of two ears heard a yes."

_ALWAYS_OBEYED = frozenset({CommandKind.STOP, CommandKind.HOLD})


def seconded(
    heard: Hypothesis,
    opinion: Opinion,
    expectation: Expectation,
    best_fit: Callable[[Sequence[str]], str],
) -> Hypothesis:
    """Hold a first ear's answer against what a second ear heard.

    - They agree: only what both found nearly as likely is left as an alternative.
    - They differ, and the sound fits what the second heard: that is put first, to be asked about. A
      command is only obeyed where the first ear heard it, and then if it is to wait or to stop.
    - They differ, and it does not fit: the first ear's words stay first, to be asked about; nothing
      stays nothing.
    - Only one of them heard a yes: there was none, since a number may hang on it. But where it was
      the second, a first that heard no no is asked once more, between yes and no alone.
    - The second heard no answer in what the first took for a number or a yes: there was none.
    - It made nothing of a choice: that is asked about. A no or a command stands as it is.

    Args:
        heard: the first ear's answer.
        opinion: what the second ear made of the same sound.
        expectation: the turn.
        best_fit: gives the phrase that the sound fits by the first ear; empty where it fits none.
    """
    meaning = understand(heard.words, expectation) if heard.words else None
    best = next(iter(opinion.senses), None)
    if best is None:
        return _unseconded(heard, meaning, opinion)
    if best == (meaning and sense_of(meaning)):
        doubted = [
            words
            for sense in opinion.senses[1:]
            for words in _with_sense(sense, heard.alternatives, expectation)[:1]
        ]
        return Hypothesis(heard.words, tuple(doubted), is_seconded=True, spans=heard.spans)
    if best == YesNo(is_yes=True) and not _is_always_obeyed(meaning):
        is_asked = meaning != YesNo(is_yes=False)
        return _yes_of_both(best_fit((*PLAIN_YES, *PLAIN_NO)) if is_asked else "")
    words = ""
    if not (_is_always_obeyed(meaning) or _is_command(opinion.words[0], expectation)):
        said = chain.from_iterable(map(spoken_ways, opinion.words))
        ways = chain(heard.alternatives, heard.guesses, said)
        words = best_fit(_with_sense(best, ways, expectation))
    words = words or heard.words
    if not words:
        return heard
    if _is_yes(understand(words, expectation)):
        return Hypothesis("", why=NOT_BOTH, is_seconded=False)
    others = _without(words, [heard.words, *opinion.words, *heard.alternatives])
    answers = (other for other in others if not _is_command(other, expectation))
    return Hypothesis(words, tuple(answers), is_seconded=False)


def _yes_of_both(chosen: str) -> Hypothesis:
    """Give the second's yes only where the first ear, asked for yes or no alone, chose one too."""
    if chosen in PLAIN_YES:
        return Hypothesis(chosen, is_seconded=True)
    return Hypothesis("", why=NOT_BOTH, is_seconded=False)


def _unseconded(heard: Hypothesis, meaning: Meaning | None, opinion: Opinion) -> Hypothesis:
    is_yes = _is_yes(meaning)
    if (is_yes or isinstance(meaning, Value)) and not opinion.is_answer:
        return Hypothesis("", why=opinion.why, is_seconded=False)
    is_asked = is_yes or isinstance(meaning, Value | Picked)
    return replace(heard, is_seconded=False) if is_asked else heard


def _is_yes(meaning: Meaning | None) -> bool:
    return isinstance(meaning, YesNo) and meaning.is_yes


def _is_always_obeyed(meaning: Meaning | None) -> bool:
    return isinstance(meaning, Command) and meaning.kind in _ALWAYS_OBEYED


def _is_command(words: str, expectation: Expectation) -> bool:
    return isinstance(understand(words, expectation), Command)


def _with_sense(
    sense: Hashable, phrases: Iterable[str], expectation: Expectation
) -> tuple[str, ...]:
    """Give those of the phrases that have this sense, each once."""
    return tuple(
        words
        for words in dict.fromkeys(phrases)
        if sense_of(understand(words, expectation)) == sense
    )


def _without(words: str, others: Iterable[str]) -> tuple[str, ...]:
    return tuple(other for other in dict.fromkeys(others) if other and other != words)
