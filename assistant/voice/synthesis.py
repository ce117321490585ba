"""Words to sound, through a process that may die or hang at any time."""

import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

from assistant.voice.engines import Order
from assistant.voice.errors import VoiceError
from assistant.voice.process import Answer, SpeechProcess, worker_command
from assistant.voice.samples import NOTHING, Samples, read_wav
from assistant.voice.worker import PACKAGED

USUAL_RATE = 165
USUAL_VOLUME = 0.8
ATTEMPTS = 3
START_SECONDS = 5.0
RENDER_SECONDS = 1.0
SECONDS_A_LETTER = 0.001
LOST_TEXTS = 2


@dataclass(frozen=True, slots=True)
class EngineFacts:
    """What the speech process told about itself.

    Args:
        engine: pyttsx3's name of it: `espeak`, `sapi5`, `nsss`.
        origin: `system`, `packaged` or `built_in`.
        version: the library's version; may be empty.
        voices: the names that can be asked for.
    """

    engine: str
    origin: str
    version: str
    voices: tuple[str, ...]


class Synthesiser:
    """Renders texts one after another; safe to call from any thread.

    A process that hangs, dies or answers with trouble is killed and another one renders the same
    text, with twice the time. After `ATTEMPTS` the text is given up; after `LOST_TEXTS` texts in a
    row no further one is tried.

    Args:
        start: starts the process; it is given the options for this start.
        render_seconds: how long the first attempt at a short text may take.
    """

    def __init__(
        self,
        start: Callable[..., SpeechProcess] = lambda *options: SpeechProcess(
            worker_command(*options)
        ),
        render_seconds: float = RENDER_SECONDS,
    ) -> None:
        self._start = start
        self._render_seconds = render_seconds
        self._lock = threading.Lock()
        self._process: SpeechProcess | None = None
        self._facts: EngineFacts | None = None
        self._is_packaged_wanted = False
        self._lost = 0

    def __enter__(self) -> Self:
        """Give itself; the process starts with the first text."""
        return self

    def __exit__(self, *_trouble: object) -> None:
        """Let go of the process."""
        self.close()

    @property
    def pid(self) -> int | None:
        """Give the number of the running process; None when there is none."""
        return self._process.pid if self._process else None

    def facts(self) -> EngineFacts:
        """Tell which engine speaks, starting it if needed.

        Raises:
            VoiceError: there is none that starts.
        """
        with self._lock:
            self._ready()
            if self._facts is None:
                raise VoiceError("The speech process did not tell what it is.")
            return self._facts

    def render(
        self,
        text: str,
        rate: int = USUAL_RATE,
        volume: float = USUAL_VOLUME,
        voice: str = "",
    ) -> Samples:
        """Render one text; nothing to say gives no samples.

        Args:
            text: the words.
            rate: words a minute.
            volume: 0 to 1.
            voice: the engine's name of a voice; empty for the usual one.

        Raises:
            VoiceError: it could not be done; one sentence.
        """
        # A lone surrogate or a control character has no sound and may stop an engine.
        text = "".join(letter if letter.isprintable() else " " for letter in text)
        if not any(letter.isalnum() for letter in text):
            return NOTHING
        with self._lock:
            if self._lost >= LOST_TEXTS:
                raise VoiceError("Speech was given up after it failed again and again.")
            return self._render_again(text, rate, volume, voice)

    def _render_again(self, text: str, rate: int, volume: float, voice: str) -> Samples:
        seconds = self._render_seconds + SECONDS_A_LETTER * len(text)
        why = VoiceError("")
        for attempt in range(ATTEMPTS):
            order = Order(text, rate, volume, voice, seconds * 2**attempt)
            try:
                samples = self._render_once(order)
            except VoiceError as trouble:
                why = trouble
                self._drop()
                continue
            self._lost = 0
            return samples
        self._lost += 1
        raise VoiceError(f"Speech failed {ATTEMPTS} times; the last time: {why.message}", why.hint)

    def _render_once(self, order: Order) -> Samples:
        process = self._ready()
        process.order(order)
        samples = read_wav(_checked(process.receive(order.seconds * 1.1)).sound)
        if samples.frames == 0:
            raise VoiceError("The speech engine gave an empty sound.")
        return samples

    def _ready(self) -> SpeechProcess:
        """Give the running process, starting it if needed."""
        if self._process is None:
            process = self._start(*([PACKAGED] if self._is_packaged_wanted else []))
            try:
                head = _checked(process.receive(START_SECONDS)).head
            except VoiceError:
                # The system's library may be the one that is broken: the next start goes round it.
                self._is_packaged_wanted = not self._is_packaged_wanted
                process.kill()
                raise
            self._process = process
            self._facts = EngineFacts(
                head["engine"], head["origin"], head["version"], tuple(head["voices"])
            )
        return self._process

    def _drop(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process = None

    def close(self) -> None:
        """Let the process end; may be called twice. A later text starts another one."""
        with self._lock:
            if self._process is not None:
                self._process.leave()
                self._process = None


def _checked(answer: Answer) -> Answer:
    if why := answer.head["why"]:
        raise VoiceError(why, answer.head.get("hint", ""))
    return answer
