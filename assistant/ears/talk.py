"""Push-to-talk: which sound counts, and the state that the eye sees.

A key, a headset's button or a foot switch says when. Where only presses are told, each press turns
talking on or off; where releases are told as well, talking lasts as long as the key is held.
"""

import threading
from collections.abc import Callable
from enum import StrEnum

from assistant.ears.sound import EarsError


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


def state_line(state: TalkState, key: str) -> str:
    """Give the line that a state is shown by."""
    return f"Talk key: {STATE_WORDS[state].format(key=key.upper())}."


class TalkKey:
    """Whether sound counts now; from any thread.

    Args:
        mode: `open`: all sound counts; `push`: only sound while talking.
        show: is given each new state, where the mode is `push`.
    """

    def __init__(
        self,
        mode: TalkMode = TalkMode.OPEN,
        show: Callable[[TalkState], None] = lambda _state: None,
    ) -> None:
        self.mode = mode
        self._show = show
        self._lock = threading.Lock()
        self._state = TalkState.SHUT
        self._told = TalkState.SHUT
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
        """Begin to talk, or end it where only presses are told; nothing where none is wanted."""
        if self._state is TalkState.WAITING:
            self._go(TalkState.TALKING)
        elif self._state is TalkState.TALKING:
            self.release()

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
            self._show(state)


def talk_mode(name: str) -> TalkMode:
    """Give the mode of a name.

    Raises:
        EarsError: when there is none of that name.
    """
    try:
        return TalkMode(name)
    except ValueError as error:
        raise EarsError(f"'{name}' is no way to talk.", "Name open or push.") from error
