"""Listen to hours of noise and of talk that is no answer, and count what is taken for one.

    python tests/benchmarks/hearing/false_triggers.py CORPUS --recogniser sphinx --results FILE
        --of noise|talk [--hours 1] [--part held_out]

The sound is made minute by minute from seeds and goes through the same path as a microphone's: one
turn after another listens, for one of five expectations that change with the minute. A *trigger* is
any words; an *answer* is what would be believed at once; a *number* is a believed reading; *asked*
is a reading that would be asked back. Minutes that are in the results are not listened to again.

Noise: every kind of machine at 40 to 60 dB below full scale, in turn. Talk: sentences about parts,
weather and people, and numbers in passing, from every voice of the part, near and far, with pauses
of 0.5 to 3 s, in quiet and in a machine's noise at 20 and 10 dB.
"""

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from bounds import upper_bound
from build_corpus import Surroundings
from loudness import RATE, Wave, active_db, noise_at, power_db, scaled_to
from mixing import to_samples
from noises import BABBLE, MACHINES, OWN_VOICE, make_noise
from phrases import HELD_OUT, TUNING, place_named
from results import append_line, read_lines
from rooms import FAR, NEAR, in_room

from assistant.ears.detector import FRAME
from assistant.ears.listening import Listener
from assistant.ears.makers import make_recogniser
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import Samples
from assistant.walk.ends import Heard, Silence
from assistant.walk.hearing import weigh_heard

NOISE, TALK = "noise", "talk"
_PLACES = ("ohm", "volt", "microfarad", "yes_no", "blower-psc:wheel")
_MINUTE = 60 * RATE


def noise_minute(number: int) -> Wave:
    """Make one minute of machines, the kinds in turn, each at a drawn loudness."""
    chance = random.Random(f"rungside noise {number}")  # noqa: S311 - a sample
    kind = list(MACHINES)[number % len(MACHINES)]
    noise = make_noise(kind, _MINUTE, chance.randrange(2**31))
    return scaled_to(noise, power_db(noise), chance.uniform(-60, -20))


def talk_minute(number: int, said: list[Wave], prompts: list[Wave]) -> Wave:
    """Make one minute of talk; every fourth is the tool's own prompts leaking back."""
    chance = random.Random(f"rungside talk {number}")  # noqa: S311 - a sample
    source = prompts if number % 4 == 3 else said
    whole = np.zeros(_MINUTE)
    at = int(chance.uniform(0.5, 2) * RATE)
    while at < _MINUTE:
        one = in_room(chance.choice(source), chance.choice((NEAR, FAR)), chance.randrange(2**31))
        level = chance.uniform(-36, -24)
        piece = scaled_to(one, active_db(one), level)[: _MINUTE - at]
        whole[at : at + len(piece)] += piece
        at += len(piece) + int(chance.uniform(0.5, 3) * RATE)
    snr = chance.choice((45.0, 20.0, 10.0))
    kind = chance.choice(list(MACHINES))
    return whole + noise_at(make_noise(kind, _MINUTE, chance.randrange(2**31)), -30.0, snr)


def frames_until(samples: Samples) -> Iterator[Samples]:
    """Give the frames of a minute."""
    yield from samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME)


def listened(samples: Samples, place_name: str, recogniser: Recogniser) -> dict[str, object]:
    """Let one turn after another listen to a minute and count what each came to."""
    place = place_named(place_name)
    listener, frames = Listener(recogniser, source="bench"), frames_until(samples)
    counted: Counter[str] = Counter()
    taken: list[list[str]] = []
    while (sound := listener.hear(frames, place.expectation)) is not None:
        if isinstance(sound, Silence) or not sound.words:
            counted["nothing"] += isinstance(sound, Heard)
            continue
        record = weigh_heard(sound, place, is_sound=True)
        is_believed, is_reading = record["decision"] == "accept", record["unit"] is not None
        counted["triggers"] += 1
        counted["answers"] += is_believed
        counted["numbers"] += is_believed and is_reading
        counted["commands"] += is_believed and record["command"] is not None
        counted["asked"] += record["decision"] == "ask" and is_reading
        taken.append([str(record["decision"]), sound.words])
    names = ("nothing", "triggers", "answers", "numbers", "commands", "asked")
    return {**{name: counted[name] for name in names}, "taken": taken}


def minutes(options: argparse.Namespace) -> Iterator[tuple[int, Wave]]:
    """Give the minutes that were not listened to yet."""
    done = {(line["of"], line["part"], line["minute"]) for line in read_lines(options.results)}
    around = Surroundings(options.corpus)
    for number in range(round(options.hours * 60)):
        if (options.of, options.part, number) in done:
            continue
        if options.of == NOISE:
            yield number, noise_minute(number)
        else:
            said = around.of(BABBLE, options.part)
            yield number, talk_minute(number, said, around.of(OWN_VOICE, options.part))


def print_totals(lines: list[dict[str, object]]) -> None:
    """Print what an hour of each brings."""
    for of in (NOISE, TALK):
        members = [line for line in lines if line["of"] == of]
        hours = len(members) / 60
        if not members:
            continue
        print(f"{of}: {hours:.2f} hours")
        for name in ("nothing", "triggers", "answers", "commands", "asked", "numbers"):
            total = sum(int(str(line[name])) for line in members)
            bound = 60 * upper_bound(min(total, len(members)), len(members))
            print(f"  {name:9} {total:5}   {total / hours:7.2f} an hour (bound {bound:.2f})")
        for line in members:
            for decision, words in line["taken"]:  # type: ignore[attr-defined]
                if decision == "accept":
                    print(f"  minute {line['minute']} for {line['place']}: {words}")


def main() -> int:
    """Listen to what is left and print the totals."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("corpus", type=Path)
    parser.add_argument("--recogniser", default="sphinx")
    parser.add_argument("--results", type=Path, required=True)
    parser.add_argument("--of", choices=(NOISE, TALK), required=True)
    parser.add_argument("--hours", type=float, default=1.0)
    parser.add_argument("--part", choices=(TUNING, HELD_OUT), default=HELD_OUT)
    options = parser.parse_args()
    recogniser = make_recogniser(options.recogniser)
    for number, wave in minutes(options):
        place = _PLACES[number % len(_PLACES)]
        start = time.perf_counter()
        found = listened(to_samples(wave), place, recogniser)
        where = {"of": options.of, "part": options.part, "minute": number, "place": place}
        spent = {"recogniser": options.recogniser, "busy": round(time.perf_counter() - start, 1)}
        append_line(options.results, {**where, **spent, **found})
    print_totals(read_lines(options.results))
    return 0


if __name__ == "__main__":
    sys.exit(main())
