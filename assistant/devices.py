"""The sound devices of this machine: which there are, by name, and asking for them safely.

A sound service that hangs hangs whoever asks it: a call to a stopped PulseAudio never returned. So
whatever asks the service goes through a `Helper`, which is waited for only so long.
"""

import contextlib
import ctypes
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Generic, TypeVar, cast

from assistant.errors import RungsideError

NULL_BACKEND = "Null"
NOWHERE = (
    *("Discard all samples", "NULL Playback Device", "NULL Capture Device"),
    *("Rate Converter Plugin", "Plugin using Speex", "Plugin for channel", "Open Sound System"),
    *("JACK Audio Connection Kit", "PulseAudio Sound Server", "Dummy Output", "Null Output"),
)
"""How the names begin of what leads nowhere: what ALSA, PulseAudio and miniaudio have where there
is no card, and the plugins that ALSA lists as devices; a server that runs is asked directly."""
_MONITOR = "Monitor of "
"""What PulseAudio puts before the name of a source that gives what a loudspeaker is given."""
_SLICES = 10

T = TypeVar("T")


class DeviceError(RungsideError):
    """A sound service that does not answer, or answers with an error."""


class Kind(StrEnum):
    """Which way the sound goes."""

    MICROPHONE = "microphone"
    LOUDSPEAKER = "loudspeaker"


@dataclass(frozen=True, slots=True)
class Found:
    """One device.

    Args:
        name: what the system calls it.
        is_usual: whether it is the one that the system would take.
        id: what the sound library knows it by.
    """

    name: str
    is_usual: bool = False
    id: Any = field(default=None, compare=False, repr=False)

    @property
    def is_monitor(self) -> bool:
        """Whether it hears a loudspeaker instead of a room."""
        return self.name.startswith(_MONITOR)


@dataclass(frozen=True, slots=True)
class Devices:
    """What there is of one kind.

    Args:
        backend: the system's sound service, `ALSA`, `PulseAudio`, ...; `Null` when there is none.
        found: the devices that lead somewhere.
    """

    backend: str
    found: tuple[Found, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Name them; what only hears a loudspeaker is no microphone."""
        return tuple(one.name for one in self.found if not one.is_monitor)

    def named(self, name: str) -> Found | None:
        """Find the device of that name, else the first whose name holds it; None: there is none."""
        whole = [one for one in self.found if one.name == name]
        part = [one for one in self.found if name.lower() in one.name.lower()]
        return next(iter((*whole, *part)), None)

    def usual(self) -> Found | None:
        """Find the system's usual device, else the first; None where there is none."""
        real = [one for one in self.found if not one.is_monitor]
        return next(iter((*(one for one in real if one.is_usual), *real)), None)


def quiet_alsa() -> None:
    """Keep ALSA from writing its own complaints over the terminal."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(_SAY_NOTHING)


_SAY_NOTHING = ctypes.CFUNCTYPE(
    None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
)(lambda *_words: None)


def list_devices(kind: Kind) -> Devices:
    """Ask the sound service what there is; no service is an answer, not an error.

    miniaudio's own list opens each device to look into it, which fails on one that is in use and
    does not tell the usual one; so its library is asked directly.

    Raises:
        DeviceError: when the service answers with an error.
    """
    import miniaudio

    quiet_alsa()
    try:
        service: Any = miniaudio.Devices()
    except miniaudio.MiniaudioError:
        return Devices(NULL_BACKEND)
    if service.backend == NULL_BACKEND:
        return Devices(NULL_BACKEND)
    found = (one for one in _enumerate(service, kind) if not one.name.startswith(NOWHERE))
    return Devices(str(service.backend), tuple(found))


def _enumerate(service: Any, kind: Kind) -> list[Found]:  # noqa: ANN401 - miniaudio's
    from miniaudio import ffi, lib

    infos, count = ffi.new("ma_device_info**"), ffi.new("ma_uint32*")
    none = (ffi.NULL, ffi.NULL)
    wanted = (*none, infos, count) if kind is Kind.MICROPHONE else (infos, count, *none)
    if lib.ma_context_get_devices(service._context, *wanted) != lib.MA_SUCCESS:  # noqa: SLF001
        raise DeviceError(
            f"The sound system of this machine gives no list of its {kind.value}s.",
            "Check the sound system, or walk by text.",
        )
    listed = [infos[0][place] for place in range(count[0])]
    return [
        Found(
            ffi.string(one.name).decode("utf-8", "replace"),
            bool(one.isDefault),
            ffi.new("ma_device_id *", one.id),
        )
        for one in listed
    ]


class _Call(Generic[T]):
    """One call that a helper makes, and what came of it."""

    def __init__(self, call: Callable[[], T]) -> None:
        self._call = call
        self.is_done = threading.Event()
        self.result: T | None = None
        self.error: Exception | None = None

    def make(self) -> None:
        """Make the call and keep what comes of it."""
        try:
            self.result = self._call()
        except Exception as error:  # noqa: BLE001 - handed on to who waits
            self.error = error
        self.is_done.set()


def _is_soon(done: threading.Event, seconds: float) -> bool:
    """Wait in slices: what holds up every thread for a second uses up one of them, not all."""
    return any(done.wait(seconds / _SLICES) for _ in range(_SLICES))


class Helper:
    """Makes calls that may hang, one after another, in a thread of its own.

    Args:
        name: of the thread.
    """

    def __init__(self, name: str) -> None:
        self._calls: queue.SimpleQueue[_Call[Any]] = queue.SimpleQueue()
        self._hanging: _Call[Any] | None = None
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        while True:
            self._calls.get().make()

    def run(self, call: Callable[[], T], seconds: float) -> T:
        """Make a call and give what it gives.

        Raises:
            DeviceError: when it takes longer, or one before it still hangs.
        """
        made: _Call[T] = _Call(call)
        if self._hanging is None or self._hanging.is_done.is_set():
            self._calls.put(made)
            self._hanging = made
        if not (self._hanging is made and _is_soon(made.is_done, seconds)):
            raise DeviceError("The sound system does not answer.", "Start it again, or type.")
        if made.error is not None:
            raise made.error
        return cast("T", made.result)
