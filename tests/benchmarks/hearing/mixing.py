"""One utterance put into one condition: room, microphone, noise."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

import numpy as np
from headset import banded, through_headset
from loudness import RATE, Wave, active_db, noise_at, scaled_to
from noises import make_noise
from rooms import FAR, NEAR, in_room

LEAD_SECONDS = 0.8
TAIL_SECONDS = 2.5
"""Sound of the place before and behind the words: what an open microphone hears."""

WIDE, HEADSET = "16k", "8k"
CLEAN = "none"
_SPEECH_DB = {NEAR: -26.0, FAR: -32.0}
_FLOOR_DB = 45.0
"""How far below the speech the hiss of a clean recording is: a silent microphone does not exist."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """A condition.

    Args:
        noise: a kind of `noises.KINDS`, or `none`.
        snr: decibels; None where there is no noise.
        distance: `near` or `far`.
        band: `16k`, or `8k` for the headset.
        seed: of noise and room.
    """

    noise: str
    snr: float | None
    distance: str
    band: str
    seed: int

    def as_record(self) -> dict[str, object]:
        """Give the fields of a line of the manifest."""
        return asdict(self)


def _in_band(wave: Wave, recipe: Recipe) -> Wave:
    return banded(wave) if recipe.band == HEADSET else wave


def speech_at(dry: Wave, recipe: Recipe) -> Wave:
    """Give the speech as the microphone has it, at its level, with room for its surroundings."""
    padded = np.concatenate(
        [np.zeros(int(LEAD_SECONDS * RATE)), dry, np.zeros(int(TAIL_SECONDS * RATE))]
    )
    heard = _in_band(in_room(padded, recipe.distance, recipe.seed), recipe)
    return scaled_to(heard, active_db(heard), _SPEECH_DB[recipe.distance])


def place_sound(count: int, recipe: Recipe, said: Sequence[Wave] = ()) -> Wave:
    """Give what is heard where nobody speaks, as loud as it comes; hiss where there is no noise."""
    if recipe.noise == CLEAN:
        return _in_band(np.random.default_rng(recipe.seed).normal(size=count), recipe)
    return _in_band(make_noise(recipe.noise, count, recipe.seed, said), recipe)


def mix_all(dry: Wave, recipes: Sequence[Recipe], said: Sequence[Wave] = ()) -> list[Wave]:
    """Put dry speech into conditions that differ in noise and ratio only.

    The ratio is that of the finished recording: both parts are measured behind room and band.

    Args:
        dry: the words alone, cut close.
        recipes: the conditions, of one seed, distance and band.
        said: speech that a voice-like noise is made of.

    Returns:
        For each the words with `LEAD_SECONDS` of the place before and `TAIL_SECONDS` behind them.
    """
    speech = speech_at(dry, recipes[0])
    kinds = {recipe.noise: recipe for recipe in recipes}
    places = {kind: place_sound(len(speech), one, said) for kind, one in kinds.items()}
    mixed = []
    for recipe in recipes:
        level = _SPEECH_DB[recipe.distance]
        ratio = _FLOOR_DB if recipe.snr is None else recipe.snr
        whole = speech + noise_at(places[recipe.noise], level, ratio)
        mixed.append(through_headset(whole) if recipe.band == HEADSET else whole)
    return mixed


def mix(dry: Wave, recipe: Recipe, said: Sequence[Wave] = ()) -> Wave:
    """Put dry speech into one condition, as `mix_all` does."""
    return mix_all(dry, [recipe], said)[0]


def to_samples(wave: Wave) -> "np.ndarray[tuple[int], np.dtype[np.int16]]":
    """Give signed 16 bit; what is too loud is cut off, as a converter does."""
    return np.asarray(np.clip(np.round(wave * 32_767), -32_768, 32_767), np.int16)
