"""The keyboard beside a microphone: lines are answers, and one key may be the talk key."""

import sys
import threading
from collections.abc import Callable
from typing import TextIO, cast

from assistant.desk.console import typed_lines
from assistant.desk.errors import DeskError
from assistant.desk.keys import TALK_KEYS, Key, KeyReader
from assistant.desk.terminal import RawTerminal, SharedOutput
from assistant.ears.beside import BothEars, Line
from assistant.ears.talk import Presses, TalkKey

CHANGED = "The step changed while you were typing. Look at it, then press Enter again."
ENDED = "There is no further line."


def check_talk_key(name: str) -> str:
    """Give a talk key's name in lower case.

    Raises:
        DeskError: when it is no key that can be one.
    """
    if name.lower() not in TALK_KEYS:
        raise DeskError(f"'{name}' cannot be the talk key.", f"Name one of {', '.join(TALK_KEYS)}.")
    return name.lower()


class Entry:
    """The line that is being typed, and what its keys do.

    Args:
        ears: take what is typed.
        talk: what the talk key turns on and off.
        answered: is given each line before the ears take it, and nothing for an early talk key.
        show: shows the line, or leaves it where it stands when given None.
        tell: is given a sentence about what was not taken.
    """

    def __init__(
        self,
        ears: BothEars,
        talk: TalkKey,
        answered: Callable[[str], None],
        show: Callable[[str | None], None],
        tell: Callable[[str], None],
    ) -> None:
        self._ears, self._talk, self._answered = ears, talk, answered
        self._presses = Presses(talk, early=lambda: answered(""))
        self._show, self._tell = show, tell
        self._text = ""
        self._turn = 0

    def press(self, key: Key) -> None:
        """Take one key."""
        if self._is_talk(key):
            self._presses.release() if key.is_release else self._presses.press()
        elif key.is_release:
            return
        elif key.name == "enter":
            self._send()
        elif key.name == "end_of_input":
            if not self._text:
                self._ears.hang_up(ENDED)
        elif key.name == "backspace":
            self._change(self._text[:-1])
        elif key.name in {"clear", "escape"}:
            self._change("")
        elif key.text:
            self._turn = self._turn if self._text else self._ears.turn
            self._change(self._text + key.text)

    def _is_talk(self, key: Key) -> bool:
        """Whether it is the talk key: not where it belongs to what is being typed."""
        is_named = self._talk.is_push and key.name == self._talk.key
        return is_named and not (self._text and key.name in {"space", "enter"})

    def _change(self, text: str) -> None:
        if text != self._text:
            self._text = text
            self._show(text)

    def _send(self) -> None:
        if self._text and self._turn != self._ears.turn:
            self._turn = self._ears.turn
            self._tell(CHANGED)
            return
        text, self._text = self._text, ""
        if text:
            self._show(None)
        self._answered(text)
        self._ears.put(Line(text, self._ears.turn))


class Keyboard:
    """Types into ears until it is closed; standard output shows what is typed.

    Args:
        ears: take what is typed.
        talk: what the talk key turns on and off.
        answered: is given each line before the ears take it.
    """

    def __init__(self, ears: BothEars, talk: TalkKey, answered: Callable[[str], None]) -> None:
        self._output = SharedOutput(sys.stdout)
        self._before = sys.stdout
        self._entry = Entry(ears, talk, answered, self._show, print)
        self._keys = KeyReader()
        self._terminal = RawTerminal(self._take)

    def open(self) -> None:
        """Take the terminal."""
        sys.stdout = cast("TextIO", self._output)
        self._terminal.open()

    def _take(self, piece: bytes) -> None:
        keys = self._keys.read(piece) if piece else (Key("end_of_input"),)
        for key in keys:
            self._entry.press(key)

    def _show(self, text: str | None) -> None:
        if text is None:
            self._output.end_entry()
        else:
            self._output.show_entry(text)

    def close(self) -> None:
        """Put the terminal back as it was; may be called twice."""
        self._terminal.close()
        sys.stdout = self._before


class LineKeyboard:
    """The same where the terminal gives whole lines only: an empty line is the talk key."""

    def __init__(self, ears: BothEars, talk: TalkKey, answered: Callable[[str], None]) -> None:
        self._ears, self._talk, self._answered = ears, talk, answered
        self._presses = Presses(talk, early=lambda: answered(""))
        talk.key = "enter"

    def open(self) -> None:
        """Read lines from now on."""
        threading.Thread(target=self._read, name="keyboard", daemon=True).start()

    def _read(self) -> None:
        for line in typed_lines():
            if not line.strip() and self._talk.is_push:
                self._presses.press()
            else:
                self._answered(line)
                self._ears.put(Line(line, self._ears.turn))
        self._ears.hang_up(ENDED)

    def close(self) -> None:
        """Leave the terminal as it is."""


def open_keyboard(
    ears: BothEars, talk: TalkKey, answered: Callable[[str], None]
) -> Keyboard | LineKeyboard:
    """Open the keyboard of this terminal."""
    try:
        import termios
    except ImportError:
        opened: Keyboard | LineKeyboard = LineKeyboard(ears, talk, answered)
    else:
        del termios
        opened = Keyboard(ears, talk, answered)
    opened.open()
    return opened
