"""Render the dry speech of the bench, in the environment that has the voices.

    voices/bin/python tests/benchmarks/hearing/render_dry.py LINES FOLDER

LINES has one JSON object a line: `voice`, `speed`, `pitch`, `text`, `file`. FOLDER gets each file:
mono, 16 bits, 16 kHz, cut close. Files that are there are left. A voice that is not installed is
named on stderr and passed over; exit 1 when there was one.
"""

import argparse
import json
import sys
import wave
from collections import defaultdict
from pathlib import Path

import numpy as np
from loudness import RATE, Wave
from voice_table import Speaker, open_voice

_AUDIBLE = 0.01
_MARGIN = RATE // 50
_PEAK = 0.5


def resampled(sound: Wave, rate: float) -> Wave:
    """Bring a sound to 16 kHz by its spectrum; tones above 8 kHz are left out."""
    count = round(len(sound) * RATE / rate)
    spectrum = np.fft.rfft(sound)
    wanted = np.zeros(count // 2 + 1, np.complex128)
    kept = min(len(wanted), len(spectrum))
    wanted[:kept] = spectrum[:kept]
    return np.asarray(np.fft.irfft(wanted, count) * count / len(sound), np.float64)


def close_cut(sound: Wave) -> Wave:
    """Leave out what is quiet before and after the speech, and level its peak."""
    peak = float(np.max(np.abs(sound), initial=0.0))
    loud = np.flatnonzero(np.abs(sound) > _AUDIBLE * peak)
    if not len(loud):
        raise ValueError("nothing was said")
    part = sound[max(int(loud[0]) - _MARGIN, 0) : int(loud[-1]) + _MARGIN]
    return np.asarray(part * (_PEAK / peak), np.float64)


def say(speaker: Speaker, text: str, speed: float, pitch: float) -> Wave:
    """Say a text; a pitch of 1.06 is the same speech from a throat 6 % shorter."""
    sound, rate = speaker(text, speed / pitch)
    return close_cut(resampled(sound, rate * pitch))


def write(path: Path, sound: Wave) -> None:
    """Write a WAV file whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    with wave.open(str(part), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(np.round(sound * 32_767).astype("<i2").tobytes())
    part.rename(path)


def _by_voice(lines: Path, folder: Path) -> dict[str, list[dict[str, str]]]:
    waiting: dict[str, list[dict[str, str]]] = defaultdict(list)
    for line in lines.read_text("utf-8").splitlines():
        wanted = json.loads(line)
        if not (folder / wanted["file"]).exists():
            waiting[wanted["voice"]].append(wanted)
    return waiting


def main() -> int:
    """Render what is missing."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("lines", type=Path)
    parser.add_argument("folder", type=Path)
    options = parser.parse_args()
    code = 0
    for voice, waiting in _by_voice(options.lines, options.folder).items():
        try:
            speaker = open_voice(voice)
            for wanted in waiting:
                sound = say(speaker, wanted["text"], float(wanted["speed"]), float(wanted["pitch"]))
                write(options.folder / wanted["file"], sound)
        except (ImportError, FileNotFoundError) as error:
            print(f"{voice} is not installed: {error}.", file=sys.stderr)
            code = 1
        print(f"{voice}: {len(waiting)} rendered", flush=True)
    return code


if __name__ == "__main__":
    sys.exit(main())
