"""Build the corpus of the hearing bench; nothing of it is kept with the project.

    python tests/benchmarks/hearing/build_corpus.py CORPUS --voices VOICES/bin/python
        [--digits FOLDER] [--part tuning] [--no-render] [--mix]

CORPUS gets for each part `lines-PART.jsonl` (what to render), `manifest-PART.jsonl` (one line a
trial) and, in `dry/`, the speech. A trial's sound is made of it when it is heard, from seeds; with
`--mix` it is also kept in `mixed/`. What is there is left, so a broken-off run goes on, and may be
run again when more voices were installed. DEVELOPERS.md, "Measuring the ears", says how to make
the environment of the voices. Without `--digits` there is no human speech.
"""

import argparse
import json
import random
import subprocess
import sys
from pathlib import Path
from typing import TypeAlias

import numpy as np
from human_digits import joined
from loudness import RATE, Wave
from mixing import LEAD_SECONDS, Recipe, mix_all, to_samples
from noises import BABBLE, OWN_VOICE
from phrases import HELD_OUT, TUNING
from plan import Said, Utterance, prompts, recipes, talkers, utterances
from sounds import read_wave, seconds_of, write_samples

Line: TypeAlias = dict[str, object]
"""A line of the manifest."""


def write_lines(path: Path, said: list[Said]) -> None:
    """Write what a voice of the table must render, voice by voice."""
    lines = {
        one.file: {
            "voice": one.voice,
            "speed": one.speed,
            "pitch": one.pitch,
            "text": one.text,
            "file": one.file,
        }
        for one in said
        if not one.voice.startswith("human:")
    }
    slow_last = sorted(lines.values(), key=lambda line: str(line["voice"]).startswith("kokoro"))
    text = "".join(json.dumps(line) + "\n" for line in slow_last)
    path.write_text(text, "utf-8")


def join_humans(corpus: Path, said: list[Said], digits: Path) -> None:
    """Make the human readings."""
    for one in said:
        path = corpus / "dry" / one.file
        if one.voice.startswith("human:") and not path.exists():
            chance = random.Random(one.file)  # noqa: S311 - a sample
            speaker = one.voice.removeprefix("human:")
            write_samples(path, to_samples(joined(digits, speaker, one.text, chance)))


class Surroundings:
    """The speech that voice-like noises are made of, read once.

    Args:
        corpus: the folder.
    """

    def __init__(self, corpus: Path) -> None:
        self._dry = corpus / "dry"
        self._known: dict[tuple[str, str], list[Wave]] = {}

    def of(self, noise: str, part: str) -> list[Wave]:
        """Give what a noise is made of; nothing for machines.

        Raises:
            FileNotFoundError: when no talk was rendered.
        """
        if noise not in {BABBLE, OWN_VOICE}:
            return []
        if (noise, part) not in self._known:
            said = talkers(part) if noise == BABBLE else prompts()
            paths = [self._dry / one.file for one in said]
            there = [read_wave(path) for path in paths if path.exists()]
            if not there:
                raise FileNotFoundError(self._dry, f"speech for {noise}")
            self._known[noise, part] = there
        return self._known[noise, part]


def joined_parts(corpus: Path, files: list[str], seconds: float) -> Wave:
    """Give dry speech of one or two files, with a pause between."""
    parts = [read_wave(corpus / "dry" / file) for file in files]
    pause = np.zeros(int(seconds * RATE))
    whole = [piece for part in parts for piece in (part, pause)]
    return np.asarray(np.concatenate(whole[:-1]), np.float64)


def manifest_line(utterance: Utterance, recipe: Recipe, seconds: float) -> Line:
    """Give what the runner must know of one trial."""
    name = f"{utterance.id}-{'clean' if recipe.snr is None else f'{recipe.snr:.0f}'}"
    clear = utterance.clear.file if utterance.clear else ""
    return {
        "id": name,
        "file": f"mixed/{name}-{recipe.noise}-{recipe.distance}-{recipe.band}.wav".replace(
            ":", "_"
        ),
        "part": utterance.part,
        "kind": utterance.kind,
        "voice": utterance.voice,
        "speed": utterance.parts[0].speed,
        "pitch": utterance.parts[0].pitch,
        "phrase": utterance.phrase.words,
        "style": utterance.phrase.style,
        "place": utterance.phrase.place,
        "truth": utterance.phrase.truth.as_record(),
        "pause": utterance.pause,
        "parts": [one.file for one in utterance.parts],
        "speech_begin": LEAD_SECONDS,
        "speech_end": round(LEAD_SECONDS + seconds, 3),
        **recipe.as_record(),
        "yes": utterance.yes.file,
        "no": utterance.no.file,
        "clear": clear,
    }


def mix_utterance(
    corpus: Path, utterance: Utterance, lines: list[Line], around: Surroundings
) -> None:
    """Mix one utterance into those of its conditions that are not there yet."""
    paths = [corpus / str(line["file"]) for line in lines]
    if not all(path.exists() for path in paths):
        dry = joined_parts(corpus, [one.file for one in utterance.parts], utterance.pause)
        wanted = recipes(utterance)
        said = around.of(wanted[-1].noise, utterance.part)
        for path, mixed in zip(paths, mix_all(dry, wanted, said), strict=True):
            write_samples(path, to_samples(mixed))


def manifest_of(corpus: Path, utterance: Utterance) -> list[Line]:
    """Give the lines of an utterance in its conditions; none where a voice is still missing."""
    dry = corpus / "dry"
    if not all((dry / one.file).exists() for one in utterance.stretches):
        return []
    seconds = sum(seconds_of(dry / one.file) for one in utterance.parts) + utterance.pause
    return [manifest_line(utterance, recipe, seconds) for recipe in recipes(utterance)]


def build_part(part: str, options: argparse.Namespace) -> None:
    """Render and mix one part and write its manifest."""
    corpus: Path = options.corpus
    planned = utterances(part, has_human=options.digits is not None)
    said = [*prompts(), *talkers(part)]
    said += [one for utterance in planned for one in utterance.stretches]
    if options.digits is not None:
        join_humans(corpus, said, options.digits)
    if not options.no_render:
        lines_path, script = (
            corpus / f"lines-{part}.jsonl",
            Path(__file__).with_name("render_dry.py"),
        )
        write_lines(lines_path, said)
        command = [options.voices, str(script), str(lines_path), str(corpus / "dry")]
        subprocess.run(command, check=False)
    rendered = [(one, manifest_of(corpus, one)) for one in planned]
    lines = [line for _, own in rendered for line in own]
    text = "".join(json.dumps(line) + "\n" for line in lines)
    (corpus / f"manifest-{part}.jsonl").write_text(text, "utf-8")
    missing = sum(not own for _, own in rendered)
    print(f"{part}: {len(lines)} trials; {missing} utterances of {len(planned)} not rendered.")
    around = Surroundings(corpus)
    for utterance, own in rendered if options.mix else ():
        mix_utterance(corpus, utterance, own, around)


def main() -> int:
    """Build the corpus."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("corpus", type=Path)
    parser.add_argument("--voices", help="the Python that has the voices")
    parser.add_argument("--digits", type=Path, help="folder of recorded human digits")
    parser.add_argument("--part", choices=(TUNING, HELD_OUT), action="append")
    parser.add_argument("--mix", action="store_true", help="keep each trial's sound on disk")
    parser.add_argument("--no-render", action="store_true", help="take what is rendered by now")
    options = parser.parse_args()
    options.corpus.mkdir(parents=True, exist_ok=True)
    if options.digits is None:
        print("No folder of human digits was given: there will be no human speech.")
    for part in options.part or [TUNING, HELD_OUT]:
        build_part(part, options)
    return 0


if __name__ == "__main__":
    sys.exit(main())
