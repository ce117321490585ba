"""Sound to the loudspeaker, blocking until it has really been heard.

miniaudio's device keeps running after the sound has ended, and without a sound library it plays
into nothing without a word. So what the device took is counted, a tail of quiet longer than its
buffer is played behind the sound, a device that leads nowhere is refused, and one that takes no
more is lost.
"""

import contextlib
import threading
from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.devices import (
    NULL_BACKEND,
    DeviceError,
    Devices,
    Found,
    Helper,
    Kind,
    list_devices,
    quiet_alsa,
)
from assistant.voice.errors import VoiceError
from assistant.voice.samples import SAMPLE_BYTES, Samples

PERIOD_MILLISECONDS = 40
PERIODS = 3
# A device that has just been opened may swallow its first milliseconds.
LEAD_SECONDS = 0.05
TAIL_SECONDS = 0.16
LOOK_SECONDS = 0.1
STALLED_LOOKS = 30
"""Looks at which the device has taken nothing: then it is lost. It takes some every 0.04 s, but
a virtual one that had been idle took a first piece and nothing for 2 s; whoever watches the list of
devices knows earlier, and says `stop`."""
OPEN_SECONDS, CLOSE_SECONDS = 2.0, 1.0
NO_OUTPUT_HINT = "Connect a loudspeaker or headset, or walk with --text."

Feed = Generator[bytes, int, None]


class Device(Protocol):
    """What of miniaudio's device is used here."""

    backend: str

    def start(self, callback_generator: Feed) -> None:
        """Begin to take sound from the generator."""

    def close(self) -> None:
        """Stop and let go."""


@dataclass(frozen=True, slots=True)
class Outputs:
    """What can be played on.

    Args:
        backend: the system's sound service, `ALSA`, `PulseAudio`, ...; `Null` when there is none.
        names: the devices that lead somewhere.
    """

    backend: str
    names: tuple[str, ...]

    @property
    def is_null(self) -> bool:
        """Tell whether sound goes nowhere."""
        return self.backend == NULL_BACKEND or not self.names


def list_outputs() -> Outputs:
    """Ask the system what can be played on; no device at all is an answer, not an error."""
    found = loudspeakers()
    return Outputs(found.backend, found.names)


def loudspeakers() -> Devices:
    """List the loudspeakers of this machine; none where the sound system gives no list."""
    try:
        return list_devices(Kind.LOUDSPEAKER)
    except DeviceError:
        return Devices(NULL_BACKEND)


def open_loudspeaker(rate: int, name: str = "") -> Device:
    """Open an output.

    Args:
        rate: samples a second.
        name: part of its name; empty: the system's usual one.

    Raises:
        VoiceError: there is none.
    """
    import miniaudio

    quiet_alsa()
    chosen = choose(loudspeakers(), name).id if name else None
    try:
        device: Any = miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16,
            nchannels=1,
            sample_rate=rate,
            buffersize_msec=PERIOD_MILLISECONDS,
            callback_periods=PERIODS,
            device_id=chosen,
            app_name="rungside",
        )
    except miniaudio.MiniaudioError as trouble:
        raise VoiceError("There is no sound output that opens.", NO_OUTPUT_HINT) from trouble
    if device.backend == NULL_BACKEND:
        device.close()
        raise VoiceError("There is no sound system on this machine.", NO_OUTPUT_HINT)
    opened: Device = device
    return opened


def choose(devices: Devices, name: str) -> Found:
    """Find the loudspeaker of a name.

    Raises:
        VoiceError: when it is not there, naming those that are.
    """
    found = devices.named(name)
    if found is None:
        known = f"Choose one of: {', '.join(devices.names)}." if devices.names else NO_OUTPUT_HINT
        raise VoiceError(f"There is no loudspeaker '{name}' on this machine.", known)
    return found


class Player:
    """Plays one sound at a time.

    Args:
        open_device: opens the output for a sample rate; raises VoiceError when there is none.
    """

    def __init__(self, open_device: Callable[[int], Device] = open_loudspeaker) -> None:
        self._open_device = open_device
        self._helper = Helper("loudspeaker-devices")
        self._lock = threading.Lock()
        self._progress = Progress()

    def play(self, samples: Samples) -> None:
        """Play to the end, tail included, or until `stop`.

        Raises:
            VoiceError: there is no output, or it stopped taking sound.
            DeviceError: the sound system does not answer.
        """
        if samples.frames == 0:
            return
        with self._lock:
            progress = self._progress = Progress()
            device = self._helper.run(lambda: self._open_device(samples.rate), OPEN_SECONDS)
            try:
                self._run(device, samples, progress)
            finally:
                with contextlib.suppress(DeviceError):
                    self._helper.run(device.close, CLOSE_SECONDS)

    def _run(self, device: Device, samples: Samples, progress: "Progress") -> None:
        feed = feed_device(samples, progress)
        next(feed)
        try:
            device.start(feed)
        except Exception as trouble:
            raise VoiceError("The sound output does not start.", NO_OUTPUT_HINT) from trouble
        looks, seen = 0, 0
        while not progress.finished.wait(LOOK_SECONDS):
            looks = 0 if progress.taken != seen else looks + 1
            seen = progress.taken
            if looks >= STALLED_LOOKS:
                raise VoiceError("The sound output stopped taking sound.", NO_OUTPUT_HINT)

    def stop(self) -> None:
        """Break off what is being played; `play` then returns. Does nothing otherwise."""
        self._progress.stopped.set()
        self._progress.finished.set()

    def close(self) -> None:
        """Break off and keep nothing; may be called twice."""
        self.stop()


class Progress:
    """How far one sound has come.

    `taken` counts the samples that the device took, `finished` is set when it took all of them and
    the tail, `stopped` when it is to take quiet from now on.
    """

    def __init__(self) -> None:
        self.taken = 0
        self.finished, self.stopped = threading.Event(), threading.Event()


def feed_device(samples: Samples, progress: Progress) -> Feed:
    """Hand out a lead of quiet, the sound piece by piece, and quiet; finished behind a tail.

    The generator is sent the number of frames wanted and yields that many.
    """
    data = bytes(SAMPLE_BYTES * round(LEAD_SECONDS * samples.rate)) + samples.data
    end = len(data) // SAMPLE_BYTES + round(TAIL_SECONDS * samples.rate)
    wanted = yield b""
    while True:
        position = progress.taken
        piece = data[position * SAMPLE_BYTES : (position + wanted) * SAMPLE_BYTES]
        if progress.stopped.is_set():
            piece = b""
        progress.taken += wanted
        if progress.taken >= end:
            progress.finished.set()
        wanted = yield piece.ljust(wanted * SAMPLE_BYTES, b"\0")
