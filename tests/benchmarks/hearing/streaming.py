"""Hearing a recording as a microphone would: frame by frame, with the endpointer, on a clock.

The frames are handed over as fast as the ears take them, and what each costs is measured. The clock
is worked out from that: a frame is there when it has sounded, and is worked on when the work on the
one before is done. So the answer's time is that of a live microphone, and a run needs no waiting.
"""

import time
from collections.abc import Iterator
from dataclasses import dataclass

from costs import processor_seconds, workers

from assistant.ears.detector import FRAME, FRAME_SECONDS
from assistant.ears.listening import Listener, trimmed
from assistant.ears.sound import RATE, Samples
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard

_MORE_SECONDS = 14.0
_REPEATED_SECONDS = 1.5


@dataclass(slots=True)
class Clock:
    """What a live microphone's time would be, in seconds from the first frame.

    Args:
        arrived: when the newest frame had sounded.
        done: when the work on all frames so far was done.
        busy: all work.
    """

    arrived: float = 0.0
    done: float = 0.0
    busy: float = 0.0

    def work(self, seconds: float) -> None:
        """Count work on the newest frame."""
        self.done = max(self.done, self.arrived) + seconds
        self.busy += seconds


@dataclass(frozen=True, slots=True)
class Streamed:
    """What came of one recording.

    Args:
        heard: what was heard; no words where it was nothing.
        ended: seconds of sound that had come in when the answer was over.
        lag: seconds from then to the answer, on the wall's clock.
        lag_cpu: the same by the processor time of this process and its workers.
        busy: seconds of work in all, on the wall's clock.
        busy_cpu: the same by the processor time of this process and its workers.
    """

    heard: Heard
    ended: float
    lag: float
    lag_cpu: float
    busy: float
    busy_cpu: float


def endless(samples: Samples) -> Iterator[Samples]:
    """Give the frames of a recording, then its last sound over and over, like a place goes on."""
    frames = samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME)
    yield from frames
    again = frames[-int(_REPEATED_SECONDS / FRAME_SECONDS) :]
    for at in range(int(_MORE_SECONDS / FRAME_SECONDS)):
        yield again[at % len(again)]


class _Timed:
    """Frames that measure what is done between one and the next."""

    def __init__(self, samples: Samples) -> None:
        self._frames = endless(samples)
        self.wall, self.cpu = Clock(), Clock()
        self._since = (0.0, 0.0)
        self._workers = workers()

    def _now(self) -> tuple[float, float]:
        return time.perf_counter(), processor_seconds(self._workers)

    def __iter__(self) -> Iterator[Samples]:
        for at, frame in enumerate(self._frames):
            if at:
                self.stop()
            self.wall.arrived = self.cpu.arrived = (at + 1) * FRAME_SECONDS
            self._since = self._now()
            yield frame

    def stop(self) -> None:
        wall, cpu = self._now()
        self.wall.work(wall - self._since[0])
        self.cpu.work(cpu - self._since[1])


def stream(samples: Samples, expectation: Expectation, listener: Listener) -> Streamed:
    """Hear a recording through the same path as a microphone's.

    Args:
        samples: int16, mono, 16 kHz; some of the place before and behind the words.
        expectation: what may be answered.
        listener: who listens, all through one place.
    """
    frames = _Timed(samples)
    sound = listener.hear(frames, expectation)
    frames.stop()
    wall, cpu = frames.wall, frames.cpu
    heard = sound if isinstance(sound, Heard) else Heard("", source="bench")
    return Streamed(
        heard=heard,
        ended=wall.arrived,
        lag=wall.done - wall.arrived,
        lag_cpu=cpu.done - cpu.arrived,
        busy=wall.busy,
        busy_cpu=cpu.busy,
    )


def whole(samples: Samples, expectation: Expectation, listener: Listener) -> Streamed:
    """Hear a recording as one file, as `rungside hear` does: nothing is cut at a pause.

    Args:
        samples: int16, mono, 16 kHz; some of the place before and behind the words.
        expectation: what may be answered.
        listener: who listens.
    """
    helpers = workers()
    begun = time.perf_counter(), processor_seconds(helpers)
    answer = trimmed(samples)
    heard = Heard("", source="bench")
    if len(answer):
        heard = listener.understand(answer, expectation)
    wall, cpu = time.perf_counter() - begun[0], processor_seconds(helpers) - begun[1]
    return Streamed(heard, len(samples) / RATE, wall, cpu, wall, cpu)
