"""The two ends of a walk: ears that hear and a voice that says.

One small protocol each, with several makers: microphone, sound files, typed lines, a screen, a
bench; speech, printed lines, a screen, silence.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol, TypeAlias

from assistant.spoken.meaning import Expectation


@dataclass(frozen=True, slots=True)
class Heard:
    """One thing heard.

    Args:
        words: lower-case words; empty when there was speech or noise that is no known word.
        alternatives: other word strings the recogniser found nearly as likely, best first.
        source: where it came from, as `typed`, `microphone`, a file's name, `bench`.
        clip: the SHA-256 of the sound kept for it; empty when none was kept.
        doubt: why the sound itself is reason to ask back, one sentence; empty when it is not.
    """

    words: str
    alternatives: tuple[str, ...] = ()
    source: str = "typed"
    clip: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Silence:
    """Nothing was said within the time a turn is given.

    Args:
        source: which ears waited.
    """

    source: str = "typed"


@dataclass(frozen=True, slots=True)
class HungUp:
    """These ears will hear nothing more: end of file, closed pipe, closed window.

    Args:
        why: one sentence.
    """

    why: str = ""


Sound: TypeAlias = Heard | Silence | HungUp


class Ears(Protocol):
    """Something that hears one answer."""

    def listen(self, expectation: Expectation) -> Sound:
        """Wait for the next thing heard, given what this turn can be answered with."""

    def close(self) -> None:
        """Let go of device, file or process; may be called twice."""


class Role(StrEnum):
    """What an utterance is for; a screen shows it as a word, a voice may say it differently."""

    CAUTION = "caution"
    PROMPT = "prompt"
    HELP = "help"
    WHY = "why"
    READ_BACK = "read_back"
    ASK_BACK = "ask_back"
    VERDICT = "verdict"
    FINDING = "finding"
    NOTICE = "notice"
    HOLD = "hold"


@dataclass(frozen=True, slots=True)
class Utterance:
    """One thing to say.

    Args:
        role: what it is for.
        text: the words for the ear: no symbols, no abbreviations.
        shown: the same for the eye, where symbols help; empty when the same as `text`.
    """

    role: Role
    text: str
    shown: str = ""

    @property
    def for_eye(self) -> str:
        """Give what a screen or a printed line shows."""
        return self.shown or self.text


class Voice(Protocol):
    """Something that says one utterance and returns when it has been said."""

    def say(self, utterance: Utterance) -> None:
        """Say it to the end; a broken device is reported once and never raises."""

    def close(self) -> None:
        """Let go of the device; may be called twice."""
