"""Two recognisers as one: what either doubts is doubted.

Two that work differently seldom make the same mistake, so agreement is worth more than any figure
of confidence. Where they differ, both compare all that either heard, and what is likeliest to both
together is asked about first; nothing that only one of them heard is believed, and where nothing
of it fits the first ear, its own words are asked about.
"""

import math
from collections.abc import Callable, Container, Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain, islice
from typing import TypeAlias

from assistant.ears.recogniser import Hypothesis, IsEnough, Recogniser
from assistant.ears.second_ear import Opinion, SecondEar
from assistant.ears.second_ear_reading import spoken_ways
from assistant.ears.sound import RATE, Samples
from assistant.spoken.commands import PLAIN_NO, PLAIN_YES
from assistant.spoken.decision import SAY_YES_OR_NO
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
            doubt=first.doubt or second.doubt,
            spans=first.spans or second.spans,
        )

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Tell how likely each phrase is, by the first that finds one."""
        found = (recogniser.compare(phrases) for recogniser in self._both)
        return next(filter(None, found), {})

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
        self._fed = 0
        self.name = f"{first.name}+{second.name}"
        try:
            second.wait()
        except BaseException:
            self.close()
            raise

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance on both."""
        self._expectation, self._heard, self._fed = expectation, None, 0
        self._first.begin(expectation)
        self._second.begin(expectation)

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Give more of the utterance to both."""
        self._fed += len(samples)
        self._second.feed(samples, cleaned)
        self._first.feed(samples, cleaned)

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what the first ear heard, and whether the second heard it too.

        The first need not listen again once it has come to what the second heard, or where it will
        not come to the second's number.
        """
        del is_enough
        self._second.conclude()
        heard = self._first.finish(self._is_done)
        return seconded(
            heard,
            self._opinion(),
            self._expectation,
            self._first.compare,
            self._second.compare,
            self._fed / RATE,
        )

    def _opinion(self) -> Opinion:
        if self._heard is None:
            self._heard = self._second.opinion()
        return self._heard

    def _is_done(self, heard: Hypothesis) -> bool:
        """Whether both agree, or the first ear did not even guess the second's number.

        Then it hardly ever comes to it, and what it has guessed is enough to be compared.
        """
        best = next(iter(self._opinion().senses), None)
        if best is not None and best == self._sense(heard.words):
            return not heard.doubt
        is_number = self._expectation.number is not None
        return is_number and (best is None or best not in map(self._sense, heard.guesses))

    def _sense(self, words: str) -> Hashable:
        return sense_of(understand(words, self._expectation)) if words else None

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Tell how likely each phrase is to the first ear."""
        return self._first.compare(phrases)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words that the first lacks; the second spells what it hears."""
        return self._first.lacks(words)

    def close(self) -> None:
        """Close both."""
        self._first.close()
        self._second.close()


_NO_YES = Hypothesis("", why=SAY_YES_OR_NO, is_seconded=False)

_SURELY_YES, _SURELY_YES_IN_MORE = 5.0, 8.0
"""How much likelier than any no a yes must be to both together, as a natural log. In the hearing
bench's noise at 20, 10 and 5 dB none of 540 noes was above 4.0; 426 of 538 yeses were above 5. In
sound that lasts longer than a yes somebody else talks: a "negative" with the tool's own voice
behind it was at 7.3 there."""
_LONGEST_YES = 2.2
"""Seconds of a yes with the quiet that is kept before and behind it: 1.3 to 2.0 on the bench."""

_ALWAYS_OBEYED = frozenset({CommandKind.STOP, CommandKind.HOLD})
_MOVING = frozenset({CommandKind.BACK, CommandKind.SCRATCH, CommandKind.SKIP})

_MOST_COMPARED, _MOST_WAYS = 6, 4
"""How many answers are compared, and how many ways to say each."""


Compare: TypeAlias = Callable[[Sequence[str]], Mapping[str, float]]
"""`Recogniser.compare` of an utterance."""


def seconded(
    heard: Hypothesis,
    opinion: Opinion,
    expectation: Expectation,
    to_first: Compare,
    to_second: Compare,
    seconds: float,
) -> Hypothesis:
    """Hold a first ear's answer against what a second ear heard.

    - They agree: only what both found nearly as likely is left as an alternative.
    - The second heard a yes: it is one where a way to say it is far likelier to both together than
      any way to say no. A number may hang on it.
    - They differ, or the second heard a number it could not read: what either heard is compared by
      both, and the likeliest is put first, to be asked about. Where nothing of it fits the first
      ear, its own words are; nothing stays nothing.
    - The second heard a command: it is obeyed, for it hears them far better and none gives a value.
      Of those that only the first heard, to wait and to stop are; where the second heard no answer
      either, all that leave the walk where it is.
    - Only the first heard a yes: there was none.
    - The second heard no answer in what the first took for a number or a yes: there was none.
    - It made nothing of a choice: that is asked about. A no stands as it is.

    Args:
        heard: the first ear's answer.
        opinion: what the second ear made of the same sound.
        expectation: the turn.
        to_first: how likely phrases are to the first ear.
        to_second: how likely they are to the second.
        seconds: how long the sound lasts.
    """
    meaning = understand(heard.words, expectation) if heard.words else None
    is_obeyed = _is_command(meaning, _ALWAYS_OBEYED)
    best = next(iter(opinion.senses), None)
    if best is None and not (isinstance(meaning, Value) and opinion.is_answer):
        return _unseconded(heard, meaning, opinion)
    if best == YesNo(is_yes=True) and not is_obeyed:
        needed = _SURELY_YES if seconds <= _LONGEST_YES else _SURELY_YES_IN_MORE
        return _yes_of_both(needed, to_first, to_second)
    if best == (meaning and sense_of(meaning)):
        doubted = [
            words
            for sense in opinion.senses[1:]
            for words in _with_sense(sense, heard.alternatives, expectation)[:1]
        ]
        return Hypothesis(heard.words, tuple(doubted), is_seconded=True, spans=heard.spans)
    words = heard.words
    if not is_obeyed:
        if isinstance(best, CommandKind):
            return Hypothesis(opinion.words[0], is_seconded=False)
        ways = _ways_to_answer(heard, opinion, expectation)
        words = _likeliest_of(ways, to_first, to_second) or words
    return _asked_about(words, heard, opinion, expectation) if words else heard


def _asked_about(
    words: str, heard: Hypothesis, opinion: Opinion, expectation: Expectation
) -> Hypothesis:
    """Put words first that only one has heard; a yes is none, and no command is near an answer."""
    if _is_yes(understand(words, expectation)):
        return _NO_YES
    others = _without(words, [heard.words, *opinion.words, *heard.alternatives])
    answers = (other for other in others if not isinstance(understand(other, expectation), Command))
    return Hypothesis(words, tuple(answers), is_seconded=False)


def _ways_to_answer(
    heard: Hypothesis, opinion: Opinion, expectation: Expectation
) -> list[tuple[str, ...]]:
    """Give ways to say each answer that either heard: what they put first, then what else it was.

    A command is none, and neither is a yes.
    """
    said = chain.from_iterable(map(spoken_ways, opinion.words))
    ways: dict[Hashable, list[str]] = {}
    for words in filter(None, (heard.words, *said, *heard.alternatives, *heard.guesses)):
        meaning = understand(words, expectation)
        if isinstance(meaning, Value | Picked) or meaning == YesNo(is_yes=False):
            ways.setdefault(sense_of(meaning), []).append(words)
    each = (dict.fromkeys(words) for words in islice(ways.values(), _MOST_COMPARED))
    return [tuple(islice(words, _MOST_WAYS)) for words in each]


def _likeliest_of(ways: Sequence[Sequence[str]], to_first: Compare, to_second: Compare) -> str:
    """Give what is likeliest to both together; empty where nothing fits the first ear.

    Of the ways to say one answer the first ear chooses.
    """
    by_first = to_first(tuple(chain.from_iterable(ways)))
    fitting = ([words for words in said if words in by_first] for said in ways)
    best = [max(said, key=lambda words: by_first[words]) for said in fitting if said]
    by_second = to_second(best)
    return max(best, key=lambda words: by_first[words] + by_second.get(words, 0.0), default="")


def _yes_of_both(needed: float, to_first: Compare, to_second: Compare) -> Hypothesis:
    """Give the yes that both together are sure of.

    Both must be for the same words: a yes to one that is another yes to the other may be a no.
    """
    said = (*PLAIN_YES, *PLAIN_NO)
    by_first, by_second = to_first(said), to_second(said)
    both = {words: by_first[words] + by_second[words] for words in by_first if words in by_second}
    yes = max((words for words in PLAIN_YES if words in both), key=both.__getitem__, default="")
    no = max((both[words] for words in PLAIN_NO if words in both), default=-math.inf)
    if yes and both[yes] - no >= needed:
        return Hypothesis(yes, is_seconded=True)
    return _NO_YES


def _unseconded(heard: Hypothesis, meaning: Meaning | None, opinion: Opinion) -> Hypothesis:
    is_yes_alone = _is_yes(meaning) and not opinion.is_answer
    if isinstance(meaning, Value) or is_yes_alone or _is_command(meaning, _MOVING):
        return Hypothesis("", why=opinion.why, is_seconded=False)
    is_asked = _is_yes(meaning) or isinstance(meaning, Picked)
    return replace(heard, is_seconded=False) if is_asked else heard


def _is_yes(meaning: Meaning | None) -> bool:
    return isinstance(meaning, YesNo) and meaning.is_yes


def _is_command(meaning: Meaning | None, kinds: Container[CommandKind]) -> bool:
    return isinstance(meaning, Command) and meaning.kind in kinds


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
