"""Ears on a microphone: one answer at a time, whatever becomes of the device meanwhile.

A device that is lost ends no walk: half an answer is dropped, and listening begins again when the
device is back. Where nothing but the microphone can answer, it is waited for a minute, and then the
ears hang up: the session is kept and can be walked on.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from time import monotonic, sleep

from assistant.ears.capture import Open, open_capture
from assistant.ears.endpoint import Patience
from assistant.ears.gate import TAIL_SECONDS, Gate
from assistant.ears.listening import Keep, Listener, keep_nothing
from assistant.ears.overhearing import overhear
from assistant.ears.recogniser import Recogniser
from assistant.ears.talk import TalkKey
from assistant.ears.watched import Tell, WatchedMicrophone
from assistant.errors import RungsideError
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence, Sound

_LOOK_SECONDS = 0.05
ALONE_SECONDS = 60.0
"""How long a lost microphone is waited for where nothing else can answer."""
TYPE_INSTEAD = "Type the answers meanwhile."
WAITING_FOR_IT = "The walk waits for it."
_PUSHED = {"settled": 1.5, "open_ended": 2.0, "unfinished": 3.0}
"""While a key is held, a pause ends nothing so soon: letting go does."""


def tell_nobody(sentence: str) -> None:
    """Keep it to oneself."""
    del sentence


@dataclass(frozen=True, slots=True)
class Manner:
    """How a microphone is listened to.

    Args:
        device: part of its name; empty: the usual one.
        patience: how long to wait for what.
        talk: says whether sound counts; None: always.
        tail: seconds of sound to drop behind our own voice.
        is_alone: whether nothing but the microphone can answer.
    """

    device: str = ""
    patience: Patience | None = None
    talk: TalkKey | None = None
    tail: float = TAIL_SECONDS
    is_alone: bool = False


class MicrophoneEars:
    """Hears one answer at a time from a microphone.

    Args:
        recogniser: who turns sound into words; closed with these ears.
        manner: which microphone, and how it is listened to.
        keep: who keeps the sound of each answer.
        tell: is told when the microphone is lost, back, or mute.
        open_device: opens it.

    Raises:
        EarsError: when nothing else can answer and there is no such microphone, or it cannot be
            opened; elsewhere that is told, and it is listened to as soon as it is there.
    """

    def __init__(
        self,
        recogniser: Recogniser,
        manner: Manner | None = None,
        *,
        keep: Keep = keep_nothing,
        tell: Tell = tell_nobody,
        open_device: Open = open_capture,
    ) -> None:
        manner = manner or Manner()
        self._recogniser, self._keep, self._is_alone = recogniser, keep, manner.is_alone
        self._caught: Heard | None = None
        self.talk = manner.talk or TalkKey()
        patience = manner.patience or Patience()
        if self.talk.is_push:
            patience = replace(patience, **_PUSHED)
        self._listener = Listener(recogniser, patience, keep)
        self._gate = Gate(self.talk, manner.tail)
        meanwhile = WAITING_FOR_IT if manner.is_alone else TYPE_INSTEAD
        self._watch = WatchedMicrophone(self._gate, manner.device, tell, meanwhile, open_device)
        self._is_closed = self._is_broken_off = False
        self._hushed = 0
        self._lock = threading.Lock()
        self._begin(tell)

    def _begin(self, tell: Tell) -> None:
        try:
            self._watch.begin()
        except RungsideError as error:
            if self._is_alone:
                raise
            self._watch.begin_without()
            tell(f"{error} {TYPE_INSTEAD}")

    def listen(self, expectation: Expectation) -> Sound:
        """Open the gate until one answer has ended, or none has begun in time."""
        caught, self._caught = self._caught, None
        if caught is not None:
            return caught
        self._is_broken_off = False
        began = monotonic()
        while not self._is_closed:
            sound = self._hear(expectation)
            if self._is_broken_off:
                return Silence("microphone")
            if sound is not None:
                return sound
            if self._is_alone and self._is_dead and monotonic() - began > ALONE_SECONDS:
                return HungUp(f"{self._watch.name} gives no sound any more.")
            if self._watch.is_here and not self._watch.is_mute:
                began = monotonic()
        return HungUp("The microphone is closed.")

    @property
    def _can_hear(self) -> bool:
        return self._watch.is_here and not self._hushed

    @property
    def _is_dead(self) -> bool:
        """Whether it is gone, or has given nothing but silence all the time."""
        return not self._watch.is_here or (self._watch.is_mute and not self._watch.has_sounded)

    def _hear(self, expectation: Expectation) -> Heard | Silence | None:
        """Hear once; None where nothing came of it that is anybody's answer."""
        if not self._can_hear:
            sleep(_LOOK_SECONDS)
            return None
        self._gate.resume()
        try:
            if self._is_broken_off or self._is_closed or not self._can_hear:
                return None
            heard = self._listener.hear(self._gate.frames(), expectation)
        finally:
            self._gate.pause()
        is_nobody = self.talk.is_push or self._watch.is_mute
        return None if isinstance(heard, Silence) and is_nobody else heard

    def break_off(self) -> None:
        """End the listening of another thread as if nothing had been said: it was typed instead."""
        self._is_broken_off = True
        self._gate.end()

    def aside(self, say: Callable[[], None]) -> None:
        """Hear nothing while something is said; an answer that had begun is dropped."""
        with self._lock:
            self._hushed += 1
        self._gate.end()
        try:
            say()
        finally:
            with self._lock:
                self._hushed -= 1

    @contextmanager
    def overhearing(self, said: str, caught: Callable[[], None]) -> Iterator[None]:
        """Hear "stop" and "hold on" while our own voice says something.

        Args:
            said: what it says.
            caught: called, from another thread, as soon as one of them is heard; the next `listen`
                then gives it.
        """
        if self.talk.is_push or not self._can_hear:
            yield
            return
        self._gate.resume()
        overhearing = threading.Thread(target=self._overhear, args=(said, caught), daemon=True)
        overhearing.start()
        try:
            yield
        finally:
            self._gate.end()
            overhearing.join()

    def _overhear(self, said: str, caught: Callable[[], None]) -> None:
        heard = overhear(self._gate.frames(), self._recogniser, said)
        if heard is not None:
            words, sound = heard
            self._caught = Heard(words, source="microphone", clip=self._keep(sound))
            caught()

    def close(self) -> None:
        """Let go of the microphone and the recogniser."""
        self._is_closed = True
        self._gate.end()
        self._watch.close()
        self._recogniser.close()
