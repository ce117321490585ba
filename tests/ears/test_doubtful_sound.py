"""Sound that is reason to doubt what was heard in it: loud noise, and a second ear that differs."""

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, noise, quiet, recorded

from assistant.ears import listening
from assistant.ears.cleaning import NoCleaner, signal_over_noise
from assistant.ears.listening import LOUD, NOT_SECONDED, Listener, trimmed
from assistant.ears.sound import RATE, Samples, Stretch
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Choice, Expectation

VOLTS = expectation_for_unit("volt")


def answer_in_noise(decibels: float) -> Samples:
    """Give a spoken answer, with 1.5 s before and 1 s behind, and noise so much below its voice."""
    speech = recorded("two_hundred_thirty_volts")
    voice = float(np.sqrt(np.square(speech[np.abs(speech) > 1000], dtype=np.float64).mean()))
    whole = np.concatenate([quiet(1.5), speech, quiet(1.0)])
    mixed = whole + noise(len(whole) / RATE + 1, voice * 10 ** (-decibels / 20))[: len(whole)]
    return np.asarray(mixed.clip(-32768, 32767), np.int16)


def doubt_of(sound: Samples, *, is_seconded: bool | None = None) -> str:
    """Give why a listener doubts what was heard in a sound."""
    recogniser = ScriptedRecogniser("two thirty")
    recogniser.is_seconded = is_seconded
    return Listener(recogniser).understand(trimmed(sound), VOLTS).doubt


@pytest.mark.parametrize(("decibels", "doubt"), [(40.0, ""), (3.0, LOUD)])
def test_one_ear_alone_is_not_believed_in_loud_noise(decibels: float, doubt: str) -> None:
    """With a low signal and one ear every number is asked back; in a quiet place it need not be."""
    assert doubt == doubt_of(answer_in_noise(decibels))


@pytest.mark.parametrize(
    ("words", "decibels", "doubt"),
    [("four one three", 40.0, ""), ("four one three", 20.0, ""), ("four one three", 3.0, LOUD)],
)
def test_what_a_second_ear_heard_too_is_believed_where_it_is_not_loud(
    words: str, decibels: float, doubt: str
) -> None:
    """Both ears took "four point three" for 413 and "nine" for "five", in loud noise only."""
    recogniser = ScriptedRecogniser(words)
    recogniser.is_seconded = True
    sound = trimmed(answer_in_noise(decibels))
    assert doubt == Listener(recogniser).understand(sound, VOLTS).doubt


def test_a_choice_that_both_heard_is_believed_in_loud_noise() -> None:
    """No choice that both agreed on was ever wrong on the hearing bench."""
    choices = (Choice("runs", ("it runs",)), Choice("hums", ("it hums",)))
    recogniser = ScriptedRecogniser("it hums")
    recogniser.is_seconded = True
    sound = trimmed(answer_in_noise(3.0))
    assert Listener(recogniser).understand(sound, Expectation(choices=choices)).doubt == ""


def test_what_a_second_ear_did_not_hear_is_doubted() -> None:
    """However quiet it is."""
    assert doubt_of(answer_in_noise(40.0), is_seconded=False) == NOT_SECONDED


@pytest.mark.parametrize(
    ("words", "fitting", "is_seconded", "heard"),
    [
        ("yes", "wrong", None, ""),
        ("yes", "yep", None, "yes"),
        ("yes", "", None, "yes"),
        ("yes", "wrong", True, "yes"),
        ("no", "yes", None, "no"),
        ("help", "no", None, "help"),
    ],
)
def test_a_yes_of_one_ear_must_be_one_between_yes_and_no_too(
    words: str, fitting: str, is_seconded: bool | None, heard: str
) -> None:
    """A "wrong" that was taken for "right" is none; what a second ear heard is its matter."""
    recogniser = ScriptedRecogniser(words)
    recogniser.is_seconded, recogniser.fitting = is_seconded, {fitting}
    place = Expectation(takes_yes_no=True)
    found = Listener(recogniser).understand(trimmed(answer_in_noise(40.0)), place)
    assert found.words == heard


def test_the_signal_falls_as_the_noise_rises() -> None:
    """The figure follows the noise that was mixed in, and is far apart from quiet to loud."""
    found = [signal_over_noise(trimmed(answer_in_noise(decibels))) for decibels in (20, 10, 0)]
    assert sorted(found, reverse=True) == found
    assert found[0] - found[-1] > 8


@pytest.mark.parametrize(
    ("decibels", "doubt"), [(40.0, ""), (10.0, LOUD), (5.0, LOUD), (0.0, LOUD)]
)
def test_without_noise_reduction_a_number_in_loud_noise_is_asked_back(
    decibels: float, doubt: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing takes the noise out it is in every frame, and counts all the same."""
    monkeypatch.setattr(listening, "cleaner_for", lambda _: NoCleaner())
    assert doubt_of(answer_in_noise(decibels)) == doubt
    assert doubt_of(answer_in_noise(decibels), is_seconded=True) == doubt


@pytest.mark.parametrize("sound", [np.zeros(0, np.int16), quiet(1.0)])
def test_where_there_is_no_voice_there_is_no_noise_either(sound: Samples) -> None:
    """Nothing to measure is no reason to doubt."""
    assert signal_over_noise(Stretch.of(sound)) == float("inf")
