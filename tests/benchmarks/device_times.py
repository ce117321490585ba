"""How soon devices that go and come are noticed, a hung voice is heard again, a barge-in stops it.

    uv run python tests/benchmarks/device_times.py [--times 5]

On a virtual sound service (PulseAudio), which must be installed. Seconds from the event to the
sentence, to the sound, to the silence: median and longest.
"""

import argparse
import importlib
import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np

from assistant.desk.overheard import OverheardVoice
from assistant.ears.microphone import MicrophoneEars
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import Samples
from assistant.spoken.meaning import Expectation
from assistant.voice.aloud import SpokenVoice
from assistant.voice.player import Player, open_loudspeaker
from assistant.voice.process import SpeechProcess, worker_command
from assistant.voice.synthesis import Synthesiser
from assistant.voice.watched import WatchedLoudspeaker
from assistant.walk.ends import Role, Utterance

sys.path.insert(0, str(Path(__file__).parents[2]))
virtual = importlib.import_module("tests.tools.virtual_sound")

Times: TypeAlias = dict[str, list[float]]
TEXT = "Set the meter to ohms. Put the leads on common and on the low tap. Then read the meter."
HANGING = """
import time
from assistant.voice import worker
worker.carry_out = lambda engine, line: time.sleep(600)
worker.main()
"""


class Told:
    """Keeps sentences with the time they came."""

    def __init__(self) -> None:
        self.at: list[float] = []

    def __call__(self, sentence: str) -> None:
        """Keep one."""
        del sentence
        self.at.append(time.monotonic())

    def seconds_after(self, event: Callable[[], None]) -> float:
        """Let something happen; give how long it took virtual.until it was told."""
        self.at.clear()
        began = time.monotonic()
        event()
        virtual.until(lambda: bool(self.at), 10)
        return self.at[0] - began


class TimedPlayer(Player):
    """A player that knows when it was stopped."""

    stopped_at = 0.0

    def stop(self) -> None:
        """Stop."""
        self.stopped_at = time.monotonic()
        super().stop()


class AlwaysStop:
    """A recogniser that takes everything for "stop", at once."""

    name = "stop"

    def begin(self, expectation: Expectation) -> None:
        """Do nothing."""

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Do nothing."""

    def finish(self, is_enough: object = None) -> Hypothesis:
        """Give it."""
        del is_enough
        return Hypothesis("stop")

    def compare(self, phrases: object) -> dict[str, float]:
        """Fit nothing."""
        del phrases
        return {}

    def lacks(self, words: object) -> tuple[str, ...]:
        """Lack nothing."""
        del words
        return ()

    def close(self) -> None:
        """Do nothing."""


def microphone_times(sound: Any, folder: Path, times: int) -> Times:  # noqa: ANN401
    """Give how soon a microphone is told to be gone and back."""
    del folder
    told = Told()
    ears = MicrophoneEars(AlwaysStop(), tell=told)
    time.sleep(3)
    gone, back = list[float](), list[float]()
    for _ in range(times):
        gone.append(told.seconds_after(lambda: sound.pull_out(virtual.MICROPHONE)))
        time.sleep(0.7)
        back.append(told.seconds_after(sound.plug_in_microphone))
        time.sleep(3)
    ears.close()
    return {"microphone gone, told": gone, "microphone back, told": back}


def loudspeaker_times(sound: Any, folder: Path, times: int) -> Times:  # noqa: ANN401
    """Give how soon a loudspeaker is told to be gone and back."""
    del folder
    told = Told()
    watch = WatchedLoudspeaker("", told, told)
    watch.begin()
    gone, back = list[float](), list[float]()
    for _ in range(times):
        gone.append(told.seconds_after(lambda: sound.pull_out(virtual.LOUDSPEAKER)))
        time.sleep(0.7)
        back.append(told.seconds_after(sound.plug_in_loudspeaker))
        time.sleep(0.7)
    watch.close()
    return {"loudspeaker gone, told": gone, "loudspeaker back, told": back}


def restart_times(times: int) -> Times:
    """Give how long a text takes whose engine hangs once, and one whose engine does not."""
    hung, usual = list[float](), list[float]()
    for _ in range(times):
        commands = [(sys.executable, "-P", "-c", HANGING), worker_command()]
        with Synthesiser(lambda *_, left=commands: SpeechProcess(left.pop(0))) as synthesiser:
            synthesiser.facts()
            began = time.monotonic()
            synthesiser.render(TEXT)
            hung.append(time.monotonic() - began)
            began = time.monotonic()
            synthesiser.render(TEXT)
            usual.append(time.monotonic() - began)
    return {"hung voice, the text rendered by another": hung, "the same, not hung": usual}


def barge_in_times(sound: Any, folder: Path, times: int) -> Times:  # noqa: ANN401
    """Give how long the loudspeaker sounds after the end of a word said into it."""
    ears = MicrophoneEars(AlwaysStop())
    player = TimedPlayer(lambda rate: open_loudspeaker(rate, virtual.LOUDSPEAKER))
    voice = OverheardVoice(SpokenVoice(Synthesiser(), player, print), lambda: ears)
    with Synthesiser() as synthesiser:
        made = synthesiser.render("stop", 165, 0.8, "gmw/en-US-nyc")
    word = virtual.write_sound(folder / "stop.wav", np.frombuffer(made.data, np.int16), made.rate)
    silent_after, heard_after = list[float](), list[float]()
    for _ in range(times):
        voice.begin_turn()
        recorder = virtual.Recorder()
        ended = list[float]()

        def speak(ended: list[float] = ended) -> None:
            began = time.monotonic()
            sound.say(word)
            ended.append(max(time.monotonic(), began + made.seconds))

        timer = threading.Timer(2.0, speak)
        timer.start()
        voice.say(Utterance(Role.PROMPT, TEXT))
        timer.join()
        time.sleep(0.5)
        heard_after.append(player.stopped_at - ended[0])
        silent_after.append(recorder.last_sound_at - player.stopped_at)
        recorder.close()
    ears.close()
    voice.close()
    return {
        "end of a word said into our voice, until it is heard": heard_after,
        "heard, until the loudspeaker is silent": silent_after,
    }


@contextmanager
def running_sound() -> Iterator[tuple[Any, Path]]:
    """Run a virtual sound service with a quiet room; give it and a folder."""
    with tempfile.TemporaryDirectory(prefix="rvs-", ignore_cleanup_errors=True) as name:
        sound = virtual.VirtualSound(Path(name))
        os.environ.update(sound.environment)
        sound.start()
        sound.make_noise()
        try:
            yield sound, Path(name)
        finally:
            sound.kill()


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--times", type=int, default=5)
    times = parser.parse_args().times
    if not virtual.is_installed():
        sys.exit(virtual.LACKS)
    found = dict[str, list[float]]()
    for measure in (microphone_times, loudspeaker_times, barge_in_times):
        with running_sound() as (sound, folder):
            found |= measure(sound, folder, times)
    found |= restart_times(times)
    print("| event | median s | longest s |")
    print("|---|--:|--:|")
    for what, seconds in found.items():
        print(f"| {what} | {statistics.median(seconds):.2f} | {max(seconds):.2f} |")


if __name__ == "__main__":
    main()
