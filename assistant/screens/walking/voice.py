"""The voice of the walk screen: a caption of what is said, and the saying itself."""

from collections.abc import Callable
from typing import Protocol

from assistant.screens.widgets.captions import caption_pages
from assistant.spoken.meaning import CommandKind
from assistant.voice.synthesis import USUAL_RATE
from assistant.walk.ends import Role, Utterance, Voice

Caption = Callable[[tuple[str, ...], float], None]
"""Is given the pages of a caption, and about how many seconds the saying takes."""


class Hushable(Voice, Protocol):
    """A voice that can be broken off from another thread."""

    def stop(self) -> None:
        """Break off what is being said."""

    def adjust(self, kind: CommandKind) -> bool:
        """Speak slower, faster, louder or quieter; tell whether anything changed."""


class ScreenVoice:
    """Says each utterance aloud where there is a voice, its caption first.

    The words stand on the screen before they are said, so an answer may be typed while they are:
    the rest is then not said, but for a caution, which is always said to its end.

    Args:
        caption: shows a caption.
        aloud: says it; None where nothing is said.
    """

    def __init__(self, caption: Caption, aloud: Hushable | None = None) -> None:
        self._caption, self._aloud = caption, aloud
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
        self._caption(caption_pages(utterance.text), self._seconds(utterance.text))
        self._aloud.say(utterance)

    def _seconds(self, text: str) -> float:
        """Give about how long it takes to say, by the voice's words a minute."""
        rate = getattr(self._aloud, "rate", USUAL_RATE)
        return len(text.split()) * 60 / max(int(rate), 1)

    def begin_turn(self) -> None:
        """Say again what comes from now on."""
        self._is_hushed = self._is_silenced = False

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
