"""What is told of devices: shown at once, and said aloud as soon as that can be heard."""

import queue
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.walk.ends import Role, Utterance

if TYPE_CHECKING:
    from assistant.ears.microphone import MicrophoneEars
    from assistant.voice.aloud import SpokenVoice


class Announcer:
    """Tells sentences about devices, from whichever thread notices something.

    Saying one takes its time, so a thread of its own does it; the ears hear nothing meanwhile.

    Args:
        show: shows a sentence.
    """

    def __init__(self, show: Callable[[str], None]) -> None:
        self._show = show
        self._to_say: queue.Queue[Callable[[SpokenVoice], None] | None] = queue.Queue()
        self.voice: SpokenVoice | None = None
        self.ears: MicrophoneEars | None = None
        self._thread = threading.Thread(target=self._run, name="announcer", daemon=True)
        self._thread.start()

    def tell(self, sentence: str) -> None:
        """Show a sentence, and say it."""
        self._show(sentence)
        self._to_say.put(lambda voice: voice.say(Utterance(Role.NOTICE, sentence)))

    def tell_back(self, sentence: str) -> None:
        """Show that the loudspeaker is back; say it, and what could not be said of this turn."""
        self._show(sentence)
        self._to_say.put(lambda voice: voice.catch_up(sentence))

    def _run(self) -> None:
        while (say := self._to_say.get()) is not None:
            voice, ears = self.voice, self.ears
            if voice is None or not voice.can_be_heard:
                continue
            if ears is None:
                say(voice)
            else:
                self._say_aside(say, voice, ears)

    def _say_aside(
        self,
        say: Callable[["SpokenVoice"], None],
        voice: "SpokenVoice",
        ears: "MicrophoneEars",
    ) -> None:
        ears.aside(lambda: say(voice))

    def close(self) -> None:
        """Say nothing more."""
        self.voice = self.ears = None
        self._to_say.put(None)
