"""Voices without sound: printed lines, several at once, and silence."""

from collections.abc import Sequence
from shutil import get_terminal_size
from textwrap import fill
from typing import Protocol, TextIO, runtime_checkable

from assistant.spoken.meaning import CommandKind
from assistant.voice.spelling import spell_for
from assistant.walk.ends import Role, Utterance, Voice

NARROWEST = 20

ROLE_WORDS = {
    Role.CAUTION: "CAUTION",
    Role.PROMPT: "Step",
    Role.HELP: "Help",
    Role.WHY: "Why",
    Role.READ_BACK: "Heard",
    Role.ASK_BACK: "Question",
    Role.VERDICT: "Verdict",
    Role.FINDING: "FINDING",
    Role.NOTICE: "Note",
    Role.HOLD: "On hold",
}


@runtime_checkable
class Adjustable(Protocol):
    """A voice whose pace and loudness can be changed."""

    def adjust(self, kind: CommandKind) -> bool:
        """Change it; tell whether anything changed."""


class SilentVoice:
    """Says nothing."""

    def say(self, utterance: Utterance) -> None:
        """Do nothing."""

    def close(self) -> None:
        """Do nothing."""


class PrintedVoice:
    """Prints one line an utterance, its role as a word in front, and never takes a line back.

    Args:
        stream: where to; what its encoding lacks is spelled out. A stream that is gone or full is
            not an error of the walk: `is_broken` tells it.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.is_broken = False

    def say(self, utterance: Utterance) -> None:
        """Print it."""
        line = format_line(utterance, getattr(self._stream, "encoding", None) or "utf-8")
        try:
            if self._stream.isatty():
                line = wrap_line(line, get_terminal_size().columns)
            self._stream.write(line + "\n")
            self._stream.flush()
        except (OSError, ValueError):
            self.is_broken = True

    def close(self) -> None:
        """Leave the stream to its owner."""


class BothVoices:
    """Says each utterance with every voice, in their order.

    Args:
        voices: put the printed one first: it is then readable while it is being said.
    """

    def __init__(self, voices: Sequence[Voice]) -> None:
        self._voices = tuple(voices)

    def say(self, utterance: Utterance) -> None:
        """Say it with each."""
        for voice in self._voices:
            voice.say(utterance)

    def adjust(self, kind: CommandKind) -> bool:
        """Change each voice that can be changed; tell whether one did."""
        changed = [v.adjust(kind) for v in self._voices if isinstance(v, Adjustable)]
        return any(changed)

    def close(self) -> None:
        """Let go of each."""
        for voice in self._voices:
            voice.close()


def format_line(utterance: Utterance, encoding: str = "utf-8") -> str:
    """Give the one line that is printed for an utterance, writable in the encoding."""
    text = "".join(letter if letter.isprintable() else " " for letter in utterance.for_eye)
    line = f"{ROLE_WORDS[utterance.role]}: {' '.join(text.split())}"
    return spell_for(line, encoding)


def wrap_line(line: str, columns: int) -> str:
    """Break a line between words so that a terminal does not break it inside one."""
    return fill(line, max(columns - 1, NARROWEST), subsequent_indent="  ")
