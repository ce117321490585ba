"""What a cheap headset does: 8 kHz, the telephone band, G.711 and back.

Source: ITU-T G.711 (µ-law: bias 33 of 14 bits, eight segments of sixteen steps); the band 300 to
3400 Hz is the usual telephone band (ITU-T G.712).
"""

import numpy as np
from loudness import RATE, Wave, band_passed

BAND = (300.0, 3400.0)
_BIAS, _LOUDEST = 132, 32_635


def mu_law(wave: Wave) -> Wave:
    """Take each sample to its µ-law code and back."""
    samples = np.round(np.clip(wave, -1, 1) * 32_767).astype(np.int64)
    biased = np.minimum(np.abs(samples), _LOUDEST) + _BIAS
    segment = np.floor(np.log2(biased)).astype(np.int64) - 7
    step = (biased >> (segment + 3)) & 0xF
    decoded = (((step << 3) + _BIAS) << segment) - _BIAS
    return np.asarray(np.sign(samples) * decoded / 32_767.0, np.float64)


def halved(wave: Wave) -> Wave:
    """Bring 16 kHz to 8 kHz; what is above 4 kHz must have been filtered out before."""
    return np.asarray(wave[::2], np.float64)


def doubled(wave: Wave, length: int) -> Wave:
    """Bring 8 kHz back to 16 kHz.

    Args:
        wave: 8 kHz.
        length: how many samples to give.
    """
    spectrum = np.fft.rfft(wave)
    full = np.zeros(len(wave) + 1, np.complex128)
    full[: len(spectrum)] = spectrum
    whole = 2 * np.fft.irfft(full, 2 * len(wave))
    return np.asarray(whole[:length], np.float64)


def banded(wave: Wave) -> Wave:
    """Leave only the headset's band."""
    return band_passed(wave, *BAND)


def through_headset(wave: Wave) -> Wave:
    """Give what a headset hands over, at 16 kHz again and as long as before."""
    if len(wave) % 2:
        return through_headset(np.concatenate([wave, np.zeros(1)]))[: len(wave)]
    return doubled(mu_law(halved(banded(wave))), len(wave))


def band_share(wave: Wave, low: float, high: float) -> float:
    """Give the share of a sound's energy between two frequencies."""
    energy = np.square(np.abs(np.fft.rfft(wave)))
    tones = np.fft.rfftfreq(len(wave), 1 / RATE)
    inside = (tones >= low) & (tones <= high)
    return float(energy[inside].sum() / max(float(energy.sum()), 1e-20))
