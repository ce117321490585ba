"""What every recogniser is to the rest of Rungside, and which ones there are."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from assistant.ears.sound import EarsError, Samples
from assistant.spoken.meaning import Expectation


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """What a stretch of sound came to.

    Args:
        words: lower-case words, or empty when it was nothing that this turn can be answered with.
        alternatives: other word strings that the sound could be, likelier first. One that means
            something else is reason to ask.
        why: why `words` is empty, for `rungside hear`; else empty.
    """

    words: str
    alternatives: tuple[str, ...] = ()
    why: str = ""


class Recogniser(Protocol):
    """Turns one utterance at a time into words.

    The order of calls is `begin`, any number of `feed`, `finish`; `begin` again drops an utterance
    that was not finished.
    """

    name: str

    def begin(self, expectation: Expectation) -> None:
        """Start an utterance that answers a turn."""

    def feed(self, samples: Samples) -> None:
        """Take more of the utterance: int16, mono, 16 kHz."""

    def finish(self) -> Hypothesis:
        """Say what the utterance came to."""

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Name those of the words that it has no certain pronunciation for, sorted."""

    def close(self) -> None:
        """Let go of model and process; may be called twice."""


@dataclass(frozen=True, slots=True)
class RecogniserOptions:
    """What a maker of recognisers may need.

    Args:
        vosk_model: folder of the vosk model; None: look where it usually is.
    """

    vosk_model: Path | None = None


def _make_sphinx(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.sphinx import SphinxRecogniser

    del options  # its model comes with its wheel
    return SphinxRecogniser()


def _make_vosk(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.vosk_ear import VoskRecogniser

    return VoskRecogniser(options.vosk_model)


def _make_pair(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.pair import PairRecogniser

    return PairRecogniser(_make_vosk(options), _make_sphinx(options))


MAKERS: dict[str, Callable[[RecogniserOptions], Recogniser]] = {
    "sphinx": _make_sphinx,
    "vosk": _make_vosk,
    "vosk+sphinx": _make_pair,
}


def make_recogniser(name: str, options: RecogniserOptions | None = None) -> Recogniser:
    """Make a recogniser by its name.

    Raises:
        EarsError: when there is none of that name, or its model cannot be used.
    """
    if name not in MAKERS:
        raise EarsError(
            f"There is no recogniser '{name}'.", f"Choose one of: {', '.join(sorted(MAKERS))}."
        )
    return MAKERS[name](options or RecogniserOptions())


def best_name(options: RecogniserOptions | None = None) -> str:
    """Name the best recogniser of this machine: both where there is a vosk model, else sphinx."""
    from assistant.ears.vosk_model import find_model

    try:
        find_model(options.vosk_model if options else None)
    except EarsError:
        return "sphinx"
    return "vosk+sphinx"
