"""Ears for both at once: what is typed and what a microphone hears, in one queue.

What is typed counts as said. A line belongs to the turn that stood there when it was typed; one
that comes too late is told and not taken, so that no number answers a step it was not meant for.
"""

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from assistant.ears.talk import TalkKey
from assistant.ears.typed import typed_sound
from assistant.errors import RungsideError
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Ears, Heard, HungUp, Silence, Sound

TOO_LATE = "The walk had gone on before that was sent, so it was not taken. Look, and answer again."
TYPE_ANSWERS = "Type the answers."
_BREAK_SECONDS = 0.05
_BREAK_TRIES = 40


class Breakable(Ears, Protocol):
    """Ears whose listening another thread can end; `talk` says which sound counts."""

    talk: TalkKey

    def break_off(self) -> None:
        """End the present listening as if nothing had been said."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line that was typed, or one key that stands for it.

    Args:
        text: the words.
        turn: the turn it answers; None where it may come at any turn, as "hold".
    """

    text: str
    turn: int | None = None


@dataclass(frozen=True, slots=True)
class _ByEar:
    """What the microphone heard, for the listening it was asked for."""

    sound: Sound
    asked: int


_Arrival: TypeAlias = Line | _ByEar | HungUp


class BothEars:
    """Hears what is typed, and a microphone beside it where there is one.

    Args:
        tell: is given one sentence about what was not taken, or a microphone that is gone.
        is_typing: whether something stands in the input line; a silence is then no answer.
    """

    def __init__(
        self, tell: Callable[[str], None], is_typing: Callable[[], bool] = lambda: False
    ) -> None:
        self._tell, self._is_typing = tell, is_typing
        self._arrivals: queue.Queue[_Arrival] = queue.Queue()
        self._microphone: _Aside | None = None
        self.turn = 0

    def add_microphone(self, microphone: Breakable) -> None:
        """Listen to a microphone as well; it is closed with these ears."""
        self._microphone = _Aside(microphone, self._arrivals.put)

    @property
    def has_microphone(self) -> bool:
        """Whether a microphone listens."""
        return self._microphone is not None

    def put(self, line: Line) -> None:
        """Take one line; from any thread."""
        self._arrivals.put(line)

    def listen(self, expectation: Expectation) -> Sound:
        """Wait for the first thing typed or heard; nothing times out."""
        aside = self._microphone
        if aside is not None:
            aside.ask(expectation)
        while True:
            sound = self._weigh(self._arrivals.get(), expectation)
            if sound is not None:
                if self._microphone is not None:
                    self._microphone.break_off()
                return sound

    def _weigh(self, arrival: _Arrival, expectation: Expectation) -> Sound | None:
        """Give what an arrival counts as; None where it is no answer."""
        if isinstance(arrival, HungUp):
            self._arrivals.put(arrival)
            return arrival
        if isinstance(arrival, _ByEar):
            return self._weigh_heard(arrival, expectation)
        if arrival.turn not in {None, self.turn}:
            self._tell(TOO_LATE)
            return None
        return typed_sound(arrival.text)

    def _weigh_heard(self, arrival: _ByEar, expectation: Expectation) -> Heard | Silence | None:
        aside = self._microphone
        if aside is None or arrival.asked != aside.asked:
            return None
        if isinstance(arrival.sound, HungUp):
            self._microphone = None
            self._tell(f"{arrival.sound.why} {TYPE_ANSWERS}")
            aside.close()
            return None
        if isinstance(arrival.sound, Silence) and self._is_typing():
            aside.ask(expectation)
            return None
        return arrival.sound

    def hang_up(self, why: str) -> None:
        """Hear nothing more."""
        self._arrivals.put(HungUp(why))

    def close(self) -> None:
        """Hear nothing more, and let go of the microphone."""
        self.hang_up("The screen was closed.")
        if self._microphone is not None:
            self._microphone.close()
            self._microphone = None


class _Aside:
    """A microphone that listens in a thread of its own, when asked.

    Args:
        ears: the microphone.
        give: takes what was heard.
    """

    def __init__(self, ears: Breakable, give: Callable[[_ByEar], None]) -> None:
        self._ears, self._give = ears, give
        self._wanted: queue.Queue[tuple[int, Expectation] | None] = queue.Queue()
        self._is_idle = threading.Event()
        self._is_idle.set()
        self.asked = 0
        self._thread = threading.Thread(target=self._run, name="microphone", daemon=True)
        self._thread.start()

    def ask(self, expectation: Expectation) -> None:
        """Ask for one answer; what an earlier asking still brings is not this one's."""
        self.asked += 1
        self._is_idle.clear()
        self._wanted.put((self.asked, expectation))

    def break_off(self) -> None:
        """End the listening, and wait until it has ended: the voice may then speak."""
        self.asked += 1
        for _ in range(_BREAK_TRIES):
            if self._is_idle.wait(_BREAK_SECONDS):
                return
            self._ears.break_off()

    def _run(self) -> None:
        while (wanted := self._wanted.get()) is not None:
            asked, expectation = wanted
            if asked == self.asked:
                self._give(_ByEar(self._heard(expectation), asked))
            if self._wanted.empty():
                self._is_idle.set()

    def _heard(self, expectation: Expectation) -> Sound:
        """Listen once; whatever ends the ears is told, or the walk would wait for them for ever."""
        try:
            return self._ears.listen(expectation)
        except RungsideError as error:
            return HungUp(str(error))
        except Exception as error:  # noqa: BLE001 - a thread has nobody else to tell it to
            return HungUp(f"Listening ended with an error ({error!r}).")

    def close(self) -> None:
        """End the thread and let go of the microphone."""
        self.break_off()
        self._wanted.put(None)
        self._thread.join(timeout=2)
        self._ears.close()
