"""The voice that is heard: renders, plays, and never lets a broken device stop the walk."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from assistant.errors import RungsideError
from assistant.spoken.meaning import CommandKind
from assistant.voice.limits import FASTEST, LOUDEST, QUIETEST, SLOWEST
from assistant.voice.samples import Samples
from assistant.voice.synthesis import USUAL_RATE, USUAL_VOLUME
from assistant.walk.ends import Role, Utterance, Voice

RATE_STEP, VOLUME_STEP = 20, 0.2


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


class Watches(Protocol):
    """What knows whether the loudspeaker is there."""

    is_here: bool

    def look(self) -> None:
        """Look, and tell what is new."""

    def close(self) -> None:
        """Watch no more."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How a voice speaks.

    Args:
        voice: the engine's name of a voice; empty for the usual one.
        rate: words a minute, within the limits.
        volume: of all it can give, within the limits.
    """

    voice: str = ""
    rate: int = USUAL_RATE
    volume: float = USUAL_VOLUME


class SpokenVoice:
    """Says utterances aloud.

    An utterance that could not be said goes to `instead`, so that a caution is not lost with the
    loudspeaker, and is kept until the next turn: `catch_up` says it when the loudspeaker is back.
    The trouble itself is told once, and again only when speech had worked in between.

    Args:
        synthesiser: makes the sound.
        player: plays it.
        report: is given one sentence about what does not work.
        instead: gets the utterances that could not be said; None where they are shown anyway.
        manner: how it speaks.
        watch: knows whether the loudspeaker is there, and tells of it itself; closed with this.
    """

    def __init__(
        self,
        synthesiser: Renders,
        player: Plays,
        report: Callable[[str], None],
        *,
        instead: Voice | None = None,
        manner: Manner | None = None,
        watch: Watches | None = None,
    ) -> None:
        self._watch = watch
        self._unsaid: list[Utterance] = []
        self._synthesiser = synthesiser
        self._player = player
        self._report = report
        self._instead = instead
        manner = manner or Manner()
        self._voice = manner.voice
        self.rate = min(max(manner.rate, SLOWEST), FASTEST)
        self.volume = min(max(manner.volume, QUIETEST), LOUDEST)
        self.trouble = ""

    def say(self, utterance: Utterance) -> None:
        """Say it and return when it has been heard."""
        if self.can_be_heard and self._is_said(utterance):
            return
        self._unsaid.append(utterance)
        if self._instead is not None:
            self._instead.say(utterance)

    @property
    def can_be_heard(self) -> bool:
        """Whether the loudspeaker is there, as far as is known."""
        return self._watch is None or self._watch.is_here

    def _is_said(self, utterance: Utterance) -> bool:
        try:
            sound = self._synthesiser.render(utterance.text, self.rate, self.volume, self._voice)
            self._player.play(sound)
        except RungsideError as trouble:
            self._tell(str(trouble))
        except Exception as trouble:  # noqa: BLE001 - whatever a sound library raises, the walk goes on
            self._tell(f"Speech failed unexpectedly ({type(trouble).__name__}: {trouble}).")
        else:
            self.trouble = ""
            return self.can_be_heard
        return False

    def begin_turn(self) -> None:
        """Leave what could not be said of the turn before: it has been answered."""
        self._unsaid.clear()

    def catch_up(self, notice: str) -> None:
        """Say a notice, and then what could not be said of this turn."""
        unsaid, self._unsaid = self._unsaid, []
        for utterance in (Utterance(Role.NOTICE, notice), *unsaid):
            self.say(utterance)

    def _tell(self, sentence: str) -> None:
        if self._watch is not None:
            self._watch.look()
        if not self.trouble and self.can_be_heard:
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
        if self._watch is not None:
            self._watch.close()
        self._player.close()
        self._synthesiser.close()
