"""The sound of the hearing bench: ratios truly reached, bands truly kept, seeds that repeat."""

import numpy as np
import pytest
from headset import band_share, mu_law, through_headset
from loudness import RATE, Wave, active_db, noise_at, power_db
from mixing import LEAD_SECONDS, TAIL_SECONDS, Recipe, mix, mix_all, place_sound, speech_at
from noises import KINDS, make_noise
from rooms import FAR, NEAR, response


def speechlike(seconds: float = 1.5, seed: int = 1) -> Wave:
    """Give a buzz that comes and goes four times a second, as syllables do."""
    time = np.arange(int(seconds * RATE)) / RATE
    buzz = np.sign(np.sin(2 * np.pi * 130 * time)) + np.sin(2 * np.pi * 1700 * time)
    hiss = 0.1 * np.random.default_rng(seed).normal(size=len(time))
    return np.asarray((buzz + hiss) * (0.55 + 0.45 * np.sin(2 * np.pi * 4 * time)) * 0.1)


TALK = [speechlike(1.0, seed) for seed in range(4)]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("snr", [20.0, 10.0, 5.0, 0.0])
@pytest.mark.parametrize("band", ["16k", "8k"])
def test_the_ratio_stated_is_the_ratio_reached(kind: str, snr: float, band: str) -> None:
    """Speech over its active part, noise over all, both as the microphone has them."""
    recipe = Recipe(kind, snr, NEAR, band, 5)
    speech = speech_at(speechlike(), recipe)
    noise = noise_at(place_sound(len(speech), recipe, TALK), active_db(speech), snr)
    assert snr == pytest.approx(active_db(speech) - power_db(noise), abs=0.1)


def test_what_is_mixed_is_the_speech_and_that_noise() -> None:
    """Nothing else is in a mixture of the wide band."""
    recipe = Recipe("blower", 10.0, NEAR, "16k", 5)
    speech = speech_at(speechlike(), recipe)
    left = mix(speechlike(), recipe) - speech
    assert 10.0 == pytest.approx(active_db(speech) - power_db(left), abs=0.1)


def test_active_level_leaves_quiet_out() -> None:
    """Twice the quiet around the same speech changes its active level by less than half a dB."""
    short = np.concatenate([np.zeros(RATE), speechlike(), np.zeros(RATE)])
    long = np.concatenate([np.zeros(4 * RATE), speechlike(), np.zeros(4 * RATE)])
    assert active_db(short) == pytest.approx(active_db(long), abs=0.5)
    assert power_db(short) - power_db(long) > 3


def test_active_level_of_steady_sound_is_its_power() -> None:
    """P.56: speech that never pauses is active throughout."""
    tone = 0.1 * np.sin(2 * np.pi * 1000 * np.arange(3 * RATE) / RATE)
    assert power_db(tone) == pytest.approx(active_db(tone), abs=0.3)


def test_a_headset_keeps_its_band_only() -> None:
    """Of the energy 98 % is in the telephone band; the rest is what G.711 adds."""
    white = 0.1 * np.random.default_rng(3).normal(size=2 * RATE)
    coded = through_headset(white)
    assert band_share(coded, 250, 3600) > 0.98
    assert band_share(coded, 4000, 8000) < 1e-6
    assert band_share(white, 250, 3600) < 0.5
    assert len(white) == len(coded)


@pytest.mark.parametrize(
    ("linear", "decoded"),
    [(0, 0), (8, 8), (132, 132), (1000, 988), (8159, 8316), (32_000, 32_124), (-32_000, -32_124)],
)
def test_mu_law_gives_the_steps_of_g711(linear: int, decoded: int) -> None:
    """ITU-T G.711, µ-law at 16 bits: decoded values of its table (four times those of 14 bits)."""
    given = mu_law(np.asarray([linear / 32_767]))
    assert decoded == round(float(given[0]) * 32_767)


def test_mu_law_loses_little() -> None:
    """ITU-T G.712 demands at least 33 dB of signal over distortion at usual levels."""
    tone = 0.3 * np.sin(2 * np.pi * 1013 * np.arange(RATE) / RATE)
    lost = mu_law(tone) - tone
    assert 10 * np.log10(np.mean(tone**2) / np.mean(lost**2)) > 33


@pytest.mark.parametrize("kind", KINDS)
def test_a_seed_repeats_and_another_differs(kind: str) -> None:
    """The corpus can be built again anywhere."""
    first, again = (make_noise(kind, RATE, 11, TALK) for _ in range(2))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, make_noise(kind, RATE, 12, TALK))
    assert 1.0 == pytest.approx(float(np.mean(first**2)))


def test_a_compressor_hums_at_twice_the_mains() -> None:
    """120 Hz stands out by 20 dB over 90 Hz, where nothing of a 60 Hz machine sounds."""
    hum = make_noise("compressor", 4 * RATE, 2)
    assert band_share(hum, 119, 121) > 100 * band_share(hum, 89, 91)


def test_wind_is_low_and_a_blower_is_not_only_low() -> None:
    """Half of a wind's energy is below 200 Hz."""
    assert band_share(make_noise("wind", 4 * RATE, 2), 0, 200) > 0.5
    assert band_share(make_noise("blower", 4 * RATE, 2), 500, 8000) > 0.02


def test_voices_cannot_be_made_of_nothing() -> None:
    """Babble without speech is a mistake of the caller."""
    with pytest.raises(ValueError, match="needs speech"):
        make_noise("babble", RATE, 1)
    with pytest.raises(ValueError, match="is none of"):
        make_noise("train", RATE, 1)


def test_far_is_more_room_than_near() -> None:
    """The tail is 12 dB below the direct sound near, 3 dB above it far, and decays in 0.3 s."""
    for distance, ratio in ((NEAR, 12.0), (FAR, -3.0)):
        heard = response(distance, 1)
        tail = float(np.sum(heard[1:] ** 2))
        assert ratio == pytest.approx(10 * np.log10(heard[0] ** 2 / tail), abs=0.01)
    tenth = RATE // 100
    first, last = (float(np.sum(heard[at : at + tenth] ** 2)) for at in (100, 100 + RATE // 5))
    assert 40 == pytest.approx(10 * np.log10(first / last), abs=3)


def test_conditions_of_one_utterance_share_speech_and_noise() -> None:
    """The same noise at two ratios: their difference is that noise, only louder."""
    recipes = [Recipe("wind", snr, NEAR, "16k", 3) for snr in (20.0, 0.0)]
    quiet, loud = mix_all(speechlike(), recipes)
    speech = speech_at(speechlike(), recipes[0])
    assert np.allclose((loud - speech) / 10, quiet - speech)
    assert len(quiet) == pytest.approx((LEAD_SECONDS + 1.5 + TAIL_SECONDS) * RATE, abs=2)


@pytest.mark.parametrize("seconds", [0.1, 0.23, 0.3, 0.41, 0.6])
@pytest.mark.parametrize("height", [0.003, 0.02, 0.13, 0.7])
def test_a_short_word_has_the_level_of_its_sound(seconds: float, height: float) -> None:
    """However short or soft it is, and however long the quiet around it: never above it.

    It may be as far below it as what hangs over behind the word makes it longer.
    """
    times = np.arange(int(seconds * RATE)) / RATE
    word = height * np.sin(2 * np.pi * 300 * times) * np.hanning(len(times))
    quiet = np.zeros(2 * RATE)
    found = active_db(np.concatenate([quiet, word, quiet]))
    assert power_db(word) - 7.0 < found < power_db(word) + 1.0
