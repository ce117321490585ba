"""A loudspeaker that is watched: gone, back, or another one, each told in a sentence."""

import threading
from collections.abc import Callable

from assistant.devices import DeviceError, Devices, Found, Helper
from assistant.voice.player import loudspeakers

LOOK_SECONDS = 0.5
LIST_SECONDS = 1.0
SHOWN = "What it would say is shown."

Tell = Callable[[str], None]


class WatchedLoudspeaker:
    """Looks twice a second whether the loudspeaker is there.

    Args:
        wanted: part of its name; empty: whichever the system would take.
        tell: is told when it is gone, and when another one is heard instead.
        back: is told when there is one again.
        lost: is called when there is none any more, before it is told.
        look: lists what there is.
    """

    def __init__(
        self,
        wanted: str,
        tell: Tell,
        back: Tell,
        lost: Callable[[], None] = lambda: None,
        look: Callable[[], Devices] | None = None,
    ) -> None:
        self._wanted, self._tell, self._back = wanted, tell, back
        self._lost, self._list = lost, look or loudspeakers
        self._helper = Helper("loudspeaker-list")
        self._lock = threading.Lock()
        self._is_ending = threading.Event()
        self._last = ""
        self.is_here = True
        self._thread = threading.Thread(target=self._watch, name="loudspeaker-watch", daemon=True)

    def begin(self) -> None:
        """Look once, and watch from now on."""
        self.look()
        self._thread.start()

    def _watch(self) -> None:
        while not self._is_ending.wait(LOOK_SECONDS):
            self.look()

    def look(self) -> None:
        """Look once and tell what is new; from any thread."""
        with self._lock:
            found = self._find()
            was_here, last = self.is_here, self._last
            self.is_here = found is not None
            self._last = found.name if found else last
        if found is None and was_here:
            self._lost()
            self._tell(f"{_named(last)} is gone. {SHOWN}" if last else self._say_none())
        elif found is not None and not was_here:
            self._back(f"{_named(found.name)} is back.")
        elif found is not None and last not in {"", found.name}:
            self._tell(f"{_named(found.name)} is used now, instead of '{last}'.")

    def _say_none(self) -> str:
        if self._wanted:
            return f"There is no loudspeaker '{self._wanted}' on this machine, so it is only shown."
        return "No loudspeaker was found, so it is only shown."

    def _find(self) -> Found | None:
        try:
            found = self._helper.run(self._list, LIST_SECONDS)
        except DeviceError:
            return None
        return found.named(self._wanted) if self._wanted else found.usual()

    def close(self) -> None:
        """Watch no more; may be called twice."""
        self._is_ending.set()


def _named(name: str) -> str:
    return f"The loudspeaker '{name}'"
