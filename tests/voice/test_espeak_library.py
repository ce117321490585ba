"""The speech library is found on the system or beside our own installation."""

import ctypes
import ctypes.util
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.voice import espeak
from assistant.voice.errors import VoiceError

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="elsewhere the system speaks by itself"
)

SONAME = "libespeak-ng.so.1"

LOAD_PACKAGED = """
import ctypes, os
from assistant.voice.espeak import load_library
library = load_library(is_packaged_wanted=True)
ctypes.CDLL("libespeak-ng.so.1")
paths = {line.split()[-1] for line in open("/proc/self/maps") if "libespeak-ng" in line}
print(library.origin, library.version, os.environ["ESPEAK_DATA_PATH"], *paths, sep="\\n")
"""


def has_system_library() -> bool:
    """Tell whether the system itself has espeak-ng."""
    return ctypes.util.find_library("espeak-ng") is not None


def test_packaged_library_has_data_and_soname_file() -> None:
    """The packaged library's file is the one under its soname, and its data has English."""
    library, data = espeak.find_packaged()
    assert SONAME == library.name
    assert (data / "en_dict").is_file()


def test_packaged_library_answers_for_the_soname() -> None:
    """Once loaded, asking for the soname gives the packaged library, even beside a system one."""
    run = subprocess.run(
        [sys.executable, "-c", LOAD_PACKAGED], capture_output=True, text=True, check=True
    )
    origin, version, data, *paths = run.stdout.split("\n")[:-1]
    library, packaged_data = espeak.find_packaged()
    assert "packaged" == origin
    assert version[0].isdigit()
    assert str(packaged_data) == data
    assert [library.resolve()] == [Path(path).resolve() for path in paths]


def test_system_library_is_preferred(monkeypatch: pytest.MonkeyPatch) -> None:
    """A system library that loads is taken; the packaged one is left alone."""
    monkeypatch.setattr(espeak, "SYSTEM_NAMES", ("libc.so.6",))
    monkeypatch.setattr(espeak, "load_packaged", lambda: pytest.fail("packaged was loaded"))
    assert espeak.Library(espeak.Origin.SYSTEM) == espeak.load_library()


def test_packaged_is_next(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no system library loads, the packaged one is taken and tells its version."""
    monkeypatch.setattr(espeak, "SYSTEM_NAMES", ("libno-such-speech.so.1",))
    monkeypatch.setenv(espeak.DATA_VARIABLE, "elsewhere")
    library = espeak.load_library()
    assert espeak.Origin.PACKAGED == library.origin
    assert library.version >= "1.5"


def test_no_library_at_all_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """With neither, the error says what is missing and what would help."""

    def refuse() -> tuple[Path, Path]:
        raise ImportError

    monkeypatch.setattr(espeak, "SYSTEM_NAMES", ())
    monkeypatch.setattr(espeak, "find_packaged", refuse)
    with pytest.raises(VoiceError, match="no espeak-ng speech library") as caught:
        espeak.load_library()
    assert "--text" in caught.value.hint


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_other_systems_speak_by_themselves(platform: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is loaded where the system has an engine of its own."""
    monkeypatch.setattr(sys, "platform", platform)
    assert espeak.Library(espeak.Origin.BUILT_IN) == espeak.load_library()
