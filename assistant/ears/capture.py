"""One open microphone, through miniaudio: blocks of sound as they come."""

from collections.abc import Callable, Generator
from typing import Any, Protocol, TypeAlias

import numpy as np

from assistant.devices import Devices, Found, Kind, list_devices
from assistant.ears.sound import RATE, EarsError, Samples

BLOCK_MILLISECONDS = 60
_BLOCKS_IN_DEVICE = 6  # recognising holds up the thread that takes the sound for 0.1 s and more

Take: TypeAlias = Callable[[Samples], None]
"""Takes one block: int16, mono, 16 kHz; called from the device's own thread."""


class Capture(Protocol):
    """A microphone that is open."""

    name: str

    def close(self) -> None:
        """Let go of it; may be called twice."""


Open: TypeAlias = Callable[[str, Take], Capture]
"""Opens the microphone of a name, which gives its blocks; raises RungsideError."""


def microphones() -> Devices:
    """List the microphones of this machine; none where there is no sound system.

    Raises:
        DeviceError: when the sound system answers with an error.
    """
    return list_devices(Kind.MICROPHONE)


def choose(devices: Devices, name: str) -> Found:
    """Find the microphone that is meant: by name or part of it; the usual one where that is empty.

    Raises:
        EarsError: when it is not there, naming those that are.
    """
    found = devices.named(name) if name else devices.usual()
    if found is not None:
        return found
    what = f"There is no microphone '{name}'" if name else "There is no microphone"
    known = f"Choose one of: {', '.join(devices.names)}." if devices.names else ""
    raise EarsError(f"{what} on this machine.", known or "Plug one in, or walk by text.")


class Microphone:
    """A microphone that is open and gives blocks until it is closed.

    Args:
        found: which.
        take: takes each block.

    Raises:
        EarsError: when it cannot be opened.
    """

    def __init__(self, found: Found, take: Take) -> None:
        import miniaudio

        self.name = found.name
        try:
            self._device: Any = miniaudio.CaptureDevice(
                nchannels=1,
                sample_rate=RATE,
                buffersize_msec=BLOCK_MILLISECONDS,
                callback_periods=_BLOCKS_IN_DEVICE,
                device_id=found.id,
                app_name="rungside",
            )
            self._device.start(_started(take))
        except miniaudio.MiniaudioError as error:
            raise EarsError(
                f"The microphone '{found.name}' cannot be opened.",
                "Check that no other program holds it.",
            ) from error

    def close(self) -> None:
        """Let go of it; may be called twice."""
        self._device.close()


def _started(take: Take) -> Generator[None, bytes, None]:
    """Give a generator as the device wants it, already running."""
    receiver = _receive(take)
    next(receiver)
    return receiver


def _receive(take: Take) -> Generator[None, bytes, None]:
    while True:
        take(np.frombuffer((yield), dtype=np.int16))


def open_capture(name: str, take: Take) -> Capture:
    """Open the microphone of a name, or the usual one; it is bound to that one device.

    Raises:
        EarsError: when it is not there or cannot be opened.
        DeviceError: when the sound system answers with an error.
    """
    return Microphone(choose(microphones(), name), take)
