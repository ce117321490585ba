"""A microphone that is watched: lost, back, or giving nothing but silence, each told in a sentence.

What shows a loss is that no block comes: miniaudio tells of none itself. Blocks are counted against
looks, not against a clock, so that a recogniser that holds everything up is no loss.
"""

import threading
from collections.abc import Callable
from typing import TypeAlias

from assistant.devices import DeviceError, Helper
from assistant.ears.capture import Capture, Open, open_capture
from assistant.ears.gate import Gate
from assistant.errors import RungsideError

LOOK_SECONDS = 0.2
LOST_LOOKS = 5
"""Looks without a block: then the microphone is lost. Blocks come every 0.06 s."""
FIRST_LOOKS = 18
"""The same before the first block: a virtual device took 2 s to give one."""
MUTE_BLOCKS = 67
"""Blocks of silence, 4 s: a room is never that quiet, so the microphone is muted."""
OPEN_SECONDS = 2.0
CLOSE_SECONDS = 1.0

Tell: TypeAlias = Callable[[str], None]
"""Takes one sentence about a device, for the eye and, where it can be, for the ear."""


class WatchedMicrophone:
    """Keeps one microphone open.

    Args:
        gate: takes its blocks.
        wanted: part of its name; empty: the usual one. Once open, the same one is waited for.
        tell: is told what became of it.
        meanwhile: what the technician can do without it, a sentence.
        open_device: opens it; raises RungsideError.
    """

    def __init__(
        self,
        gate: Gate,
        wanted: str,
        tell: Tell,
        meanwhile: str,
        open_device: Open = open_capture,
    ) -> None:
        self._gate, self._wanted, self._tell, self._meanwhile = gate, wanted, tell, meanwhile
        self._open = open_device
        self._helper = Helper("microphone-devices")
        self._device: Capture | None = None
        self._begin_count()
        self._is_ending = threading.Event()
        self._thread = threading.Thread(target=self._watch, name="microphone-watch", daemon=True)
        self.is_mute = self.has_sounded = False

    def _begin_count(self) -> None:
        """Count looks and blocks from here."""
        self._looks = 0
        self._seen = self._first = self._heard = self._gate.arrived

    @property
    def is_here(self) -> bool:
        """Whether it is open."""
        return self._device is not None

    @property
    def name(self) -> str:
        """Give its name, as far as it is known."""
        return f"The microphone '{self._wanted}'" if self._wanted else "The microphone"

    def begin(self) -> None:
        """Open it and watch it from now on.

        Raises:
            EarsError: when it is not there or cannot be opened; it is then not watched.
            DeviceError: when the sound system answers with an error, or not at all.
        """
        self._take_hold()
        self._thread.start()

    def begin_without(self) -> None:
        """Watch for one that is not there yet."""
        self._thread.start()

    def _take_hold(self) -> None:
        device = self._helper.run(lambda: self._open(self._wanted, self._gate.put), OPEN_SECONDS)
        self._wanted = device.name
        self._begin_count()
        self._device = device

    def _watch(self) -> None:
        while not self._is_ending.wait(LOOK_SECONDS):
            self.look()

    def look(self) -> None:
        """Look once at what has come, and tell what is new."""
        if self._device is None:
            self._look_for_return()
        elif self._is_gone():
            self._lose()
        else:
            self._mind_silence()

    def _is_gone(self) -> bool:
        arrived = self._gate.arrived
        self._looks = 0 if arrived != self._seen else self._looks + 1
        self._seen = arrived
        return self._looks >= (FIRST_LOOKS if arrived == self._first else LOST_LOOKS)

    def _lose(self) -> None:
        device, self._device = self._device, None
        self.is_mute = False
        self._gate.end()
        self._tell(f"{self.name} is gone. {self._meanwhile} When it is back, it is heard again.")
        self._let_go(device)

    def _let_go(self, device: Capture | None) -> None:
        """Close it, unless that takes too long: what a dead service holds is left to it."""
        if device is None:
            return
        try:
            self._helper.run(device.close, CLOSE_SECONDS)
        except DeviceError:
            return

    def _look_for_return(self) -> None:
        try:
            self._take_hold()
        except RungsideError:
            return
        self._tell(f"{self.name} is back and listens.")

    def _mind_silence(self) -> None:
        sounded = max(self._gate.sounded, self._heard)
        self.has_sounded = self.has_sounded or self._gate.sounded > self._first
        is_mute = self._gate.arrived - sounded >= MUTE_BLOCKS
        if is_mute == self.is_mute:
            return
        self.is_mute = is_mute
        if is_mute:
            why = "gives only silence: it may be muted, or its switch is off."
            self._tell(f"{self.name} {why} {self._meanwhile}")
        else:
            self._tell(f"{self.name} gives sound again.")

    def close(self) -> None:
        """Let go of it; may be called twice."""
        self._is_ending.set()
        if self._thread.is_alive() and self._thread is not threading.current_thread():
            self._thread.join(OPEN_SECONDS)
        device, self._device = self._device, None
        self._let_go(device)
