"""Time and memory of a walk by sound, as ratios in one run against the bare recogniser.

Run: `uv run python tests/benchmarks/walk_times.py`. Prints, over the answers of the demo: the time
from the end of speech to the answer being ready and to the first sound of the reply; what the walk
adds to the bare recogniser on the same sound; start-up time; memory; turns a second of the walk
alone on the same words.
"""

import resource
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from statistics import median, quantiles

from assistant.desk.opening import load_safe_flow, recorded_answers
from assistant.ears.files import FileEars
from assistant.ears.hearing import hear_file
from assistant.ears.listening import trimmed
from assistant.ears.makers import make_recogniser
from assistant.ears.sound import read_sound
from assistant.journal.session import Session
from assistant.voice.synthesis import Synthesiser
from assistant.walk.ends import Heard, HungUp
from assistant.walk.walk import Walk

_TICKS = count()


def clock() -> datetime:
    """Give a clock that moves one second a call."""
    return datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=next(_TICKS))


def spread(name: str, seconds: list[float]) -> None:
    """Print the median and the 95th percentile in milliseconds."""
    p95 = quantiles(seconds, n=20)[-1]
    print(f"{name:44} p50 {median(seconds) * 1000:7.1f} ms   p95 {p95 * 1000:7.1f} ms")


def walk_by_sound() -> tuple[list[float], list[float], list[str], float]:
    """Walk the demo; give times to the answer, to the first sound, the words, and all seconds."""
    walk = Walk(load_safe_flow("blower-psc"))
    ears = FileEars(recorded_answers(), make_recogniser("sphinx"))
    ready, first_sound, words = [], [], []
    with tempfile.TemporaryDirectory() as folder, Synthesiser() as voice:
        voice.render("ready")
        session = Session.begin(walk, Path(folder), "bench", clock=clock)
        begun = time.perf_counter()
        while not session.state.is_over:
            start = time.perf_counter()
            sound = ears.listen(session.expectation)
            if isinstance(sound, HungUp):
                break
            utterances = session.hear(sound)
            ready.append(time.perf_counter() - start)
            words.append(sound.words if isinstance(sound, Heard) else "")
            if utterances:
                voice.render(utterances[0].text)
                first_sound.append(time.perf_counter() - start)
        total = sum(ready)
        del begun
        session.close()
    ears.close()
    return ready, first_sound, words, total


def bare_recogniser() -> float:
    """Give the seconds the recogniser alone takes for the same files with the same grammars."""
    walk = Walk(load_safe_flow("blower-psc"))
    recogniser = make_recogniser("sphinx")
    state, seconds = walk.begin().state, 0.0
    for file in recorded_answers():
        expects = walk.expectation(state)
        samples = trimmed(read_sound(file).samples)
        recogniser.begin(expects)
        start = time.perf_counter()
        recogniser.begin(expects)
        recogniser.feed(samples.raw, samples.cleaned)
        recogniser.finish()
        seconds += time.perf_counter() - start
        state = walk.hear(state, hear_file(file, expects, recogniser)).state
    recogniser.close()
    return seconds


def turns_a_second(words: list[str]) -> float:
    """Give how many turns a second the walk alone makes of the same words."""
    walk = Walk(load_safe_flow("blower-psc"))
    rounds, turns, start = 5, 0, time.perf_counter()
    for _ in range(rounds):
        state = walk.begin().state
        for phrase in words:
            state = walk.hear(state, Heard(phrase)).state
            turns += 1
    return turns / (time.perf_counter() - start)


def start_up() -> float:
    """Give the seconds from the command to its first answer, as a whole process."""
    command = [sys.executable, "-m", "assistant", "hear", "--text", "ten", "--expect", "ohm"]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return median(times)


def main() -> None:
    """Measure and print."""
    loaded = []
    for _ in range(3):
        start = time.perf_counter()
        load_safe_flow("blower-psc")
        loaded.append(time.perf_counter() - start)
    ready, first_sound, words, total = walk_by_sound()
    bare = bare_recogniser()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    spread("end of speech to the answer on disk", ready)
    spread("end of speech to the first sound of the reply", first_sound)
    print(f"{'walk and journal over the bare recogniser':44} {total / bare:7.2f} times")
    print(f"{'turns a second, words only':44} {turns_a_second(words):7.0f}")
    print(f"{'loading the blower flow, first and again':44} {loaded[0]:7.2f} s {loaded[-1]:7.2f} s")
    print(f"{'start-up to an answer, whole process':44} {start_up():7.2f} s")
    print(f"{'peak memory of the walk with its recogniser':44} {peak:7.0f} MB")


if __name__ == "__main__":
    main()
