"""The ends of a walk in plain lines: what answers, what speaks, and how they mind each other."""

import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from assistant.desk.console import Console, typed_lines
from assistant.desk.keyboard import open_keyboard
from assistant.desk.output import show
from assistant.desk.sound_ends import SoundEnds
from assistant.ears.beside import BothEars
from assistant.ears.typed import LineEars
from assistant.errors import RungsideError
from assistant.settings import Settings
from assistant.voice.hushing import HushedVoice
from assistant.voice.written import BothVoices, PrintedVoice
from assistant.walk.ends import Ears, Voice
from assistant.walk.events import AnyEvent

if TYPE_CHECKING:
    from assistant.desk.keyboard import Keyboard, LineKeyboard
    from assistant.ears.listening import Keep
    from assistant.ears.recogniser import Recogniser


def show_note(sentence: str) -> None:
    """Show a sentence that is no word of the walk, as far as anything can be shown."""
    with suppress(OSError):
        show(f"Note: {sentence}")


class PlainEnds:
    """Opens what a walk in plain lines needs of sound and keyboard.

    Args:
        settings: which devices, and how.
    """

    def __init__(self, settings: Settings) -> None:
        self._sounds = SoundEnds(settings, show_note)
        self._spoken: HushedVoice | None = None
        self._both: BothEars | None = None
        self._keyboard: Keyboard | LineKeyboard | None = None
        self._console: Console | None = None

    def listen(self, recogniser: "Recogniser", keep: "Keep") -> Ears:
        """Hear the microphone with the keyboard beside it; without a terminal, one or the other."""
        is_alone = not (sys.stdin.isatty() and sys.stdout.isatty())
        try:
            microphone = self._sounds.open_microphone(recogniser, keep, is_alone=is_alone)
        except RungsideError as error:
            print(f"rungside: {error} Type the answers instead.", file=sys.stderr)
            return LineEars(typed_lines(), source="typed")
        microphone.talk.show_on(show)
        if is_alone:
            return microphone
        self._both = BothEars(show_note)
        self._both.add_microphone(microphone)
        self._keyboard = open_keyboard(self._both, microphone.talk, self._hush)
        return self._both

    def speak(self, *, is_aloud: bool) -> Voice:
        """Print the lines, and say them where that is wanted."""
        printed = PrintedVoice(sys.stdout)
        self._console = Console(printed)
        if not is_aloud:
            return printed
        self._spoken = HushedVoice(self._sounds.open_voice())
        both = BothVoices([printed, self._spoken])
        self._console = Console(both)
        return both

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Take the events of a turn before it is said."""
        if self._both is not None:
            self._both.turn += 1
        if self._spoken is not None:
            self._spoken.begin_turn()
        if self._console is not None:
            self._console.watch(events)

    def _hush(self, words: str) -> None:
        """Break off what is being said: it has been answered."""
        if self._spoken is None:
            return
        if words.strip().lower() == "hold":
            self._spoken.silence()
        else:
            self._spoken.hush()

    def close(self) -> None:
        """Put the terminal back; ears and voice are closed by who has them."""
        if self._keyboard is not None:
            self._keyboard.close()
        self._sounds.close()
