"""What several tests of the ears share: sounds, a scripted detector, a scripted recogniser."""

import threading
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import numpy as np

from assistant.ears.detector import FRAME
from assistant.ears.recogniser import Hypothesis, IsEnough
from assistant.ears.sound import RATE, EarsError, Samples, read_sound
from assistant.spoken.meaning import Expectation

DATA = Path(__file__).parent / "data"
BLOCK = 960
"""Samples a device gives at a time."""


def recorded(name: str) -> Samples:
    """Give the samples of one of the sounds in `data`."""
    return read_sound(DATA / f"{name}.wav").samples


def spoken_part(name: str) -> Samples:
    """Give a sound from its first loud sample to its last."""
    sound = recorded(name)
    loud = np.flatnonzero(np.abs(sound) > 300)
    part: Samples = sound[loud[0] : loud[-1]]
    return part


def quiet(seconds: float) -> Samples:
    """Give digital silence."""
    return np.zeros(int(seconds * RATE), np.int16)


def tone(seconds: float, hertz: float = 440.0, height: float = 8000.0, rate: int = RATE) -> Samples:
    """Give a sine."""
    time = np.arange(int(seconds * rate)) / rate
    wave: Samples = (height * np.sin(2 * np.pi * hertz * time)).astype(np.int16)
    return wave


def noise(seconds: float, height: float, of_hum: bool = False) -> Samples:
    """Give white noise, or mains hum with some noise, always the same."""
    count = int(seconds * RATE)
    white = np.random.default_rng(7).normal(size=count)
    if of_hum:
        time = np.arange(count) / RATE
        hum = sum(np.sin(2 * np.pi * 60 * n * time + n) / n for n in range(1, 9))
        white = np.asarray(hum) + 0.2 * white
    scaled: Samples = (height * white / np.sqrt(np.mean(np.square(white)))).astype(np.int16)
    return scaled


class RoomDevice:
    """A device that gives the sound of a room at its pace, as a real one does, and what is played.

    Its sound stops where it is closed or pulled out: only then may it be taken for lost.
    """

    name = "Headset"

    def __init__(self, take: Callable[[Samples], None]) -> None:
        self._take = take
        self._is_gone = threading.Event()
        self._taking = threading.Lock()
        self._room = threading.Thread(target=self._give_room, daemon=True)
        self._room.start()
        self.is_closed = False

    def _give_room(self) -> None:
        room = noise(BLOCK / RATE, 5)
        while not self._is_gone.wait(BLOCK / RATE):
            with self._taking:
                self._take(room)

    def play(self, samples: Samples) -> None:
        """Give all of a sound at once."""
        with self._taking:
            for at in range(0, len(samples), BLOCK):
                self._take(samples[at : at + BLOCK])

    def pull_out(self) -> None:
        """Give nothing more."""
        self._is_gone.set()
        self._room.join()

    def close(self) -> None:
        """Remember that it was closed."""
        self.pull_out()
        self.is_closed = True


class RoomDevices:
    """Opens such devices in place of real ones, and keeps those that were opened.

    There is none where `is_plugged_in` is false.
    """

    def __init__(self) -> None:
        self.opened: list[RoomDevice] = []
        self.asked: list[str] = []
        self.is_plugged_in = True

    def open(self, name: str, take: Callable[[Samples], None]) -> RoomDevice:
        """Open one."""
        self.asked.append(name)
        if not self.is_plugged_in:
            raise EarsError("There is no microphone on this machine.", "Plug one in.")
        self.opened.append(RoomDevice(take))
        return self.opened[-1]

    def pull_out(self) -> None:
        """Take the last one from the machine."""
        self.is_plugged_in = False
        self.opened[-1].pull_out()


class ScriptedDetector:
    """A detector that calls every frame with any sound in it a voice."""

    is_hint = False

    def has_voice(self, frame: Samples) -> bool:
        """Tell whether the frame is anything but zero."""
        return bool(frame.any())


class ScriptedRecogniser:
    """A recogniser that says what it was told to, and keeps what it was given."""

    name = "scripted"

    def __init__(self, words: str = "", lacking: Iterable[str] = ()) -> None:
        self.words = words
        self.lacking = frozenset(lacking)
        self.is_seconded: bool | None = None
        self.doubt = ""
        self.spans: tuple[tuple[float, float], ...] = ()
        self.fitting: set[str] = set()
        self.heard: list[Samples] = []
        self.is_closed = False
        self._parts: list[Samples] = []

    def begin(self, expectation: Expectation) -> None:
        """Drop what was fed before."""
        del expectation
        self._parts = []

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Keep the sound as it is."""
        del cleaned
        self._parts.append(samples)

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Give the words told, and keep the whole sound."""
        del is_enough
        self.heard.append(np.concatenate([np.zeros(0, np.int16), *self._parts]))
        return Hypothesis(
            self.words, is_seconded=self.is_seconded, doubt=self.doubt, spans=self.spans
        )

    def compare(self, phrases: Sequence[str]) -> dict[str, float]:
        """Give those of the phrases that were told to fit, the first best."""
        fitting = (words for words in phrases if words in self.fitting)
        return {words: -float(at) for at, words in enumerate(fitting)}

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name the words told to be lacking."""
        return tuple(sorted(self.lacking & set(words)))

    def close(self) -> None:
        """Remember that it was closed."""
        self.is_closed = True


def frames_in(seconds: float) -> int:
    """Give how many frames that is."""
    return round(seconds * RATE / FRAME)
