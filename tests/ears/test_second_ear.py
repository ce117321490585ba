"""A second ear seconds or doubts what a first ear heard; nothing is believed from it alone."""

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, quiet, recorded

from assistant.ears import second_ear
from assistant.ears.pair import Compare, SecondedRecogniser, seconded
from assistant.ears.recogniser import Hypothesis, IsEnough
from assistant.ears.second_ear import (
    YES_AND_NO,
    Opinion,
    SecondEar,
    choice_of,
    opinion_of,
    words_before,
)
from assistant.ears.second_ear_reading import written_ways
from assistant.ears.sound import EarsError
from assistant.ears.worker_process import WorkerGoneError, WorkerLateError
from assistant.spoken.commands import PLAIN_NO, PLAIN_YES
from assistant.spoken.decision import SAY_YES_OR_NO
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Choice, Expectation, YesNo

OHM = expectation_for_unit("ohm")
SHORT = 1.5
"""Seconds of a sound in which a yes is all that was said."""


def heard_by_second(*texts: str) -> Opinion:
    """Make an opinion of transcripts, each a little less likely than the one before."""
    return opinion_of([(text, -0.5 * place) for place, text in enumerate(texts)], OHM)


class ScriptedProcess:
    """A worker that answers as it is told: transcripts, `late` or `gone`."""

    def __init__(self, *given: object) -> None:
        del given
        self.asked: list[dict[str, Any]] = []
        self.answers: list[Any] = []
        self.is_ended = False

    def wait_until_up(self, seconds: float = 0.0) -> None:
        """Be up at once."""
        del seconds

    def send(self, request: dict[str, Any], sound: bytes = b"") -> None:
        """Keep what is to be transcribed."""
        del sound
        if request["do"] in {"transcribe", "weigh"}:
            self.asked.append(request)

    def answer(self, seconds: float) -> dict[str, Any]:
        """Give the next answer."""
        del seconds
        found = self.answers.pop(0)
        if isinstance(found, Exception):
            raise found
        return dict(found)

    def end(self) -> None:
        """Remember it."""
        self.is_ended = True


def text_for(number: int, text: str) -> dict[str, Any]:
    """Make the worker's answer to the request of that number."""
    return {"number": number, "texts": [[text, -0.1]]}


@pytest.fixture
def scripted(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[ScriptedProcess]:
    """Put scripted processes in place of real ones; the list grows with each that is started."""
    started: list[ScriptedProcess] = []

    def start(*given: object) -> ScriptedProcess:
        started.append(ScriptedProcess(*given))
        return started[-1]

    monkeypatch.setattr(second_ear, "WorkerProcess", start)
    monkeypatch.setattr(second_ear, "find_weights", lambda _: tmp_path)
    return started


def ask(ear: SecondEar) -> Opinion:
    """Let it hear a second of sound."""
    ear.begin(OHM)
    ear.feed(np.ones(16_000, np.int16))
    return ear.opinion()


def test_transcripts_that_mean_the_same_count_together() -> None:
    """Two ways of writing one number outweigh a third that is likelier than each."""
    texts = [(" 70.5 ohms.", -1.0), (" 17.5 ohms.", -1.2), (" Seventeen point five ohms.", -1.3)]
    found = opinion_of(texts, OHM)
    assert found.words == ("17.5 ohms", "70.5 ohms")
    assert found.is_answer


def test_what_is_far_less_likely_was_not_heard() -> None:
    """A transcript that is twenty times less likely is left out."""
    texts = [(" 17.5 ohms.", -1.0), (" 70.5 ohms.", -1.1 - math.log(20.0))]
    assert opinion_of(texts, OHM).words == ("17.5 ohms",)


def weighed(
    heard: Hypothesis, opinion: Opinion, expectation: Expectation, compare: Compare
) -> Hypothesis:
    """Hold the first's answer against the second's opinion; both compare phrases alike."""
    return seconded(heard, opinion, expectation, compare, compare, SHORT)


def fits_nothing(phrases: Sequence[str]) -> dict[str, float]:
    """None of the phrases fits."""
    del phrases
    return {}


def fits(*fitting: str) -> Compare:
    """Only these phrases fit, the first best, where they are among those that are compared."""
    return lambda phrases: {
        words: -float(at) for at, words in enumerate(fitting) if words in phrases
    }


def test_agreement_takes_the_doubts_of_the_first_ear_away() -> None:
    """Only what the second ear nearly heard too is left to ask about."""
    first = Hypothesis("seventeen point five ohms", ("seventy point five ohms", "five ohms"))
    agreed = weighed(first, heard_by_second(" 17.5 ohms."), OHM, fits_nothing)
    assert agreed == Hypothesis("seventeen point five ohms", is_seconded=True)
    doubted = weighed(first, heard_by_second(" 17.5 ohms.", " 70.5."), OHM, fits_nothing)
    assert doubted.alternatives == ("seventy point five ohms",)
    assert doubted.is_seconded


def test_what_does_not_fit_the_first_ear_is_only_an_alternative() -> None:
    """Where they differ the first ear's words stand, not seconded, and the other's are next."""
    first = Hypothesis("five ohms", ("nine ohms",))
    found = weighed(first, heard_by_second(" 15 ohms."), OHM, fits_nothing)
    assert found == Hypothesis("five ohms", ("15 ohms", "nine ohms"), is_seconded=False)


def test_what_is_likeliest_to_both_is_asked_about_first() -> None:
    """In words as they are spoken, and never believed at once."""
    first = Hypothesis("five ohms", ("seven ohms",))
    found = weighed(
        first, heard_by_second(" 146 ohms."), OHM, fits("one hundred forty six ohms", "five ohms")
    )
    assert found.words == "one hundred forty six ohms"
    assert found.alternatives[0] == "five ohms"
    assert found.is_seconded is False


@pytest.mark.parametrize("likeliest", ["eighty one ohms", "point three one"])
def test_it_may_be_what_neither_put_first(likeliest: str) -> None:
    """The first ear's own words and what it nearly heard are compared too."""
    first = Hypothesis("eighty one ohms", ("point three one",))
    found = weighed(first, heard_by_second(" 0.51."), OHM, fits(likeliest, "point five one"))
    assert found.words == likeliest
    assert found.is_seconded is False


def test_every_way_to_say_it_is_compared() -> None:
    """The first ear's own words, alternatives and guesses with that meaning are among them."""
    offered: list[Sequence[str]] = []

    def fits_last(phrases: Sequence[str]) -> dict[str, float]:
        offered.append(phrases)
        return {phrases[-1]: 0.0}

    first = Hypothesis("zero point nine", guesses=("help", "yes", "point nine two"))
    found = weighed(first, heard_by_second(" 0.92"), OHM, fits_last)
    assert list(offered[0]) == ["zero point nine", "zero point nine two", "point nine two"]
    assert list(offered[1]) == ["point nine two"]
    assert found.words == "point nine two"


def test_a_number_that_only_the_second_heard_is_asked_about() -> None:
    """The first ear heard nothing of its own accord, but finds that the sound fits it."""
    found = weighed(
        Hypothesis(""), heard_by_second(" 17.5 ohms."), OHM, fits("seventeen point five ohms")
    )
    assert found == Hypothesis("seventeen point five ohms", ("17.5 ohms",), is_seconded=False)


@pytest.mark.parametrize("text", [" Undo that.", " Stop.", " Skip this step."])
@pytest.mark.parametrize("first", ["five ohms", "open", "go ahead", "no", ""])
def test_the_second_ear_is_believed_a_command(text: str, first: str) -> None:
    """It hears them far better, and none gives a value: "go back" was "open" to the first."""
    heard = heard_by_second(text)
    found = weighed(Hypothesis(first), heard, OHM, fits("five ohms"))
    assert found == Hypothesis(heard.words[0], is_seconded=False)


@pytest.mark.parametrize(
    ("first", "words"),
    [("go back", ""), ("scratch that", ""), ("skip it", ""), ("why", "why"), ("stop", "stop")],
)
def test_what_moves_the_walk_needs_the_second(first: str, words: str) -> None:
    """In other people's talk the first ear hears commands; "why" only costs a turn."""
    heard = heard_by_second(" Hand me the screwdriver.")
    assert weighed(Hypothesis(first), heard, OHM, fits_nothing).words == words


@pytest.mark.parametrize("command", ["stop", "hold on"])
def test_to_wait_or_to_stop_needs_no_second_ear(command: str) -> None:
    """Whatever the second makes of it, a number or another command too."""
    for text in (" Star.", " 17.5 ohms.", " Skip this step."):
        found = weighed(Hypothesis(command), heard_by_second(text), OHM, fits("five ohms"))
        assert found.words == command


def test_another_command_is_no_alternative_to_an_answer() -> None:
    """A no in noise was taken for "help": what the second heard counts, and no command is near."""
    yes_or_no = Expectation(takes_yes_no=True)
    found = weighed(Hypothesis("help"), choice_of(scores(no=-1.0)), yes_or_no, fits("no"))
    assert found == Hypothesis("no", ("nope", "negative", "wrong"), is_seconded=False)


def test_a_yes_that_the_second_did_not_hear_is_none() -> None:
    """A no in noise was taken for it; a no stands."""
    yes_or_no, undecided = Expectation(takes_yes_no=True), choice_of(scores(yes=-2.0, no=-2.0))
    assert weighed(Hypothesis("yes"), undecided, yes_or_no, fits_nothing).words == ""
    assert weighed(Hypothesis("no"), undecided, yes_or_no, fits_nothing) == Hypothesis("no")


@pytest.mark.parametrize("first", ["", "no", "help", "two", "why"])
@pytest.mark.parametrize("chosen", ["no", "wrong", ""])
def test_a_yes_that_only_the_second_heard_is_none(first: str, chosen: str) -> None:
    """Else the second alone could give a number and confirm it."""
    yes_or_no = Expectation(takes_yes_no=True)
    found = weighed(Hypothesis(first), choice_of(scores(yes=-0.5)), yes_or_no, fits(chosen))
    assert found == Hypothesis("", why=SAY_YES_OR_NO, is_seconded=False)


@pytest.mark.parametrize(
    ("first", "words"), [("", "yep"), ("why", "yep"), ("no", "yep"), ("stop", "stop")]
)
def test_a_first_ear_is_asked_once_more_between_yes_and_no(first: str, words: str) -> None:
    """A yes that it took for another word: what it hears when held to yes and no alone counts."""
    yes_or_no = Expectation(takes_yes_no=True)
    found = weighed(Hypothesis(first), choice_of(scores(yes=-0.5)), yes_or_no, fits("yep"))
    assert found.words == words


@pytest.mark.parametrize(
    ("to_first", "to_second", "words"),
    [
        ({"yes": 0.0, "no": -1.0}, {"yes": 0.0, "no": -4.5}, "yes"),
        ({"yes": 0.0, "no": -1.0}, {"yes": 0.0, "no": -3.5}, ""),
        ({"yes": 0.0, "no": -4.0}, {"yep": 0.0, "yes": -1.0, "no": -3.0}, "yes"),
        ({"yep": 0.0, "no": -1.0}, {"yes": 0.0, "wrong": -4.5, "no": -9.0}, ""),
        ({"no": 0.0, "yes": -1.0}, {"yes": 0.0, "no": -9.0}, "yes"),
        ({"no": 0.0, "yes": -5.0}, {"yes": 0.0, "no": -9.0}, ""),
        ({"yeah": 0.0, "no": 0.0}, {"yeah": 0.0, "no": -9.0}, "yeah"),
        ({"yes": 0.0, "no": -4.0}, {}, ""),
        ({"yes": 0.0}, {}, ""),
        ({}, {"yes": 0.0, "no": -9.0}, ""),
    ],
)
def test_a_yes_needs_both_and_that_they_are_sure_together(
    to_first: dict[str, float], to_second: dict[str, float], words: str
) -> None:
    """Together they must be far from a no, whatever the first heard before."""
    yes_or_no = Expectation(takes_yes_no=True)
    opinion = choice_of(scores(yes=-0.5))
    for first in ("", "yep", "no", "why"):
        found = seconded(
            Hypothesis(first), opinion, yes_or_no, lambda _: to_first, lambda _: to_second, SHORT
        )
        assert (found.words, found.is_seconded) == (words, bool(words))


def test_two_yeses_of_different_words_are_none() -> None:
    """A "no" far away in wind and by telephone: "yes" to one ear and "yeah" to the other."""
    to_first = {"yes": 0.0} | dict.fromkeys(("yeah", "yep", "no", "nope", "wrong"), -5.0)
    to_second = {"yeah": -1.66, "yep": -4.47, "no": -4.74, "yes": -6.09, "nope": -7.91}
    found = seconded(
        Hypothesis("yes"),
        choice_of(scores(yes=-0.5)),
        Expectation(takes_yes_no=True),
        lambda _: to_first,
        lambda _: to_second,
        SHORT,
    )
    assert found == Hypothesis("", why=SAY_YES_OR_NO, is_seconded=False)


@pytest.mark.parametrize(
    ("seconds", "no", "words"), [(2.0, -5.5, "yes"), (2.9, -7.5, ""), (2.9, -8.5, "yes")]
)
def test_a_yes_in_sound_longer_than_a_yes_must_be_surer(
    seconds: float, no: float, words: str
) -> None:
    """A "negative" with the tool's own voice behind it was 7.3 nearer to a yes to both."""
    first = dict.fromkeys(("yes", "no"), 0.0)
    found = seconded(
        Hypothesis("yes"),
        choice_of(scores(yes=-0.5)),
        Expectation(takes_yes_no=True),
        lambda _: first,
        lambda _: {"yes": 0.0, "no": no},
        seconds,
    )
    assert found.words == words


def test_each_sound_is_as_long_as_what_was_fed(scripted: list[ScriptedProcess]) -> None:
    """Seven natural logs are enough for a yes in a short sound only, also behind a long one."""
    yes_or_no = Expectation(takes_yes_no=True)
    first = ScriptedRecogniser("yes")
    first.fitting = {"yes", "no"}
    pair = SecondedRecogniser(first, SecondEar())
    weighed_texts = [
        [way, 0.0 if words == "yes" else -6.0]
        for words in (*PLAIN_YES, *PLAIN_NO)
        for way in written_ways(words, yes_or_no)
    ]
    heard = list[str]()
    for turn, pieces in enumerate((1, 2, 1)):
        number = 2 * turn + 1
        scripted[0].answers = [
            {"number": number, "texts": scores(yes=-0.5)},
            {"number": number + 1, "texts": weighed_texts},
        ]
        pair.begin(yes_or_no)
        for _ in range(pieces):
            pair.feed(quiet(1.5))
        heard.append(pair.finish().words)
    assert ["yes", "", "yes"] == heard


def scores(yes: float = -12.0, no: float = -12.0) -> list[tuple[str, float]]:
    """Score all forms of yes and no, as unlikely as can be but for one of each."""
    best = {"Yes.": yes, "No.": no}
    return [(text, best.get(text, -15.0)) for text in YES_AND_NO]


def test_it_leans_to_yes_less_easily_than_to_no() -> None:
    """A no costs only a turn."""
    assert choice_of(scores(yes=-1.0, no=-4.5)).senses == (YesNo(is_yes=True),)
    assert choice_of(scores(yes=-1.0, no=-3.5)).senses == ()
    assert choice_of(scores(yes=-2.5, no=-1.0)).senses == (YesNo(is_yes=False),)
    assert choice_of(scores(yes=-8.0)).senses == ()


def test_a_number_that_cannot_be_read_is_not_seconded() -> None:
    """Something like a number was said, so the first ear's is asked back."""
    opinion = heard_by_second(" Aching point three.")
    found = weighed(Hypothesis("fifty nine"), opinion, OHM, fits_nothing)
    assert found == Hypothesis("fifty nine", is_seconded=False)


def test_other_talk_is_no_number() -> None:
    """Where the second ear hears words without a number in them, none was said."""
    opinion = heard_by_second(" Hand me the screwdriver.")
    found = weighed(Hypothesis("fifty nine"), opinion, OHM, fits_nothing)
    assert (found.words, found.alternatives) == ("", ())
    assert found.why.endswith(".")


def test_a_choice_that_the_second_made_nothing_of_is_asked_about() -> None:
    """One ear alone took "inside fan is dead" for another trouble, in noise."""
    wheel = Expectation(choices=(Choice("free", ("it turns freely",)), Choice("stuck", ("stuck",))))
    found = weighed(Hypothesis("stuck"), Opinion(), wheel, fits_nothing)
    assert found == Hypothesis("stuck", is_seconded=False)


@pytest.mark.parametrize("text", [" 17.5 ohms.", " Yes.", ""])
def test_it_invents_nothing(text: str) -> None:
    """Where the first ear heard nothing, and nothing fits it, there is nothing."""
    nothing = Hypothesis("", why="This was no answer that the step takes.")
    assert nothing == weighed(nothing, heard_by_second(text), OHM, fits_nothing)


def hear_17_5(first: ScriptedRecogniser, scripted: list[ScriptedProcess]) -> None:
    """Let two ears hear the same number."""
    pair = SecondedRecogniser(first, SecondEar())
    scripted[0].answers = [text_for(1, " 17.5 ohms.")]
    pair.begin(OHM)
    pair.feed(recorded("seventeen_point_five_ohms"))
    assert pair.finish().is_seconded


def test_the_first_need_not_listen_again_for_what_the_second_heard(
    scripted: list[ScriptedProcess],
) -> None:
    """It is told when it has come to the same, but not where it is hard to hear.

    Where it did not even guess it, it will not come to it: both compare what there is.
    """
    said = "seventeen point five ohms"
    told: list[bool] = []
    heard = {
        Hypothesis("nine ohms", guesses=("nine ohms", said)): False,
        Hypothesis("nine ohms", guesses=("nine ohms", "five ohms")): True,
        Hypothesis("", guesses=()): True,
        Hypothesis(said, guesses=(said,)): True,
        Hypothesis(said, guesses=(said,), doubt="Faint."): False,
    }

    class Asking(ScriptedRecogniser):
        def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
            assert is_enough is not None
            told.extend(map(is_enough, heard))
            return super().finish(is_enough)

    hear_17_5(Asking(said), scripted)
    assert told == list(heard.values())


def test_both_hear_the_same_sound_at_the_same_time(scripted: list[ScriptedProcess]) -> None:
    """The second has been asked before the first is."""
    order: list[str] = []

    class Watching(ScriptedRecogniser):
        def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
            order.append(f"asked {len(scripted[0].asked)}")
            return super().finish(is_enough)

    hear_17_5(Watching("seventeen point five ohms"), scripted)
    assert order == ["asked 1"]


def test_an_answer_that_comes_late_is_not_taken_for_the_next(
    scripted: list[ScriptedProcess],
) -> None:
    """One late answer costs its opinion only; the process goes on."""
    ear = SecondEar()
    scripted[0].answers = [WorkerLateError(), text_for(1, " 5 ohms."), text_for(2, " 9 ohms.")]
    late = ask(ear)
    assert (late.words, late.is_answer) == ((), True)
    assert ask(ear).words == ("9 ohms",)
    assert not scripted[0].is_ended


def test_all_ways_to_write_a_phrase_count_together(scripted: list[ScriptedProcess]) -> None:
    """Two unlikely ways of writing one outweigh a single one of another; likeliest first."""
    ear = SecondEar()
    texts = [["Seventeen!", -2.0], ["17!", -2.0], ["Seventy!", -1.9], ["70!", -9.0]]
    scripted[0].answers = [text_for(1, " 17."), {"number": 2, "texts": texts}]
    ask(ear)
    compared = ear.compare(["seventy", "seventeen"])
    assert list(compared) == ["seventeen", "seventy"]
    assert compared["seventeen"] == pytest.approx(-2.0 + math.log(2.0))
    assert scripted[0].asked[-1]["among"] == ["Seventy!", "70!", "Seventeen!", "17!"]


@pytest.mark.parametrize(
    "answer", [WorkerGoneError(), WorkerLateError(), {"number": 2, "texts": []}]
)
def test_a_second_ear_that_fails_compares_nothing(
    scripted: list[ScriptedProcess], answer: object
) -> None:
    """Dead, late, or without any sound: then the first ear alone chooses what is asked."""
    ear = SecondEar()
    scripted[0].answers = [text_for(1, " 17."), answer]
    ask(ear)
    assert ear.compare(["seventeen"]) == {}
    found = seconded(
        Hypothesis("five ohms"),
        heard_by_second(" 15 ohms."),
        OHM,
        fits("fifteen ohms", "five ohms"),
        fits_nothing,
        SHORT,
    )
    assert (found.words, found.is_seconded) == ("fifteen ohms", False)


@pytest.mark.parametrize("troubles", [[WorkerGoneError()], [WorkerLateError(), WorkerLateError()]])
def test_a_death_or_hanging_starts_it_again(
    scripted: list[ScriptedProcess], troubles: list[Exception]
) -> None:
    """Dead, or late twice on end: a new process is started, and the answer is asked back."""
    ear = SecondEar()
    scripted[0].answers = list(troubles)
    found = [ask(ear) for _ in troubles]
    assert [(), True] == [found[-1].words, found[-1].is_answer]
    assert scripted[0].is_ended
    scripted[1].answers = [text_for(len(troubles) + 1, " 9 ohms.")]
    assert ask(ear).words == ("9 ohms",)


def test_weights_that_do_not_load_are_told_and_nothing_stays_open(
    scripted: list[ScriptedProcess], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pair cannot be made; the first ear is closed."""

    def fail(seconds: float = 0.0) -> None:
        raise WorkerGoneError(seconds)

    first, second = ScriptedRecogniser("five"), SecondEar()
    monkeypatch.setattr(scripted[0], "wait_until_up", fail)
    with pytest.raises(EarsError, match="could not load the weights"):
        SecondedRecogniser(first, second)
    assert first.is_closed
    assert scripted[0].is_ended


@pytest.mark.parametrize(
    ("expectation", "says"),
    [
        (OHM, "ohms"),
        (expectation_for_unit("in_wc"), "inches"),
        (Expectation(choices=(Choice("stuck", ("it's stuck",)),)), "it's stuck."),
    ],
)
def test_it_is_told_what_kind_of_answer_may_come(
    expectation: Expectation, says: Callable[[], str] | str
) -> None:
    """The words before are of the turn's own kind."""
    assert str(says) in words_before(expectation)
