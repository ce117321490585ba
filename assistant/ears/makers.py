"""Which recognisers there are: one line a recogniser."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import EarsError


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
