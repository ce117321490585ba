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
            self._stream.write(fitted(line, self._stream) + "\n")
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


def fitted(text: str, stream: TextIO) -> str:
    """Give text as a stream shows it whole: in a terminal each line is broken between words."""
    if not stream.isatty():
        return text
    columns = get_terminal_size().columns
    return "\n".join(wrap_line(line, columns) for line in text.split("\n"))


def wrap_line(line: str, columns: int) -> str:
    """Break a line between words so that a terminal does not break it inside one.

    What must be copied or compared whole, a path or a seal code, is no two words.
    """
    indent = " " * (len(line) - len(line.lstrip(" ")) + 2)
    return fill(
        line,
        max(columns - 1, NARROWEST),
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
