"""The voice that is heard: renders, plays, and never lets a broken device stop the walk."""

from collections.abc import Callable
from typing import Protocol

from assistant.errors import RungsideError
from assistant.spoken.meaning import CommandKind
from assistant.voice.samples import Samples
from assistant.voice.synthesis import USUAL_RATE, USUAL_VOLUME
from assistant.walk.ends import Utterance, Voice

SLOWEST, FASTEST, RATE_STEP = 105, 285, 20
QUIETEST, LOUDEST, VOLUME_STEP = 0.2, 1.0, 0.2


class Renders(Protocol):
    """What makes the sound."""

    def render(self, text: str, rate: int, volume: float, voice: str) -> Samples:
        """Render one text; raises RungsideError."""

    def close(self) -> None:
        """Let go."""


class Plays(Protocol):
    """What plays the sound."""

    def play(self, samples: Samples) -> None:
        """Play to the end; raises RungsideError."""

    def stop(self) -> None:
        """Break off."""

    def close(self) -> None:
        """Let go."""


class SpokenVoice:
    """Says utterances aloud.

    An utterance that could not be said goes to `instead`, so that a caution is not lost with the
    loudspeaker. The trouble itself is told once, and again only when speech had worked in between.

    Args:
        synthesiser: makes the sound.
        player: plays it.
        report: is given one sentence about what does not work.
        instead: gets the utterances that could not be said; None where they are shown anyway.
        voice: the engine's name of a voice; empty for the usual one.
        rate: words a minute.
        volume: 0 to 1.
    """

    def __init__(
        self,
        synthesiser: Renders,
        player: Plays,
        report: Callable[[str], None],
        *,
        instead: Voice | None = None,
        voice: str = "",
        rate: int = USUAL_RATE,
        volume: float = USUAL_VOLUME,
    ) -> None:
        self._synthesiser = synthesiser
        self._player = player
        self._report = report
        self._instead = instead
        self._voice = voice
        self.rate = min(max(rate, SLOWEST), FASTEST)
        self.volume = min(max(volume, QUIETEST), LOUDEST)
        self.trouble = ""

    def say(self, utterance: Utterance) -> None:
        """Say it and return when it has been heard."""
        try:
            sound = self._synthesiser.render(utterance.text, self.rate, self.volume, self._voice)
            self._player.play(sound)
        except RungsideError as trouble:
            self._tell(str(trouble))
        except Exception as trouble:  # noqa: BLE001 - whatever a sound library raises, the walk goes on
            self._tell(f"Speech failed unexpectedly ({type(trouble).__name__}: {trouble}).")
        else:
            self.trouble = ""
            return
        if self._instead is not None:
            self._instead.say(utterance)

    def _tell(self, sentence: str) -> None:
        if not self.trouble:
            self._report(sentence)
        self.trouble = sentence

    def adjust(self, kind: CommandKind) -> bool:
        """Speak slower, faster, louder or quieter from now on.

        Returns:
            Whether anything changed: not at the limit, and not for another command.
        """
        before = (self.rate, self.volume)
        match kind:
            case CommandKind.SLOWER:
                self.rate = max(self.rate - RATE_STEP, SLOWEST)
            case CommandKind.FASTER:
                self.rate = min(self.rate + RATE_STEP, FASTEST)
            case CommandKind.LOUDER:
                self.volume = min(round(self.volume + VOLUME_STEP, 2), LOUDEST)
            case CommandKind.QUIETER:
                self.volume = max(round(self.volume - VOLUME_STEP, 2), QUIETEST)
            case _:
                pass
        return before != (self.rate, self.volume)

    def stop(self) -> None:
        """Break off what is being said."""
        self._player.stop()

    def close(self) -> None:
        """Let go of the device and the process; may be called twice."""
        self._player.close()
        self._synthesiser.close()
