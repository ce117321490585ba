"""How loud speech and noise are, and mixing them at a stated ratio.

Speech is measured over its active part only, after the idea of ITU-T P.56 (method B): the envelope
of the speech is compared with thresholds, and the active level is the one that stands 15.9 dB over
its own threshold. Ours takes the envelope from 1 ms means instead of every sample. Noise is
measured over all of its length. Both are measured between 100 Hz and 7 kHz, so that rumble that no
recogniser listens to does not count as noise.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Wave: TypeAlias = NDArray[np.float64]
"""Mono sound, 16 kHz; full scale is 1."""

RATE = 16_000
_BLOCK = RATE // 1000
_SMOOTHING_SECONDS = 0.03
_HANGOVER_SECONDS = 0.2
_MARGIN_DB = 15.9
_SEARCHED_DB = 60.0
_COUNTED = (100.0, 7000.0)


def band_passed(wave: Wave, low: float, high: float, slope: float = 0.15) -> Wave:
    """Keep the tones between two frequencies.

    Args:
        wave: any length.
        low: hertz; tones below fade out over `slope` of it.
        high: hertz; tones above fade out over `slope` of it.
        slope: width of each edge as a share of its frequency.
    """
    spectrum = np.fft.rfft(wave)
    tones = np.fft.rfftfreq(len(wave), 1 / RATE)
    rising = np.clip((tones - low * (1 - slope)) / max(low * slope, 1e-9), 0, 1)
    falling = np.clip((high * (1 + slope) - tones) / (high * slope), 0, 1)
    return np.asarray(np.fft.irfft(spectrum * rising * falling, len(wave)), np.float64)


def power_db(wave: Wave) -> float:
    """Give the mean power in decibels of full scale, between 100 Hz and 7 kHz."""
    counted = band_passed(wave, *_COUNTED)
    return float(10 * np.log10(max(float(np.mean(np.square(counted))), 1e-20)))


def active_db(speech: Wave) -> float:
    """Give the level of speech over its active part, in decibels of full scale."""
    counted = band_passed(speech, *_COUNTED)
    energy = float(np.sum(np.square(counted)))
    envelope = _envelope(counted)
    loudest_db = 20 * np.log10(max(float(envelope.max()), 1e-10))
    thresholds_db = np.arange(loudest_db - _SEARCHED_DB, loudest_db, 0.5)  # some of it is over each
    levels = []
    for threshold in thresholds_db:
        active = _with_hangover(envelope > 10 ** (threshold / 20))
        levels.append(10 * np.log10(max(energy / (int(active.sum()) * _BLOCK), 1e-20)))
    over = np.asarray(levels) - thresholds_db - _MARGIN_DB
    at = int(np.argmin(np.abs(over)))
    return float(levels[at])


def _envelope(wave: Wave) -> Wave:
    """Smooth the magnitude twice, as P.56 does, one value a millisecond."""
    rest = -len(wave) % _BLOCK
    blocks = np.abs(np.concatenate([wave, np.zeros(rest)])).reshape(-1, _BLOCK).mean(axis=1)
    keep = float(np.exp(-0.001 / _SMOOTHING_SECONDS))
    once = twice = 0.0
    smooth: Wave = np.zeros(len(blocks))
    for at, block in enumerate(blocks):
        once = keep * once + (1 - keep) * float(block)
        twice = keep * twice + (1 - keep) * once
        smooth[at] = twice
    return smooth


def _with_hangover(active: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Count the first moments behind each active one as active too."""
    moments = np.arange(len(active))
    last = np.maximum.accumulate(np.where(active, moments, -(10**9)))
    return np.asarray(moments - last <= _HANGOVER_SECONDS * 1000, np.bool_)


def scaled_to(wave: Wave, now_db: float, wanted_db: float) -> Wave:
    """Change the loudness by the difference of two levels."""
    return wave * 10 ** ((wanted_db - now_db) / 20)


def noise_at(noise: Wave, speech_db: float, snr: float) -> Wave:
    """Bring noise to `snr` decibels below speech.

    Args:
        noise: as it came.
        speech_db: active level of the speech that it will be added to.
        snr: signal to noise ratio in decibels.
    """
    return scaled_to(noise, power_db(noise), speech_db - snr)
