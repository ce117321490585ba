"""Sound to the loudspeaker, blocking until it has really been heard.

miniaudio's device keeps running after the sound has ended, and without a sound library it plays
into nothing without a word. So what the device took is counted, a tail of quiet longer than its
buffer is played behind the sound, and a device that leads nowhere is refused.
"""

import contextlib
import ctypes
import threading
from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.voice.errors import VoiceError
from assistant.voice.samples import SAMPLE_BYTES, Samples

PERIOD_MILLISECONDS = 40
PERIODS = 3
# A device that has just been opened may swallow its first milliseconds.
LEAD_SECONDS = 0.05
TAIL_SECONDS = 0.16
SLACK_SECONDS = 3.0
NULL_BACKEND = "Null"
# ALSA lists a device that throws everything away; it is the only one where there is no card.
NOWHERE = ("Discard all samples", "NULL Playback Device")
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


def quiet_alsa() -> None:
    """Keep ALSA from writing its own complaints over the terminal."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(_SAY_NOTHING)


_SAY_NOTHING = ctypes.CFUNCTYPE(
    None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
)(lambda *_words: None)


def list_outputs() -> Outputs:
    """Ask the system what can be played on; no device at all is an answer, not an error."""
    import miniaudio

    quiet_alsa()
    try:
        devices: Any = miniaudio.Devices()
        names = tuple(str(device["name"]) for device in devices.get_playbacks())
    except miniaudio.MiniaudioError:
        return Outputs(NULL_BACKEND, ())
    return Outputs(
        str(devices.backend), tuple(name for name in names if not name.startswith(NOWHERE))
    )


def open_loudspeaker(rate: int) -> Device:
    """Open the system's usual output.

    Args:
        rate: samples a second.

    Raises:
        VoiceError: there is none.
    """
    import miniaudio

    quiet_alsa()
    try:
        device: Any = miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16,
            nchannels=1,
            sample_rate=rate,
            buffersize_msec=PERIOD_MILLISECONDS,
            callback_periods=PERIODS,
            app_name="rungside",
        )
    except miniaudio.MiniaudioError as trouble:
        raise VoiceError("There is no sound output that opens.", NO_OUTPUT_HINT) from trouble
    if device.backend == NULL_BACKEND:
        device.close()
        raise VoiceError("There is no sound system on this machine.", NO_OUTPUT_HINT)
    opened: Device = device
    return opened


class Player:
    """Plays one sound at a time.

    Args:
        open_device: opens the output for a sample rate; raises VoiceError when there is none.
    """

    def __init__(self, open_device: Callable[[int], Device] = open_loudspeaker) -> None:
        self._open_device = open_device
        self._lock = threading.Lock()
        self._finished = threading.Event()
        self._is_stopped = threading.Event()

    def play(self, samples: Samples) -> None:
        """Play to the end, tail included, or until `stop`.

        Raises:
            VoiceError: there is no output, or it stopped taking sound.
        """
        if samples.frames == 0:
            return
        with self._lock:
            self._finished.clear()
            self._is_stopped.clear()
            device = self._open_device(samples.rate)
            try:
                self._run(device, samples)
            finally:
                device.close()

    def _run(self, device: Device, samples: Samples) -> None:
        feed = feed_device(samples, self._is_stopped, self._finished)
        next(feed)
        try:
            device.start(feed)
        except Exception as trouble:
            raise VoiceError("The sound output does not start.", NO_OUTPUT_HINT) from trouble
        if not self._finished.wait(LEAD_SECONDS + samples.seconds + TAIL_SECONDS + SLACK_SECONDS):
            raise VoiceError("The sound output stopped taking sound.", NO_OUTPUT_HINT)

    def stop(self) -> None:
        """Break off what is being played; `play` then returns. Does nothing otherwise."""
        self._is_stopped.set()
        self._finished.set()

    def close(self) -> None:
        """Break off and keep nothing; may be called twice."""
        self.stop()


def feed_device(samples: Samples, stopped: threading.Event, finished: threading.Event) -> Feed:
    """Hand out a lead of quiet, the sound piece by piece, and quiet; set `finished` after a tail.

    The generator is sent the number of frames wanted and yields that many.
    """
    data = bytes(SAMPLE_BYTES * round(LEAD_SECONDS * samples.rate)) + samples.data
    end = len(data) // SAMPLE_BYTES + round(TAIL_SECONDS * samples.rate)
    position = 0
    wanted = yield b""
    while True:
        piece = data[position * SAMPLE_BYTES : (position + wanted) * SAMPLE_BYTES]
        if stopped.is_set():
            piece = b""
        position += wanted
        if position >= end:
            finished.set()
        wanted = yield piece.ljust(wanted * SAMPLE_BYTES, b"\0")
