"""Noises of a mechanical room, made by script from a seed; nothing is recorded.

What each is made of is common practice in describing such machines (fan tones at blades times
turns a second: ASHRAE Handbook, HVAC Applications, "Noise and vibration control"); the heights of
the parts are ours, drawn by the seed inside the ranges written here. Each noise comes with a mean
power of 1; `loudness.noise_at` gives it its level.
"""

from collections.abc import Callable, Sequence

import numpy as np
from loudness import RATE, Wave, band_passed
from numpy.random import Generator
from rooms import FAR, in_room

_MAINS = 60.0


def _unit(wave: Wave) -> Wave:
    return np.asarray(wave / np.sqrt(max(float(np.mean(np.square(wave))), 1e-20)), np.float64)


def _time(count: int) -> Wave:
    return np.asarray(np.arange(count) / RATE, np.float64)


def tilted(count: int, chance: Generator, db_per_octave: float, knee: float) -> Wave:
    """Give noise that falls above a knee and is flat below it, of unit power.

    Args:
        count: samples.
        chance: where it is drawn from.
        db_per_octave: how steeply it falls.
        knee: hertz.
    """
    spectrum = np.fft.rfft(chance.normal(size=count))
    octaves = np.log2(np.maximum(np.fft.rfftfreq(count, 1 / RATE) / knee, 1.0))
    return _unit(np.fft.irfft(spectrum * 10 ** (-db_per_octave * octaves / 20), count))


def _slow(count: int, chance: Generator, hertz: float) -> Wave:
    """Give a wandering of unit power that changes about `hertz` times a second."""
    points = max(int(count / RATE * hertz) + 4, 4)
    grid = np.linspace(0, points - 1, count)
    return _unit(np.interp(grid, np.arange(points), chance.normal(size=points)))


def _tone(count: int, chance: Generator, hertz: float, wow: float, harmonics: int) -> Wave:
    """Give a tone with harmonics that fall by 1 over n, wandering by a share `wow`."""
    pitch = hertz * (1 + wow * _slow(count, chance, 1.5))
    phase = 2 * np.pi * np.cumsum(pitch) / RATE
    starts = chance.uniform(0, 2 * np.pi, harmonics)
    parts = [np.sin(n * phase + starts[n - 1]) / n for n in range(1, harmonics + 1)]
    return _unit(np.sum(parts, axis=0))


def blower(count: int, chance: Generator) -> Wave:
    """Indoor blower: rush of air, and the blade tone of a forward-curved wheel with slight wow."""
    rush = tilted(count, chance, chance.uniform(4, 7), chance.uniform(200, 500))
    blades, turns = chance.integers(32, 48), chance.uniform(800, 1100) / 60
    blade_pass = _tone(count, chance, float(blades * turns), 0.004, 3)
    motor = _tone(count, chance, 2 * _MAINS, 0.0, 6)
    return rush + chance.uniform(0.15, 0.5) * blade_pass + chance.uniform(0.2, 0.6) * motor


def compressor(count: int, chance: Generator) -> Wave:
    """Compressor hum: twice the mains with harmonics, beating with the slip of the rotor."""
    hum = _tone(count, chance, 2 * _MAINS, 0.0, 12)
    slip = _tone(count, chance, chance.uniform(58.2, 59.4), 0.0005, 14)
    beat = 1 + 0.4 * np.sin(2 * np.pi * chance.uniform(1.0, 3.0) * _time(count))
    gas = tilted(count, chance, 6.0, 800.0)
    return hum * beat + chance.uniform(0.3, 0.8) * slip + chance.uniform(0.15, 0.4) * gas


def blade_pass(count: int, chance: Generator) -> Wave:
    """Condenser fan: few large blades, thumping air, a motor of six or eight poles."""
    turns, blades = chance.uniform(800, 1120) / 60, int(chance.integers(3, 6))
    tone = _tone(count, chance, turns * blades, 0.006, 16)
    thump = 1 + 0.5 * np.sin(2 * np.pi * turns * blades * _time(count))
    rush = tilted(count, chance, 4.5, 300.0) * thump
    return rush + chance.uniform(0.5, 1.0) * tone


def wind(count: int, chance: Generator) -> Wave:
    """Wind on the microphone: low rumble that comes in gusts, and a little hiss."""
    gusts = np.exp(0.9 * _slow(count, chance, 0.8))
    rumble = tilted(count, chance, 9.0, 80.0)
    hiss = tilted(count, chance, 3.0, 500.0)
    return gusts * (rumble + chance.uniform(0.05, 0.15) * hiss)


MACHINES: dict[str, Callable[[int, Generator], Wave]] = {
    "blower": blower,
    "compressor": compressor,
    "blade_pass": blade_pass,
    "wind": wind,
}
"""Noises that need no speech to be made of."""

BABBLE, OWN_VOICE = "babble", "own_voice"
KINDS = (*MACHINES, BABBLE, OWN_VOICE)


def _strung(said: Sequence[Wave], count: int, chance: Generator, gap: float) -> Wave:
    """Say drawn sentences one behind the other, each at the same loudness."""
    parts, length = [], 0
    while length < count:
        one = _unit(said[int(chance.integers(len(said)))])
        pause = np.zeros(int(chance.uniform(0.2, 2 * gap) * RATE))
        parts += [one, pause]
        length += len(one) + len(pause)
    whole = np.concatenate(parts)
    begin = int(chance.integers(max(len(whole) - count, 0) + 1))
    return np.asarray(whole[begin : begin + count], np.float64)


def babble(count: int, chance: Generator, said: Sequence[Wave]) -> Wave:
    """Several people across the room and one nearer by, 6 dB louder than each of the others."""
    far = [_strung(said, count, chance, 0.3) for _ in range(5)]
    near = 2.0 * _strung(said, count, chance, 1.0)
    room = int(chance.integers(2**31))
    return in_room(np.sum(far, axis=0), FAR, room) + near + 0.02 * chance.normal(size=count)


def own_voice(count: int, chance: Generator, said: Sequence[Wave]) -> Wave:
    """The tool's prompts out of a small loudspeaker, heard across the room and a moment late."""
    prompts = band_passed(_strung(said, count, chance, 0.4), 250.0, 6000.0)
    late = int(chance.uniform(0.02, 0.12) * RATE)
    room = int(chance.integers(2**31))
    delayed = np.concatenate([np.zeros(late), prompts])[:count]
    return in_room(delayed, FAR, room) + 0.02 * chance.normal(size=count)


def make_noise(kind: str, count: int, seed: int, said: Sequence[Wave] = ()) -> Wave:
    """Make a noise of unit mean power.

    Args:
        kind: one of `KINDS`.
        count: samples.
        seed: equal seeds give equal noise.
        said: dry speech for `babble` (other people) and `own_voice` (the tool's prompts).

    Raises:
        ValueError: when there is no such kind, or speech is needed and there is none.
    """
    chance = np.random.default_rng(seed)
    if kind in MACHINES:
        return _unit(MACHINES[kind](count, chance))
    if kind not in KINDS or not said:
        raise ValueError(kind, "needs speech" if kind in KINDS else f"is none of {KINDS}")
    return _unit((babble if kind == BABBLE else own_voice)(count, chance, said))
