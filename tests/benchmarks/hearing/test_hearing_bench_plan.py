"""What the hearing bench lets be said, by whom and where: truths, separate parts, seeds."""

import random
from itertools import pairwise
from pathlib import Path
from typing import TypeAlias

import numpy as np
import pytest
from human_digits import digits_drawn, joined, words_of
from loudness import RATE
from mixing import to_samples
from phrases import HELD_OUT, TUNING, Phrase, broken_numbers, can_mean, phrases, place_named
from plan import Utterance, recipes, utterances
from sounds import read_samples, read_wave, seconds_of, write_samples
from voice_table import NATURAL, VOICES

Planned: TypeAlias = dict[str, list[Utterance]]
_IN_BOTH = {"over_limit", "zero", "yes_no"}


@pytest.fixture(scope="module")
def said() -> dict[str, list[Phrase]]:
    """Give some phrases of both parts."""
    return {part: phrases(part, 60, 24) for part in (TUNING, HELD_OUT)}


def test_every_phrase_can_mean_its_truth(said: dict[str, list[Phrase]]) -> None:
    """Typed, it means the truth or is asked about with the truth among what is named."""
    for phrase in (*said[TUNING], *said[HELD_OUT]):
        assert can_mean(phrase.words, phrase.truth, place_named(phrase.place).expectation)


def test_a_number_said_again_has_one_meaning(said: dict[str, list[Phrase]]) -> None:
    """Digit by digit no phrase is asked about for its words."""
    again = [one for one in said[HELD_OUT] if one.clear]
    assert again
    for phrase in again:
        assert can_mean(phrase.clear, phrase.truth, place_named(phrase.place).expectation)


def test_the_parts_share_no_words(said: dict[str, list[Phrase]]) -> None:
    """Except OL, zero, yes and no; a choice of one step may be worded as one of another step."""
    own = [{p.words for p in said[part] if p.style not in {*_IN_BOTH, "choice"}} for part in said]
    assert not own[0] & own[1]
    chosen = [{(p.place, p.words) for p in said[part] if p.style == "choice"} for part in said]
    assert not chosen[0] & chosen[1]
    assert min(map(len, own)) > 20
    assert min(map(len, chosen)) > 20


def test_numbers_are_said_in_many_ways(said: dict[str, list[Phrase]]) -> None:
    """Words, digits, hundreds, halves, points first, and what must be asked about."""
    styles = {phrase.style for phrase in (*said[TUNING], *said[HELD_OUT])}
    wanted = {"with_unit", "bare", "digits", "hundreds", "half", "point_first", "no_point"}
    assert wanted | _IN_BOTH | {"choice", "command"} <= styles


def test_phrases_are_the_same_in_every_run() -> None:
    """Seeded: a corpus built elsewhere says the same."""
    assert phrases(TUNING, 12, 4) == phrases(TUNING, 12, 4)


def test_a_broken_number_is_broken_at_its_point() -> None:
    """The pause is 0.6 to 1.2 s, before or behind the point, and the parts make the whole."""
    for broken in broken_numbers(TUNING, 6):
        assert 0.6 <= broken.pause <= 1.2
        assert broken.phrase.words == f"{broken.before} {broken.behind}"
        assert "point" in {broken.before.split()[-1], broken.behind.split()[0]}


@pytest.fixture(scope="module")
def planned() -> Planned:
    """Give the whole plan."""
    return {part: utterances(part, has_human=True) for part in (TUNING, HELD_OUT)}


def test_names_and_seeds_are_each_used_once(planned: Planned) -> None:
    """No noise is heard twice, whatever the part."""
    everything = [*planned[TUNING], *planned[HELD_OUT]]
    assert len(everything) == len({one.id for one in everything})
    assert len(everything) == len({recipes(one)[0].seed for one in everything})


def test_held_out_voices_never_tune(planned: Planned) -> None:
    """The human speakers are split too, and so is who says yes and no for them."""
    tuning, held_out = (
        {said.voice for one in planned[part] for said in one.stretches}
        for part in (TUNING, HELD_OUT)
    )
    assert not tuning & held_out
    assert len({v.name for v in VOICES if v.kind == NATURAL} & held_out) >= 2


def test_some_noises_are_held_out(planned: Planned) -> None:
    """Blade pass and wind are heard by nobody who tunes."""
    heard = {part: {recipes(one)[-1].noise for one in planned[part]} for part in planned}
    assert {"blade_pass", "wind"} == heard[HELD_OUT] - heard[TUNING]


def test_an_utterance_is_heard_at_falling_ratios(planned: Planned) -> None:
    """Clean, then 20, 10, 5 and 0 dB, everything else being the same."""
    first, *rest = recipes(planned[HELD_OUT][0])
    assert ("none", None) == (first.noise, first.snr)
    assert [20.0, 10.0, 5.0, 0.0] == [recipe.snr for recipe in rest]
    for one, other in pairwise(rest):
        assert (one.noise, one.distance, one.band) == (other.noise, other.distance, other.band)


def _drawn(seed: int) -> random.Random:
    return random.Random(seed)  # noqa: S311 - a sample, no secret


def test_human_digits_are_joined_with_short_gaps(tmp_path: Path) -> None:
    """Three recordings of 0.2 s at 8 kHz with two gaps of 60 to 160 ms, at 16 kHz."""
    for digit in "129":
        tone = np.sin(2 * np.pi * 500 * np.arange(1600) / 8000)
        write_samples(tmp_path / f"{digit}_ann_0.wav", to_samples(0.3 * tone))
        raw = (tmp_path / f"{digit}_ann_0.wav").read_bytes()
        halved = raw[:24] + (8000).to_bytes(4, "little") + (16000).to_bytes(4, "little") + raw[32:]
        (tmp_path / f"{digit}_ann_0.wav").write_bytes(halved)
    reading = joined(tmp_path, "ann", "129", _drawn(1))
    assert 0.6 + 0.12 <= len(reading) / RATE <= 0.6 + 0.32
    with pytest.raises(FileNotFoundError):
        joined(tmp_path, "ann", "123", _drawn(1))


def test_drawn_digits_read_as_numbers() -> None:
    """One to four; a zero leads only where it is alone."""
    chance = _drawn(2)
    drawn = [digits_drawn(chance) for _ in range(300)]
    assert {1, 2, 3, 4} == {len(one) for one in drawn}
    assert all(one == "0" or one[0] != "0" for one in drawn)
    assert "one zero nine" == words_of("109")


def test_sounds_come_back_as_written(tmp_path: Path) -> None:
    """16 bits, 16 kHz, mono."""
    sound = to_samples(0.5 * np.sin(np.arange(8000) / 20))
    path = tmp_path / "folder" / "one.wav"
    write_samples(path, sound)
    assert np.array_equal(sound, read_samples(path))
    assert 0.5 == seconds_of(path)
    assert 0.5 == pytest.approx(float(np.max(np.abs(read_wave(path)))), abs=0.001)
