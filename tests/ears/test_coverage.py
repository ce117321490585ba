"""Whether all that was spoken is in the words: a soft first digit must not be lost unasked."""

from dataclasses import replace

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, quiet, recorded, tone

from assistant.ears.coverage import has_unheard, seconds_beside, spans_of_number
from assistant.ears.listening import MORE, Listener, trimmed
from assistant.ears.sound import RATE, Samples, Stretch
from assistant.ears.sphinx import SphinxRecogniser
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard
from assistant.walk.hearing import Bench, weigh_heard

VOLTS, OHMS = expectation_for_unit("volt"), expectation_for_unit("ohm")
FIRST, SECOND = (0.8, 1.1), (1.3, 1.7)


def two_words(softer: float = 1.0) -> Stretch:
    """Give two sounds, at `FIRST` and `SECOND`; the first so many times softer."""
    first = (tone(FIRST[1] - FIRST[0]) / softer).astype(np.int16)
    gap = quiet(SECOND[0] - FIRST[1])
    return Stretch.of(
        np.concatenate([quiet(FIRST[0]), first, gap, tone(SECOND[1] - SECOND[0]), quiet(0.3)])
    )


def test_a_sound_that_no_word_is_may_be_one() -> None:
    """What is as loud as the words and as long as a digit is not passed over."""
    assert seconds_beside(two_words(), [SECOND]) == pytest.approx(0.3, abs=0.03)
    assert has_unheard(two_words(), [SECOND])
    assert has_unheard(two_words(), [FIRST])
    assert not has_unheard(two_words(), [FIRST, SECOND])


@pytest.mark.parametrize(("softer", "is_more"), [(3.0, True), (10.0, False)])
def test_what_is_much_softer_than_the_words_is_none(softer: float, is_more: bool) -> None:
    """A digit 10 dB softer counts; what is 20 dB softer is somebody else or the room."""
    assert is_more == has_unheard(two_words(softer), [SECOND])


@pytest.mark.parametrize(("onset", "is_more"), [(None, False), (1.15, False), (0.8, True)])
def test_a_voice_long_before_the_first_word_is_one_more(onset: float | None, is_more: bool) -> None:
    """Even where the noise reduction took the word for noise."""
    assert is_more == has_unheard(replace(two_words(100.0), onset=onset), [SECOND])


@pytest.mark.parametrize(
    ("said", "counted"),
    [
        ("er one", "one"),
        ("four four nine there", "four four nine"),
        ("reads five", "five"),
        ("it reads five", "it reads five"),
        ("two volts", "two volts"),
        ("okay seven point two here", "seven point two"),
        ("zero point two on the meter", "zero point two on the meter"),
        ("five", "five"),
        ("um", "um"),
        ("", ""),
    ],
)
def test_a_lone_word_beside_a_number_may_be_a_digit(said: str, counted: str) -> None:
    """Both ears took "five one", far, for "er one", and of "six four four nine" lost the six."""
    words = said.split()
    spans = [(float(at), at + 0.5) for at in range(len(words))]
    kept = spans_of_number(list(zip(words, spans, strict=True)))
    assert counted.split() == [words[int(start)] for start, _ in kept]


def test_where_nobody_tells_where_the_words_are_nothing_is_said() -> None:
    """Some recognisers do not."""
    assert not has_unheard(two_words(), ())
    assert not has_unheard(Stretch.of(quiet(0.0)), [FIRST])


def test_an_onset_is_where_the_voice_begins() -> None:
    """In seconds from the start of what was kept."""
    answer = trimmed(np.concatenate([quiet(1.5), recorded("two_hundred_thirty_volts")]))
    assert answer.onset is not None
    began = np.flatnonzero(np.abs(answer.raw.astype(np.int32)) > 500)[0] / RATE
    assert answer.onset == pytest.approx(began, abs=0.1)


def hear(said: Samples, words: str, spans: tuple[tuple[float, float], ...]) -> Heard:
    """Give what a listener makes of a sound, words and where they are; both ears agree."""
    recogniser = ScriptedRecogniser(words)
    recogniser.is_seconded, recogniser.spans = True, spans
    return Listener(recogniser).understand(Stretch.of(said), OHMS)


def test_two_ears_that_lost_the_same_digit_are_asked_back() -> None:
    """However much they agree, and in a walk as in `hear`."""
    heard = hear(two_words().raw, "two", (SECOND,))
    assert MORE == heard.doubt
    assert "ask" == weigh_heard(heard, Bench(OHMS), is_sound=True)["decision"]
    assert "" == hear(two_words().raw, "six two", (FIRST, SECOND)).doubt


def test_a_yes_beside_another_sound_is_a_yes() -> None:
    """It is no number and no choice, so it can have lost no word that would make it another."""
    ears = ScriptedRecogniser("yep")
    ears.is_seconded, ears.spans = True, (SECOND,)
    heard = Listener(ears).understand(two_words(), Expectation(takes_yes_no=True))
    assert "" == heard.doubt


@pytest.fixture(scope="module")
def sphinx() -> SphinxRecogniser:
    """Give the recogniser that tells where its words are."""
    return SphinxRecogniser()


def test_words_are_where_they_were_said(sphinx: SphinxRecogniser) -> None:
    """One span a word, in order, none in the quiet before and behind; nothing is beside them."""
    speech = recorded("two_hundred_thirty_volts")
    answer = trimmed(np.concatenate([quiet(1.5), speech, quiet(1.0)]))
    sphinx.begin(VOLTS)
    sphinx.feed(answer.raw, answer.cleaned)
    found = sphinx.finish()
    assert len(found.spans) == len(found.words.split())
    assert sorted(found.spans) == list(found.spans)
    assert not has_unheard(answer, found.spans)
    loud = np.flatnonzero(np.abs(answer.raw.astype(np.int32)) > 500) / RATE
    assert found.spans[0][0] == pytest.approx(loud[0], abs=0.15)
    assert found.spans[-1][1] == pytest.approx(loud[-1], abs=0.15)
