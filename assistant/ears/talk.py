"""Push-to-talk: which sound counts, and the state that the eye sees.

A key, a headset's button or a foot switch says when. Where only presses are told, each press turns
talking on or off; where releases are told as well, talking lasts as long as the key is held.
"""

import threading
from collections.abc import Callable
from enum import StrEnum
from time import monotonic


class TalkMode(StrEnum):
    """When sound counts as said."""

    OPEN = "open"
    PUSH = "push"


class TalkState(StrEnum):
    """What stands on the screen about it."""

    SHUT = "shut"
    WAITING = "waiting"
    TALKING = "talking"


STATE_WORDS = {
    TalkState.SHUT: "not listening",
    TalkState.WAITING: "press {key} and speak",
    TalkState.TALKING: "LISTENING; press {key} when you have spoken",
}


def _show_nobody(line: str) -> None:
    del line


class TalkKey:
    """Whether sound counts now; from any thread.

    Args:
        mode: `open`: all sound counts; `push`: only sound while talking.
        key: the name of the key, for the eye.
    """

    def __init__(
        self,
        mode: TalkMode = TalkMode.OPEN,
        key: str = "space",
    ) -> None:
        self.mode, self.key = mode, key
        self._lock = threading.Lock()
        self._state = TalkState.SHUT
        self._show: Callable[[str], None] = _show_nobody
        self._release: Callable[[], None] = lambda: None

    @property
    def is_push(self) -> bool:
        """Whether a key says when sound counts."""
        return self.mode is TalkMode.PUSH

    @property
    def state(self) -> TalkState:
        """Give the present state."""
        return self._state

    @property
    def lets_through(self) -> bool:
        """Whether sound counts now."""
        return not self.is_push or self._state is TalkState.TALKING

    @property
    def line(self) -> str:
        """Give the line that the present state is shown by."""
        return f"Talk key: {STATE_WORDS[self._state].format(key=self.key.upper())}."

    def show_on(self, show: Callable[[str], None]) -> None:
        """Name what is given the line of each new state, where a key says when sound counts."""
        self._show = show

    def on_release(self, call: Callable[[], None]) -> None:
        """Name what is called when talking ends."""
        self._release = call

    def wait(self) -> None:
        """Wait for a press: an answer is wanted."""
        self._go(TalkState.WAITING)

    def shut(self) -> None:
        """Let nothing through: no answer is wanted."""
        self._go(TalkState.SHUT)

    def press(self) -> None:
        """Begin to talk; nothing where no answer is wanted."""
        if self._state is TalkState.WAITING:
            self._go(TalkState.TALKING)

    def release(self) -> None:
        """End talking; nothing where nobody talks."""
        if self._state is TalkState.TALKING:
            self._go(TalkState.SHUT)
            self._release()

    def _go(self, state: TalkState) -> None:
        with self._lock:
            is_new = self.is_push and state is not self._state
            self._state = state
        if is_new:
            self._show(self.line)


REPEAT_SECONDS, GAP_SECONDS, TAP_SECONDS = 0.12, 0.35, 0.35


class Presses:
    """What presses of a key mean: tapped, it is turned on and off; held, it is on as long.

    A terminal that tells no releases repeats a held key, first after half a second and then every
    few hundredths. So a press while talking is taken for a second tap only when no other follows at
    once, and a held key has been let go when no repeat has come for a while.

    Args:
        talk: what is turned on and off.
        clock: gives seconds.
        early: is called by a press while no answer is wanted, as when our own voice still speaks.
    """

    def __init__(
        self,
        talk: TalkKey,
        clock: Callable[[], float] = monotonic,
        early: Callable[[], None] = lambda: None,
    ) -> None:
        self._talk, self._clock, self._early = talk, clock, early
        self._pressed_at = self._last = 0.0
        self._timer: threading.Timer | None = None
        self._is_held = False

    def press(self) -> None:
        """Take a press, or a repeat that looks like one."""
        now = self._clock()
        if self._talk.state is TalkState.SHUT:
            self._early()
        elif self._talk.state is TalkState.WAITING:
            self._pressed_at, self._is_held = now, False
            self._talk.press()
        elif self._is_held or now - self._last < REPEAT_SECONDS:
            self._is_held = True
            self._later(GAP_SECONDS)
        else:
            self._later(REPEAT_SECONDS)
        self._last = now

    def release(self) -> None:
        """Take a release: it ends what was held; behind a tap it means nothing."""
        if self._clock() - self._pressed_at > TAP_SECONDS:
            self._talk.release()

    def _later(self, seconds: float) -> None:
        """End talking after a while, unless another press comes before."""
        if self._timer is not None:
            self._timer.cancel()
        self._timer = threading.Timer(seconds, self._talk.release)
        self._timer.daemon = True
        self._timer.start()
