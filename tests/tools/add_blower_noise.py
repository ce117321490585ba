"""Mix blower noise into a recorded answer, as a demo of mishearing needs.

    uv run python tests/tools/add_blower_noise.py IN.wav OUT.wav --snr 6 --seed 3

The noise is made, not recorded: broad-band air below 2 kHz, a 120 Hz hum with harmonics, and the
blade pass of a wheel; `--snr` is speech over noise in dB, `--seed` chooses the noise.
"""

import argparse
import wave
from pathlib import Path

import numpy as np

RATE = 16_000


def blower_noise(count: int, rng: np.random.Generator) -> np.ndarray:
    """Make `count` samples of blower noise with a root mean square of one."""
    spectrum = np.fft.rfft(rng.standard_normal(count))
    frequencies = np.fft.rfftfreq(count, 1 / RATE)
    spectrum *= 1 / np.maximum(frequencies, 60.0) ** 0.7 * (frequencies < 4000)
    air = np.fft.irfft(spectrum, count)
    air /= air.std()
    times = np.arange(count) / RATE
    hum = sum(np.sin(2 * np.pi * 120 * k * times + rng.uniform(0, 6)) / k for k in (1, 2, 3, 4))
    blades = np.sin(2 * np.pi * 640 * times + rng.uniform(0, 6))
    mixed = air + 0.3 * np.asarray(hum) + 0.15 * blades
    return np.asarray(mixed / mixed.std())


def mix(samples: np.ndarray, snr_db: float, seed: int) -> np.ndarray:
    """Add noise to int16 samples so that speech stands `snr_db` over it."""
    speech = samples.astype(float)
    loud = speech[np.abs(speech) > 0.05 * np.abs(speech).max()]
    noise = blower_noise(len(speech), np.random.default_rng(seed))
    mixed = speech + noise * loud.std() * 10 ** (-snr_db / 20)
    clipped: np.ndarray = np.clip(mixed, -32767, 32767).astype(np.int16)
    return clipped


def main() -> None:
    """Read, mix and write."""
    parser = argparse.ArgumentParser(description="Mix blower noise into a recorded answer.")
    parser.add_argument("source", type=Path)
    parser.add_argument("target", type=Path)
    parser.add_argument("--snr", type=float, default=6.0)
    parser.add_argument("--seed", type=int, default=0)
    said = parser.parse_args()
    with wave.open(str(said.source), "rb") as file:
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16)
    with wave.open(str(said.target), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(mix(samples, said.snr, said.seed).tobytes())


if __name__ == "__main__":
    main()
