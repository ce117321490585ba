"""The second ear: whisper, in a process of its own, heard only beside a first ear.

Whisper works quite unlike the other recognisers, so it seldom makes their mistakes. It writes
freely, so nothing is believed from it alone: it seconds a first ear's answer, or has one asked.
"""

import contextlib
import math
import time
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from assistant.ears.recogniser import Hypothesis, IsEnough, likeliest_first
from assistant.ears.second_ear_reading import is_like_a_number, read_transcript, written_ways
from assistant.ears.second_ear_weights import find_weights
from assistant.ears.sound import RATE, EarsError, Samples
from assistant.ears.worker_process import WorkerGoneError, WorkerLateError, WorkerProcess
from assistant.quantity import Unit, unit_words
from assistant.spoken.commands import PLAIN_NO, PLAIN_YES
from assistant.spoken.meaning import Expectation, YesNo, sense_of

_WORKER = "assistant.ears.second_ear_worker"
_ANSWER_SECONDS, _STARTING_AGAIN_SECONDS = 4.0, 15.0
_SHORTEST = RATE // 10
_NEARLY = 3.0
"""How much less likely, as a natural log, what else was heard may be to count as heard."""

_NUMBERS_BEFORE = (
    "Seventeen point five ohms. Two forty volts. O L. 45.2 microfarads. Yes. 0.55 inches."
)
_DIGITS_BEFORE = "Eight, one. Three, six, point, five. One, nine, zero. Seven, seven."
_FORMS_BEFORE = "45.2. Two forty."
"""Where numbers are compared. Each word of it costs as much time as one of theirs, each time; with
it 57 of 60 were right, with `_NUMBERS_BEFORE` 56, without any 55 (hearing bench's tuning part)."""
_UNITS_BEFORE = frozenset({Unit.OHM, Unit.VOLT, Unit.MICROFARAD, Unit.IN_WC})
_MOST_CHOICES = 8

YES_AND_NO = {
    **{f"{word.capitalize()}.": "yes" for word in PLAIN_YES},
    **{f"{word.capitalize()}.": "no" for word in PLAIN_NO},
}
"""What it chooses between where only yes or no is asked, as it writes them."""

_RATHER_YES, _RATHER_NO, _LEAST_LIKELY = 3.0, -1.0, -7.0
"""Natural logs of the likelihood of yes over no, and of either: what it leans to, and no more. A
yes must be sure to both ears together."""

_OUTSIDE = "The second ear heard no answer that the step takes."
_LATE = "The second ear did not answer in time."
_DIED = "The second ear stopped working and was started again."


@dataclass(frozen=True, slots=True)
class Opinion:
    """What the second ear made of an answer.

    Args:
        words: words that mean something at this turn, likelier first.
        senses: what they mean, as `sense_of` gives it, each once.
        is_answer: whether it heard at least something like an answer of this turn.
        why: why there are no words; else empty.
    """

    words: tuple[str, ...] = ()
    senses: tuple[Hashable, ...] = ()
    is_answer: bool = False
    why: str = ""


def words_before(expectation: Expectation) -> str:
    """Give what whisper is told went before: answers of the turn's kind, written as they are said.

    Without it "forty ohms" is "40 gnomes" and "two one zero point two" is "2 1 0. 2". Where only
    yes or no is asked nothing goes before: it chooses between them.
    """
    if expectation.is_yes_or_no:
        return ""
    said = [f"{choice.phrases[0]}." for choice in expectation.choices[:_MOST_CHOICES]]
    if expectation.number is None:
        return " ".join(said)
    if expectation.digits_only:
        return " ".join([*said, _DIGITS_BEFORE])
    unit = unit_words(expectation.number.units[0])
    own = [] if expectation.number.units[0] in _UNITS_BEFORE else [f"Two forty {unit}."]
    return " ".join([*said, *own, _NUMBERS_BEFORE])


class SecondEar:
    """Whisper through faster-whisper, with int8 weights on one core.

    The process is started at once and loads while the caller goes on; `wait` for it before use.

    Args:
        setting: `auto`, `off` or the folder of the weights; None: what the environment says.

    Raises:
        EarsError: when it is off, not installed, or its weights are not whole.
    """

    name = "second-ear"

    def __init__(self, setting: str | None = None) -> None:
        self._folder = find_weights(setting)
        self._process: WorkerProcess | None = self._started()
        self._is_up = False
        self._expectation = Expectation()
        self._count = 0
        self._number = 0
        self._is_asked = False
        self._is_late = False

    def _started(self) -> WorkerProcess:
        return WorkerProcess(_WORKER, [str(self._folder)])

    def wait(self) -> None:
        """Wait until it is loaded.

        Raises:
            EarsError: when its weights cannot be loaded.
        """
        try:
            self._running().wait_until_up()
        except WorkerGoneError as error:
            raise EarsError(
                f"The second ear could not load the weights in {self._folder}.",
                "Name another folder, or set second_ear to 'off'.",
            ) from error
        self._is_up = True

    def _running(self) -> WorkerProcess:
        if self._process is None:
            self._process, self._is_up = self._started(), False
        return self._process

    def _drop(self) -> None:
        if self._process is not None:
            self._process.end()
            self._process = None

    def _send(self, request: dict[str, object], sound: bytes = b"") -> None:
        """Send; a death shows when it is asked for its opinion."""
        with contextlib.suppress(WorkerGoneError):
            self._running().send(request, sound)

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance; what was not finished is dropped."""
        self._expectation = expectation
        self._count, self._is_asked = 0, False
        self._send({"do": "begin"})

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Take more of the utterance."""
        del cleaned
        self._count += len(samples)
        self._send({"do": "feed"}, samples.astype("<i2").tobytes())

    def conclude(self) -> None:
        """Start to work out the utterance, while another ear works out its own."""
        if self._count >= _SHORTEST and not self._is_asked:
            self._number += 1
            among = list(YES_AND_NO) if self._expectation.is_yes_or_no else []
            before = words_before(self._expectation)
            request = {"number": self._number, "before": before, "among": among}
            self._send({"do": "transcribe", **request})
            self._is_asked = True

    def opinion(self) -> Opinion:
        """Say what the utterance came to; no opinion where the process died or hung over it."""
        self.conclude()
        if not self._is_asked:
            return Opinion(why=_OUTSIDE)
        self._is_asked, self._count = False, 0
        try:
            texts = self._answer()
        except WorkerLateError:
            return self._told_late()
        except WorkerGoneError:
            return self._started_again()
        self._is_late = False
        if self._expectation.is_yes_or_no:
            return choice_of(texts)
        return opinion_of(texts, self._expectation)

    def _answer(self) -> list[tuple[str, float]]:
        """Wait for the transcripts; what comes late for an earlier utterance is left out."""
        process = self._running()
        if not self._is_up:
            process.wait_until_up(_STARTING_AGAIN_SECONDS)
            self._is_up = True
        until = time.monotonic() + _ANSWER_SECONDS
        while True:
            answer = process.answer(max(0.0, until - time.monotonic()))
            if answer["number"] == self._number:
                return [(text, score) for text, score in answer["texts"]]

    def _told_late(self) -> Opinion:
        """Let a busy machine go on; what is late twice on end is taken to hang."""
        if self._is_late:
            return self._started_again()
        self._is_late = True
        return Opinion(is_answer=True, why=_LATE)

    def _started_again(self) -> Opinion:
        self._drop()
        self._running()
        self._is_late = False
        return Opinion(is_answer=True, why=_DIED)

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what it heard, as one opinion among others."""
        del is_enough
        found = self.opinion()
        return Hypothesis(next(iter(found.words), ""), found.words[1:], found.why)

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Tell how likely the utterance it gave its opinion of is each of the phrases.

        All ways of writing one count together. Empty where it heard no utterance, or died or hung.
        """
        ways = [(words, way) for words in phrases for way in written_ways(words, self._expectation)]
        if not ways:
            return {}
        self._number += 1
        among = list(dict.fromkeys(way for _, way in ways))
        before = "" if self._expectation.number is None else _FORMS_BEFORE
        self._send({"do": "weigh", "number": self._number, "among": among, "before": before})
        try:
            scores = dict(self._answer())
        except (WorkerLateError, WorkerGoneError):
            return {}
        likely: dict[str, float] = {}
        for words, way in ways if scores else ():
            likely[words] = float(np.logaddexp(likely.get(words, -math.inf), scores[way]))
        return likeliest_first(likely)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name no word: it spells what it hears."""
        del words
        return ()

    def close(self) -> None:
        """End the process."""
        self._is_asked = False
        self._drop()


def choice_of(texts: list[tuple[str, float]]) -> Opinion:
    """Choose between yes and no; neither where they are about as likely, or nothing is likely.

    Args:
        texts: those of `YES_AND_NO`, with the natural log of their probability.
    """
    likely = {"yes": -math.inf, "no": -math.inf}
    for text, score in texts:
        said = YES_AND_NO[text]
        likely[said] = float(np.logaddexp(likely[said], score))
    more = likely["yes"] - likely["no"]
    sense = "yes" if more > _RATHER_YES else "no" if more < _RATHER_NO else ""
    if not sense or likely[sense] < _LEAST_LIKELY:
        return Opinion(why=_OUTSIDE)
    words = tuple(text.strip(".").lower() for text, said in YES_AND_NO.items() if said == sense)
    return Opinion(words, (YesNo(sense == "yes"),), is_answer=True)


def opinion_of(texts: list[tuple[str, float]], expectation: Expectation) -> Opinion:
    """Read transcripts under a turn and weigh what they mean.

    Args:
        texts: transcripts with the natural log of their probability.
        expectation: the turn.
    """
    phrases: dict[Hashable, str] = {}
    weights: dict[Hashable, float] = {}
    for text, score in texts:
        words, meaning = read_transcript(text, expectation)
        sense = sense_of(meaning)
        phrases.setdefault(sense, words)
        weights[sense] = weights.get(sense, 0.0) + math.exp(score)
    weights.pop(None, None)
    ranked = sorted(weights, key=lambda sense: -weights[sense])
    least = weights[ranked[0]] * math.exp(-_NEARLY) if ranked else 0.0
    near = tuple(sense for sense in ranked if weights[sense] >= least)
    if near:
        return Opinion(tuple(phrases[sense] for sense in near), near, is_answer=True)
    is_answer = any(is_like_a_number(text, expectation) for text, _ in texts)
    return Opinion(is_answer=is_answer, why=_OUTSIDE)
