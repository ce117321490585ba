"""The voice of the walk screen: a caption of what is said, and the saying itself."""

from collections.abc import Callable

from assistant.screens.widgets.captions import caption_pages
from assistant.voice.hushing import Hushable, HushedVoice
from assistant.voice.synthesis import USUAL_RATE
from assistant.walk.ends import Utterance

Caption = Callable[[tuple[str, ...], float], None]
"""Is given the pages of a caption, and about how many seconds the saying takes."""


class ScreenVoice(HushedVoice):
    """Says each utterance aloud where there is a voice, its caption first.

    Args:
        caption: shows a caption.
        aloud: says it; None where nothing is said.
    """

    def __init__(self, caption: Caption, aloud: Hushable | None = None) -> None:
        super().__init__(aloud)
        self._caption = caption

    def say_aloud(self, aloud: Hushable, utterance: Utterance) -> None:
        """Show the caption, then say it."""
        rate = getattr(aloud, "rate", USUAL_RATE)
        seconds = len(utterance.text.split()) * 60 / max(int(rate), 1)
        self._caption(caption_pages(utterance.text), seconds)
        aloud.say(utterance)
