"""The two kinds of speech engine: espeak-ng's library, and what Windows and macOS bring along.

pyttsx3's own loop is not used with espeak-ng. It leaves a thread of the library running when it
says it is done, and that thread's last act may drop a property set meanwhile or cut the next text
short while calling it complete (3 of 500 files were too short when rates and voices changed). So
the library is asked through pyttsx3's binding to work in the calling thread: the call returns when
all of the sound is there.
"""

import ctypes
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from assistant.voice.errors import VoiceError
from assistant.voice.pronunciation import respell
from assistant.voice.samples import Samples, write_wav

POLL_SECONDS = 0.005
DO_NOT_EXIT = 0x8000
USUAL_VOICES = ("gmw/en-US", "en-US", "gmw/en", "en")


@dataclass(frozen=True, slots=True)
class Order:
    """One text to render.

    Args:
        text: the words, not blank.
        rate: words a minute.
        volume: 0 to 1.
        voice: the engine's name of a voice; empty for American English, or the engine's own choice
            where it has none.
        seconds: how long it may take.
    """

    text: str
    rate: int
    volume: float
    voice: str = ""
    seconds: float = 2.0


class Engine(Protocol):
    """Something that turns an order into a WAV file's content."""

    name: str
    voices: tuple[str, ...]

    def render(self, order: Order) -> bytes:
        """Render it whole; raises VoiceError when that cannot be done."""


class EspeakEngine:
    """espeak-ng, working in the calling thread; one in a process.

    Raises:
        VoiceError: the library does not start, as when its data is missing.
    """

    def __init__(self) -> None:
        from pyttsx3.drivers import _espeak as binding

        self.name = "espeak"
        self._binding: Any = binding
        self._rate = int(
            binding.Initialize(binding.AUDIO_OUTPUT_SYNCHRONOUS, 200, None, DO_NOT_EXIT),
        )
        if self._rate <= 0:
            raise VoiceError("The espeak-ng speech library does not find its data.")
        self.voices = tuple(
            voice.identifier.decode("utf-8", "replace") for voice in binding.ListVoices(None)
        )
        self._usual = next((name for name in USUAL_VOICES if name in self.voices), "")
        self._pieces: list[bytes] = []
        self._deadline = 0.0
        binding.SetSynthCallback(self._take)

    def _take(self, wave: Any, count: int, _events: Any) -> int:  # noqa: ANN401 - C pointers
        """Keep what the library hands over; give 1 to make it stop."""
        if count > 0:
            self._pieces.append(ctypes.string_at(wave, count * 2))
        return int(time.monotonic() > self._deadline)

    def render(self, order: Order) -> bytes:
        """Render one text.

        Raises:
            VoiceError: the voice is unknown, or the library refuses or is too slow.
        """
        self._set(order)
        self._pieces = []
        self._deadline = time.monotonic() + order.seconds
        # Without ENDPAUSE: a third of a second of quiet behind each text would delay each answer.
        result = self._binding.Synth(respell(order.text).encode(), flags=self._binding.CHARS_UTF8)
        if result != self._binding.EE_OK or time.monotonic() > self._deadline:
            raise VoiceError("The espeak-ng speech library did not finish a text in time.")
        return write_wav(Samples(b"".join(self._pieces), self._rate))

    def _set(self, order: Order) -> None:
        """Set voice, rate and volume; the voice first, since choosing one resets the others."""
        voice = next((v for v in self.voices if v.lower() == order.voice.lower()), "")
        if order.voice and not voice:
            raise VoiceError(f"There is no voice named {order.voice} here.")
        voice = voice or self._usual
        binding = self._binding
        results = (
            binding.SetVoiceByName(voice.encode()) if voice else binding.EE_OK,
            binding.SetParameter(binding.RATE, order.rate, 0),
            binding.SetParameter(binding.VOLUME, round(order.volume * 100), 0),
        )
        if any(result != binding.EE_OK for result in results):
            raise VoiceError("The espeak-ng speech library refuses that voice, rate or volume.")


_EMPTY_WAV = 44
"""Bytes of a WAV file with a header and no sound."""
_MORE_TRIES = 2


class SystemEngine:
    """pyttsx3's usual engine, which writes to a file that is then read.

    Args:
        folder: where the file stands for a moment.
    """

    def __init__(self, folder: Path) -> None:
        import pyttsx3

        self._path = folder / "said.wav"
        self._engine: Any = pyttsx3.init()
        self._endings: list[bool] = []
        self._engine.connect("finished-utterance", self._finish)
        self.name = str(self._engine.driver_name)
        self.voices = tuple(str(voice.id) for voice in self._engine.getProperty("voices"))

    def _finish(self, **facts: object) -> None:
        self._endings.append(bool(facts.get("completed")))

    def render(self, order: Order) -> bytes:
        """Render one text; again where the engine took the end of the text before for its end.

        Raises:
            VoiceError: the voice is unknown, or the engine does not finish in time.
        """
        if order.voice and order.voice not in self.voices:
            raise VoiceError(f"There is no voice named {order.voice} here.")
        deadline = time.monotonic() + order.seconds
        sound = self._render(order, deadline)
        for _ in range(_MORE_TRIES):
            if len(sound) > _EMPTY_WAV:
                break
            sound = self._render(order, deadline)
        return sound

    def _render(self, order: Order, deadline: float) -> bytes:
        if order.voice:
            self._engine.setProperty("voice", order.voice)
        self._engine.setProperty("rate", order.rate)
        self._engine.setProperty("volume", order.volume)
        self._path.unlink(missing_ok=True)
        self._endings.clear()
        self._engine.save_to_file(order.text, str(self._path))
        self._engine.runAndWait()
        while not (True in self._endings and self._path.exists()):
            if time.monotonic() > deadline:
                raise VoiceError("The speech engine did not finish a text in time.")
            time.sleep(POLL_SECONDS)
        return self._path.read_bytes()
