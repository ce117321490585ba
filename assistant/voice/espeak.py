"""Find the espeak-ng library: the system's, or the one that came with our own installation.

pyttsx3 asks the dynamic loader for the library by its soname. Loading the packaged library first,
with its symbols global, makes the loader answer with that one. Its data folder must be named in
the environment before the engine starts, because the path built into it does not exist here.
"""

import contextlib
import ctypes
import os
import sys
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from assistant.voice.errors import VoiceError

SYSTEM_NAMES = ("libespeak-ng.so.1", "libespeak.so.1")
DATA_VARIABLE = "ESPEAK_DATA_PATH"


class Origin(StrEnum):
    """Where the speech library comes from."""

    SYSTEM = "system"
    PACKAGED = "packaged"
    BUILT_IN = "built_in"


@dataclass(frozen=True, slots=True)
class Library:
    """The speech library that is in use.

    Args:
        origin: where it comes from; `BUILT_IN` on systems that speak by themselves.
        version: as it tells it, `1.52.0`; empty when it does not.
    """

    origin: Origin
    version: str = ""


def load_library(*, is_packaged_wanted: bool = False) -> Library:
    """Make an espeak-ng library ready for pyttsx3 in this process.

    Args:
        is_packaged_wanted: take the packaged library even where the system has one; for the case
            that the system's is broken.

    Raises:
        VoiceError: neither the system nor our installation has one that loads.
    """
    if sys.platform in {"darwin", "win32"}:
        return Library(Origin.BUILT_IN)
    if not is_packaged_wanted:
        for name in SYSTEM_NAMES:
            with contextlib.suppress(OSError):
                return Library(Origin.SYSTEM, read_version(ctypes.CDLL(name)))
    return Library(Origin.PACKAGED, read_version(load_packaged()))


def load_packaged() -> ctypes.CDLL:
    """Load the packaged library for all of this process and name its data folder.

    Raises:
        VoiceError: it is not installed, or not made for this machine.
    """
    try:
        path, data = find_packaged()
        library = ctypes.CDLL(str(path), ctypes.RTLD_GLOBAL)
    except (ImportError, OSError, RuntimeError) as trouble:
        raise VoiceError(
            "There is no espeak-ng speech library that loads on this machine.",
            "Install the system's espeak-ng package, or walk with --text.",
        ) from trouble
    os.environ[DATA_VARIABLE] = str(data)
    return library


def find_packaged() -> tuple[Path, Path]:
    """Give the packaged library's file and its data folder.

    The file with the soname's own name is taken: the loader then knows it under that name.

    Raises:
        ImportError: the package is not installed.
        RuntimeError: its data folder is missing.
    """
    import espeakng_loader

    plain = Path(espeakng_loader.get_library_path())
    versioned = plain.with_name(plain.name + ".1")
    return (versioned if versioned.exists() else plain), Path(espeakng_loader.get_data_path())


def read_version(library: ctypes.CDLL) -> str:
    """Ask the library which version it is; empty when it does not say."""
    try:
        ask = library.espeak_Info
    except AttributeError:
        return ""
    ask.restype = ctypes.c_char_p
    answer = ask(None)
    return answer.decode("ascii", "replace").split(" ")[0] if isinstance(answer, bytes) else ""
