"""Ears on a microphone, through miniaudio.

The gate is shut except while an answer is waited for: what the voice says is never heard as an
answer. `listen` opens it, throws away what came in before and a short tail (the last of our own
voice in the room), and shuts it again.
"""

import contextlib
import queue
from collections.abc import Generator, Iterator
from typing import Any

import numpy as np

from assistant.ears.detector import FRAME
from assistant.ears.endpoint import Patience
from assistant.ears.listening import Keep, Listener, keep_nothing
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import RATE, EarsError, Samples
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import HungUp, Silence, Sound

_BLOCK_MILLISECONDS = 60
_BLOCKS_IN_DEVICE = 6  # recognising holds up the thread that takes the sound for 0.1 s and more
_BLOCKS_WAITING = int(30_000 / _BLOCK_MILLISECONDS)
_TAIL = int(0.2 * RATE)
_DEAD_AFTER = 3.0
_NO_SYSTEM = "Null"
_NOTHING: Samples = np.zeros(0, np.int16)


class Gate:
    """Blocks of sound on their way from the device's thread to the ears.

    The queue is bounded: where nobody takes the blocks, the oldest are lost.
    """

    def __init__(self) -> None:
        self._blocks: queue.Queue[Samples] = queue.Queue(_BLOCKS_WAITING)
        self._is_open = False
        self.is_broken_off = False

    def receive(self) -> Generator[None, bytes, None]:
        """Take blocks of bytes from the device, as a generator that is already running."""
        receiver = self._receive()
        next(receiver)
        return receiver

    def _receive(self) -> Generator[None, bytes, None]:
        while True:
            self.put(np.frombuffer((yield), dtype=np.int16))

    def put(self, block: Samples) -> None:
        """Take one block: dropped while the gate is shut."""
        if not self._is_open:
            return
        if self._blocks.full():
            with contextlib.suppress(queue.Empty):  # the ears may just have taken it
                self._blocks.get_nowait()
        self._blocks.put_nowait(block)

    def resume(self) -> None:
        """Open the gate; what came before is gone."""
        self.pause()
        self.is_broken_off = False
        self._is_open = True

    def pause(self) -> None:
        """Shut the gate and empty it."""
        self._is_open = False
        with contextlib.suppress(queue.Empty):
            while True:
                self._blocks.get_nowait()

    def break_off(self) -> None:
        """Shut the gate and end the frames that are being taken; from any thread."""
        self.is_broken_off = True
        self.pause()
        self._blocks.put_nowait(_NOTHING)

    def frames(self) -> Iterator[Samples]:
        """Give frames behind the tail as they come.

        Ends where the device gives nothing more, and where it is broken off.
        """
        rest: Samples = np.zeros(0, np.int16)
        to_drop = _TAIL
        while True:
            try:
                block = self._blocks.get(timeout=_DEAD_AFTER)
            except queue.Empty:
                return
            if self.is_broken_off:
                return
            rest = np.concatenate([rest, block[to_drop:]])
            to_drop = max(0, to_drop - len(block))
            whole = len(rest) - len(rest) % FRAME
            yield from rest[:whole].reshape(-1, FRAME)
            rest = rest[whole:]


_SILENT_DEVICE = "Discard all samples"
"""What ALSA calls the device that is not there: it gives silence for ever."""


def microphone_names() -> tuple[str, ...]:
    """Name the microphones of this machine; none where there is no sound system.

    Raises:
        EarsError: when the sound system answers with an error.
    """
    return tuple(device["name"] for device in _microphones())


def _microphones() -> list[dict[str, Any]]:
    import miniaudio

    try:
        devices = miniaudio.Devices()
        found = [] if devices.backend == _NO_SYSTEM else devices.get_captures()
    except miniaudio.MiniaudioError as error:
        raise EarsError(
            "The sound system of this machine gives no list of microphones.",
            "Check the sound system, or walk by text.",
        ) from error
    return [device for device in found if not device["name"].startswith(_SILENT_DEVICE)]


def _open(gate: Gate, name: str) -> Any:  # noqa: ANN401
    """Open a microphone whose name holds `name`; the usual one where that is empty."""
    import miniaudio

    found = _microphones()
    fitting = [device for device in found if name.lower() in device["name"].lower()]
    if not fitting:
        wanted = f"There is no microphone '{name}'" if name else "There is no microphone"
        known = f"Choose one of: {', '.join(d['name'] for d in found)}." if found else ""
        raise EarsError(f"{wanted} on this machine.", known or "Plug one in, or walk by text.")
    try:
        device = miniaudio.CaptureDevice(
            nchannels=1,
            sample_rate=RATE,
            buffersize_msec=_BLOCK_MILLISECONDS,
            callback_periods=_BLOCKS_IN_DEVICE,
            device_id=fitting[0]["id"] if name else None,
            app_name="rungside",
        )
        device.start(gate.receive())
    except miniaudio.MiniaudioError as error:
        raise EarsError(
            "The microphone cannot be opened.", "Check that no other program holds it."
        ) from error
    return device


class MicrophoneEars:
    """Hears one answer at a time from a microphone.

    Args:
        recogniser: who turns sound into words; closed with these ears.
        device: part of the microphone's name; empty: the usual one.
        patience: how long to wait for what.
        keep: who keeps the sound of each answer.

    Raises:
        EarsError: when there is no such microphone or it cannot be opened.
    """

    def __init__(
        self,
        recogniser: Recogniser,
        device: str = "",
        patience: Patience | None = None,
        keep: Keep = keep_nothing,
    ) -> None:
        self._recogniser = recogniser
        self._listener = Listener(recogniser, patience, keep)
        self._gate = Gate()
        self._device: Any = _open(self._gate, device)

    def listen(self, expectation: Expectation) -> Sound:
        """Open the gate until one answer has ended, or none has begun in time."""
        if self._device is None:
            return HungUp("The microphone is closed.")
        self._gate.resume()
        try:
            heard = self._listener.hear(self._gate.frames(), expectation)
        finally:
            self._gate.pause()
        if heard is None and self._gate.is_broken_off:
            return Silence("microphone")
        if heard is None:
            return HungUp("The microphone gives no sound any more.")
        return heard

    def break_off(self) -> None:
        """End the listening of another thread as if nothing had been said: it was typed instead."""
        self._gate.break_off()

    def close(self) -> None:
        """Let go of the microphone and the recogniser."""
        if self._device is not None:
            self._device.close()
            self._device = None
        self._recogniser.close()
