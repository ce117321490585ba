"""A voice that an answer breaks off: the rest of the turn is then not said, but for a caution."""

from typing import Protocol

from assistant.spoken.meaning import CommandKind
from assistant.walk.ends import Role, Utterance, Voice


class Hushable(Voice, Protocol):
    """A voice that can be broken off from another thread."""

    def stop(self) -> None:
        """Break off what is being said."""

    def adjust(self, kind: CommandKind) -> bool:
        """Speak slower, faster, louder or quieter; tell whether anything changed."""

    def begin_turn(self) -> None:
        """Leave what could not be said of the turn before."""


class HushedVoice:
    """Says each utterance aloud where there is a voice.

    The words are shown before they are said, so an answer may be given while they are: the rest is
    then not said, but for a caution, which is always said to its end. Only a hold, which asks
    everything again, stops a caution.

    Args:
        aloud: says it; None where nothing is said.
    """

    def __init__(self, aloud: Hushable | None = None) -> None:
        self._aloud = aloud
        self._is_hushed = self._is_silenced = False
        self._is_caution = False

    @property
    def is_aloud(self) -> bool:
        """Whether it is said aloud."""
        return self._aloud is not None

    def say(self, utterance: Utterance) -> None:
        """Say it to the end, unless it was answered already."""
        if self._aloud is None or self._is_silenced:
            return
        self._is_caution = utterance.role is Role.CAUTION
        if self._is_hushed and not self._is_caution:
            return
        self.say_aloud(self._aloud, utterance)

    def say_aloud(self, aloud: Hushable, utterance: Utterance) -> None:
        """Say one utterance, which nothing has answered yet."""
        aloud.say(utterance)

    def begin_turn(self) -> None:
        """Say again what comes from now on."""
        self._is_hushed = self._is_silenced = False
        if self._aloud is not None:
            self._aloud.begin_turn()

    def hush(self) -> None:
        """Say no more of this turn but its caution; from any thread."""
        self._is_hushed = True
        if self._aloud is not None and not self._is_caution:
            self._aloud.stop()

    def silence(self) -> None:
        """Say no more of this turn at all, as on "hold"; from any thread."""
        self._is_silenced = True
        if self._aloud is not None:
            self._aloud.stop()

    def adjust(self, kind: CommandKind) -> bool:
        """Speak slower, faster, louder or quieter; tell whether anything changed."""
        return self._aloud is not None and self._aloud.adjust(kind)

    def close(self) -> None:
        """Let go of the voice; may be called twice."""
        if self._aloud is not None:
            self._aloud.close()
