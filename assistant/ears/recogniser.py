"""What every recogniser is to the rest of Rungside."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from assistant.ears.sound import Samples, Span
from assistant.spoken.meaning import Expectation


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """What a stretch of sound came to.

    Args:
        words: lower-case words, or empty when it was nothing that this turn can be answered with.
        alternatives: other word strings that the sound could be, likelier first. One that means
            something else is reason to ask.
        why: why `words` is empty, for `rungside hear`; else empty.
        is_seconded: whether a second recogniser, that works differently, heard the same. Where it
            did not, a number must be asked back. None: no second one was asked.
        doubt: why the sound itself is reason to ask back, one sentence; else empty.
        guesses: all that the sound could be at all, likelier first; never an answer by themselves,
            only for a second ear to find what it heard among them.
        spans: from where to where each of the words lasts that was surely said, in seconds from the
            start of the sound; empty where the recogniser does not tell.
    """

    words: str
    alternatives: tuple[str, ...] = ()
    why: str = ""
    is_seconded: bool | None = None
    doubt: str = ""
    guesses: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()


IsEnough: TypeAlias = Callable[[Hypothesis], bool]
"""Whether what a recogniser has come to by then need not be listened to any longer."""


class Recogniser(Protocol):
    """Turns one utterance at a time into words.

    The order of calls is `begin`, any number of `feed`, `finish`; `begin` again drops an utterance
    that was not finished.
    """

    name: str

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance that answers a turn."""

    def feed(self, samples: Samples, cleaned: Samples | None = None) -> None:
        """Take more of the utterance: int16, mono, 16 kHz.

        Args:
            samples: the sound as it is.
            cleaned: the same with its noise taken out, where that was done.
        """

    def finish(self, is_enough: IsEnough | None = None) -> Hypothesis:
        """Say what the utterance came to.

        Args:
            is_enough: asked by a recogniser that listens several times; others need not ask.
        """

    def compare(self, phrases: Sequence[str]) -> Mapping[str, float]:
        """Tell how likely the utterance that was finished last is each of a few phrases.

        Where two recognisers differ, both compare what either heard.

        Returns:
            For each phrase that may have been said a natural log, the likeliest first; only their
            differences mean something. Empty where it fits none of them.
        """

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name those of the words that it has no certain pronunciation for, sorted."""

    def close(self) -> None:
        """Let go of model and process; may be called twice."""


def likeliest_first(likely: Mapping[str, float]) -> dict[str, float]:
    """Give what was compared in the order that `compare` promises."""
    return dict(sorted(likely.items(), key=lambda one: -one[1]))


def likeliest(compared: Mapping[str, float]) -> str:
    """Give the first of what was compared; empty where nothing fits."""
    return next(iter(compared), "")
