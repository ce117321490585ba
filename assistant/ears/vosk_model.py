"""The vosk model on disk: where it is looked for, what is checked, how it is fetched.

Everything is checked here because the library itself raises a bare exception, ends the process or
goes to the network (vosk 0.3.45, by trial).
"""

import os
import shutil
import tempfile
import urllib.error
import urllib.request
import zipfile
from pathlib import Path

from platformdirs import user_cache_path

from assistant.ears.sound import EarsError

MODEL_NAME = "vosk-model-small-en-us-0.15"
MODEL_ADDRESS = f"https://alphacephei.com/vosk/models/{MODEL_NAME}.zip"
MODEL_VARIABLE = "RUNGSIDE_VOSK_MODEL"

_NEEDED = ("am/final.mdl", "conf/mfcc.conf", "graph/Gr.fst", "graph/HCLr.fst", "ivector/final.ie")
_LARGEST_BYTES = 400 * 1024 * 1024
_TIMEOUT_SECONDS = 30
_HINT = "Fetch it with 'rungside doctor --fetch', or go on with pocketsphinx."


def usual_folder() -> Path:
    """Give the folder that a fetched model is put in."""
    return user_cache_path("rungside") / MODEL_NAME


def find_model(given: Path | None = None) -> Path:
    """Find the model: the folder given, else that of the environment, else the usual one.

    Raises:
        EarsError: when it is not there, or is no complete model that takes grammars.
    """
    folder = given or Path(os.environ.get(MODEL_VARIABLE) or usual_folder())
    if not folder.is_dir():
        raise EarsError(f"There is no vosk model in {folder}.", _HINT)
    missing = [name for name in _NEEDED if not (folder / name).is_file()]
    if missing:
        raise EarsError(
            f"{folder} is no vosk model that takes grammars: it lacks {', '.join(missing)}.", _HINT
        )
    empty = [name for name in _NEEDED if not (folder / name).stat().st_size]
    if empty:
        raise EarsError(f"The vosk model in {folder} is broken: {empty[0]} is empty.", _HINT)
    return folder


def _download(address: str, archive: Path) -> None:
    try:
        with (
            urllib.request.urlopen(address, timeout=_TIMEOUT_SECONDS) as answer,  # noqa: S310
            archive.open("wb") as file,
        ):
            shutil.copyfileobj(answer, file)
    except (urllib.error.URLError, OSError, ValueError) as error:
        reason = getattr(error, "reason", error)
        raise EarsError(
            f"The vosk model could not be fetched from {address}: {reason}.",
            "Try again with a network, or go on with pocketsphinx.",
        ) from error


def _check_archive(archive: zipfile.ZipFile, address: str) -> None:
    """Refuse an archive that is damaged, far too large or writes outside its folder."""
    for entry in archive.infolist():
        path = Path(entry.filename.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts:
            raise EarsError(
                f"The archive from {address} would write outside its folder: {entry.filename}.",
                "Do not use it.",
            )
    if sum(entry.file_size for entry in archive.infolist()) > _LARGEST_BYTES:
        raise EarsError(f"The archive from {address} is far too large.", "Do not use it.")
    damaged = archive.testzip()
    if damaged:
        raise EarsError(f"The archive from {address} is damaged at {damaged}.", "Fetch it again.")


def _unpack(archive_path: Path, folder: Path, address: str) -> Path:
    """Unpack and give the folder that holds the model."""
    try:
        with zipfile.ZipFile(archive_path) as archive:
            _check_archive(archive, address)
            archive.extractall(folder)
    except zipfile.BadZipFile as error:
        raise EarsError(f"What {address} gave is no archive.", "Fetch it again.") from error
    held = [path.parent.parent for path in folder.glob("**/am/final.mdl")]
    return find_model(held[0] if held else folder)


def fetch_vosk_model(target: Path | None = None, address: str = MODEL_ADDRESS) -> Path:
    """Fetch the small English model (40 MB) and put it in place in one step.

    Args:
        target: the folder it shall be; None: the usual one. One that holds a good model already
            is left alone.
        address: where the archive is.

    Returns:
        The folder of the model.

    Raises:
        EarsError: when there is no network, the archive is bad, or the folder cannot be written.
    """
    folder = target or usual_folder()
    if folder.exists():
        return find_model(folder)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".fetching-", dir=folder.parent) as scratch:
            archive = Path(scratch) / "model.zip"
            _download(address, archive)
            _unpack(archive, Path(scratch) / "unpacked", address).rename(folder)
    except OSError as error:
        raise EarsError(
            f"The vosk model cannot be put in {folder}: {error.strerror}.",
            "Name a folder that may be written.",
        ) from error
    return folder
