"""A voice that "stop" or "hold on" breaks off while it speaks."""

from collections.abc import Callable

from assistant.ears.microphone import MicrophoneEars
from assistant.spoken.meaning import CommandKind
from assistant.voice.aloud import SpokenVoice
from assistant.walk.ends import Utterance


class OverheardVoice:
    """Says each utterance while the microphone hears whether somebody breaks in.

    Then the rest of the turn is not said, and the ears give what was heard as the next answer. A
    caution is broken off as well: going ahead, or not stopping, says it again from its beginning.

    Args:
        spoken: the voice.
        ears: gives the ears, once there are any.
    """

    def __init__(self, spoken: SpokenVoice, ears: Callable[[], MicrophoneEars | None]) -> None:
        self._spoken, self._ears = spoken, ears
        self._is_caught = False

    @property
    def rate(self) -> int:
        """Give the words a minute."""
        return self._spoken.rate

    def say(self, utterance: Utterance) -> None:
        """Say it to its end, or until somebody breaks in."""
        ears = self._ears()
        if self._is_caught:
            return
        if ears is None:
            self._spoken.say(utterance)
            return
        with ears.overhearing(utterance.text, self._catch):
            self._spoken.say(utterance)

    def _catch(self) -> None:
        self._is_caught = True
        self._spoken.stop()

    def begin_turn(self) -> None:
        """Say again what comes from now on."""
        self._is_caught = False
        self._spoken.begin_turn()

    def stop(self) -> None:
        """Break off what is being said."""
        self._spoken.stop()

    def adjust(self, kind: CommandKind) -> bool:
        """Speak slower, faster, louder or quieter; tell whether anything changed."""
        return self._spoken.adjust(kind)

    def close(self) -> None:
        """Let go of the voice; may be called twice."""
        self._spoken.close()
