"""How well "stop" and "hold on" are heard into our own voice, and how often it is heard for them.

    uv run python tests/benchmarks/barge_in.py [--minutes 10] [--recogniser sphinx]

A person says each phrase into the middle of one of our sentences, which leaks into the microphone
so many decibels below the person, in a room 20 dB below the person. Then our sentences alone, for
the false ones. Voices: flite's where it is installed, else espeak-ng's. The person's level is that
of the whole phrase, ours that of the whole sentence.
"""

import argparse
import importlib
import random
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import miniaudio
import numpy as np

from assistant.ears.listening import frames_of
from assistant.ears.makers import best_name, make_recogniser
from assistant.ears.overhearing import BARGE_IN, overhear
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import RATE, Samples
from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import SpokenStep
from assistant.voice.synthesis import Synthesiser

sys.path.insert(0, str(Path(__file__).parents[1] / "tools"))
_render = importlib.import_module("render_speech")

ECHOES: tuple[float | None, ...] = (None, -30.0, -20.0, -10.0, 0.0)
PERSON = 3000.0
ROOM = PERSON / 10
FLITE = ("slt", "rms", "awb")
ESPEAK = ("gmw/en-GB-x-rp", "gmw/en-GB-scotland", "gmw/en-US-nyc", "gmw/en-029")


def at_rate(data: bytes, rate: int) -> Samples:
    """Bring sound to 16 kHz."""
    form = miniaudio.SampleFormat.SIGNED16
    converted = bytes(miniaudio.convert_frames(form, 1, rate, data, form, 1, RATE))
    return np.frombuffer(converted, np.int16)


def level(sound: Samples) -> float:
    """Give the mean power's root."""
    return float(np.sqrt(np.square(sound, dtype=np.float64).mean()))


def scaled(sound: Samples, height: float) -> np.ndarray:
    """Bring sound to a level."""
    return sound.astype(np.float64) * (height / max(level(sound), 1.0))


def persons(speaker: Synthesiser) -> Iterator[tuple[str, str, Samples]]:
    """Give phrase, voice and sound."""
    for phrase in BARGE_IN:
        for name in FLITE if shutil.which("flite") else ():
            for speed in (0.8, 0.9, 1.0, 1.1, 1.2):
                sound = _render.finish(_render.open_flite(name, speed)(phrase))
                yield phrase, f"flite {name} {speed}", np.frombuffer(sound, np.int16)
        for name in ESPEAK if not shutil.which("flite") else ():
            for rate in (140, 165, 200):
                made = speaker.render(phrase, rate, 0.8, name)
                yield phrase, f"{name} {rate}", at_rate(made.data, made.rate)


def sentences() -> list[str]:
    """Give what our own voice says: the prompts of every shipped flow."""
    steps = [step for name in flow_names() for step in open_flow(name).steps.values()]
    said = {text for step in steps if isinstance(step, SpokenStep) for text in (step.say, step.why)}
    return sorted(text for text in said if text and "{" not in text)


def mixed(own: Samples | None, echo: float | None, person: Samples | None, seed: int) -> Samples:
    """Give what the microphone hears."""
    count = len(own) if own is not None else 4 * RATE
    sound = np.random.default_rng(seed).normal(0, ROOM, count)
    if own is not None and echo is not None:
        sound += scaled(own, PERSON * 10 ** (echo / 20))
    if person is not None:
        start = min(int(1.5 * RATE), max(count - len(person) - RATE, 0))
        end = min(start + len(person), count)
        sound[start:end] += scaled(person, PERSON)[: end - start]
    return np.clip(sound, -32768, 32767).astype(np.int16)


def count_hits(
    recogniser: Recogniser, speaker: Synthesiser, said: list[str], echo: float | None
) -> tuple[int, int, int]:
    """Give how many phrases were caught, how many of them as the other one, of how many."""
    rights = wrongs = total = 0
    choose = random.Random(3)  # noqa: S311 - a sample
    long = [text for text in said if 40 < len(text) < 120]
    for phrase, _, person in persons(speaker):
        text = choose.choice(long)
        made = speaker.render(text)
        sound = mixed(at_rate(made.data, made.rate), echo, person, total)
        caught = overhear(frames_of(sound), recogniser, text)
        total += 1
        rights += caught is not None and caught[0] == phrase
        wrongs += caught is not None and caught[0] != phrase
    return rights, wrongs, total


def count_false(
    recogniser: Recogniser, speaker: Synthesiser, said: list[str], echo: float, minutes: float
) -> tuple[int, float]:
    """Give how often our own voice alone was taken for a phrase, in how many minutes."""
    choose = random.Random(4)  # noqa: S311 - a sample
    seconds, false = 0.0, 0
    while seconds < 60 * minutes:
        text = choose.choice(said)
        made = speaker.render(text)
        sound = mixed(at_rate(made.data, made.rate), echo, None, int(seconds * 10))
        false += overhear(frames_of(sound), recogniser, text) is not None
        seconds += len(sound) / RATE
    return false, seconds / 60


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--minutes", type=float, default=10)
    parser.add_argument("--recogniser", default=best_name())
    options = parser.parse_args()
    recogniser, said = make_recogniser(options.recogniser), sentences()
    print(f"recogniser {options.recogniser}; {len(said)} sentences of our own")
    print("| echo below the person | heard | as the other | false in our own voice |")
    print("|---|---|---|---|")
    with Synthesiser() as speaker:
        for echo in ECHOES:
            began = time.monotonic()
            rights, wrongs, total = count_hits(recogniser, speaker, said, echo)
            false = "-"
            if echo is not None:
                count, minutes = count_false(recogniser, speaker, said, echo, options.minutes)
                false = f"{count} in {minutes:.0f} min"
            name = "none" if echo is None else f"{-echo:.0f} dB"
            print(f"| {name} | {rights} of {total} | {wrongs} | {false} |", flush=True)
            print(f"{time.monotonic() - began:.0f} s", file=sys.stderr)
    recogniser.close()


if __name__ == "__main__":
    main()
