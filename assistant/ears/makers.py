"""Which recognisers there are: one line a recogniser.

A name with `+` in it is several that hear the same: `sphinx+second-ear`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import EarsError

AUTO = "auto"
"""The setting that takes the best recogniser that is here."""


@dataclass(frozen=True, slots=True)
class RecogniserOptions:
    """What a maker of recognisers may need.

    Args:
        vosk_model: folder of the vosk model; None: look where it usually is.
        second_ear: `auto`, `off` or the folder of its weights; None: what the environment says.
    """

    vosk_model: Path | None = None
    second_ear: str | None = None


def _pair(first: Recogniser, second: Recogniser) -> Recogniser:
    from assistant.ears.pair import PairRecogniser

    return PairRecogniser(first, second)


@dataclass(frozen=True, slots=True)
class Maker:
    """How one recogniser is made, and how it is known without making it whether it can be.

    Args:
        make: makes it, or raises `EarsError`.
        look: raises `EarsError` where something that it needs is not here.
        join: puts it behind another recogniser, as one.
        is_alone: whether it may be heard without another one.
    """

    make: Callable[[RecogniserOptions], Recogniser]
    look: Callable[[RecogniserOptions], object]
    join: Callable[[Recogniser, Recogniser], Recogniser] = _pair
    is_alone: bool = True


def _make_sphinx(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.sphinx import SphinxRecogniser

    del options  # its model comes with its wheel
    return SphinxRecogniser()


def _look_for_sphinx(options: RecogniserOptions) -> object:
    del options
    return None  # its wheel is always here


def _make_vosk(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.vosk_ear import VoskRecogniser

    return VoskRecogniser(options.vosk_model)


def _look_for_vosk(options: RecogniserOptions) -> object:
    from assistant.ears.vosk_model import find_model

    return find_model(options.vosk_model)


def _make_second_ear(options: RecogniserOptions) -> Recogniser:
    from assistant.ears.second_ear import SecondEar

    return SecondEar(options.second_ear)


def _second(first: Recogniser, second: Recogniser) -> Recogniser:
    from assistant.ears.pair import SecondedRecogniser
    from assistant.ears.second_ear import SecondEar

    assert isinstance(second, SecondEar)  # noqa: S101 - its own maker made it
    return SecondedRecogniser(first, second)


def _look_for_second_ear(options: RecogniserOptions) -> object:
    from assistant.ears.second_ear_weights import find_weights

    return find_weights(options.second_ear)


MAKERS: dict[str, Maker] = {
    "vosk": Maker(_make_vosk, _look_for_vosk),
    "sphinx": Maker(_make_sphinx, _look_for_sphinx),
    "second-ear": Maker(_make_second_ear, _look_for_second_ear, _second, is_alone=False),
}
"""Every recogniser, in the order in which they are put together where they are here."""


def make_recogniser(name: str, options: RecogniserOptions | None = None) -> Recogniser:
    """Make a recogniser by its name, or several by their names with `+` between.

    Raises:
        EarsError: when there is none of that name, its model cannot be used, or the second ear
            would be heard alone.
    """
    return _put_together(_parts(name), options or RecogniserOptions())


def check_name(setting: str) -> None:
    """See that a setting names a recogniser; whether it can be used here is not looked at.

    Raises:
        EarsError: when there is none of that name, or the second ear would be heard alone.
    """
    if setting != AUTO:
        _parts(setting)


def _parts(name: str) -> list[str]:
    parts = name.split("+")
    for part in parts:
        if part not in MAKERS:
            raise EarsError(f"There is no recogniser '{part}'.", _choices())
    if not MAKERS[parts[0]].is_alone:
        raise EarsError(f"'{parts[0]}' is never heard alone.", _choices())
    return parts


def _choices() -> str:
    alone = [name for name, maker in MAKERS.items() if maker.is_alone]
    others = [name for name in MAKERS if name not in alone]
    return f"Choose {' or '.join(alone)}, alone or as {alone[-1]}+{others[0]}."


def _put_together(parts: list[str], options: RecogniserOptions) -> Recogniser:
    """Make the last one first: the second ear loads while the others are made."""
    maker = MAKERS[parts[-1]]
    last = maker.make(options)
    if len(parts) == 1:
        return last
    try:
        first = _put_together(parts[:-1], options)
    except BaseException:
        last.close()
        raise
    return maker.join(first, last)


def chosen_name(setting: str, options: RecogniserOptions | None = None) -> str:
    """Give the recogniser that a setting means: its name, or the best of this machine."""
    return best_name(options) if setting == AUTO else setting


def best_name(options: RecogniserOptions | None = None) -> str:
    """Name the best of this machine: all that are here, heard together."""
    return "+".join(name for name in MAKERS if not what_lacks(name, options))


def what_lacks(name: str, options: RecogniserOptions | None = None) -> str:
    """Say in a sentence why a recogniser cannot be used here; empty where nothing seems to lack."""
    try:
        MAKERS[name].look(options or RecogniserOptions())
    except EarsError as error:
        return str(error)
    return ""


def states(options: RecogniserOptions) -> dict[str, str]:
    """Say of each recogniser, and of the best together, whether it is ready or what it lacks.

    Each is really started; one that is never heard alone is tried among the best.
    """
    best = best_name(options)
    tried = {name: state_of(name, options) for name, maker in MAKERS.items() if maker.is_alone}
    together = tried.get(best) or state_of(best, options)
    for name in MAKERS:
        if name not in tried:
            tried[name] = what_lacks(name, options) or together
    return {**tried, best: together}


def state_of(name: str, options: RecogniserOptions) -> str:
    """Start a recogniser; say that it is ready, or what it lacks."""
    try:
        make_recogniser(name, options).close()
    except EarsError as error:
        return str(error)
    return "ready"
