"""The engine for systems with speech of their own, tried through pyttsx3's espeak driver."""

import subprocess
import sys
import wave
from collections.abc import Callable
from pathlib import Path

import pytest
import pyttsx3

from assistant.voice.engines import Order, SystemEngine

RENDER = """
import os, sys, tempfile
from pathlib import Path
from assistant.voice.engines import Order, SystemEngine
from assistant.voice.errors import VoiceError
from assistant.voice.espeak import load_library
from assistant.voice.samples import read_wav
answers = os.fdopen(os.dup(1), "w")
sys.stdout = open(os.devnull, "w")
load_library(is_packaged_wanted=True)
with tempfile.TemporaryDirectory() as folder:
    engine = SystemEngine(Path(folder))
    for text in ("Set the meter to ohms.", "Yes.", "Set the meter to ohms."):
        print(read_wav(engine.render(Order(text, 165, 0.8))).seconds, file=answers)
    try:
        engine.render(Order("Yes.", 165, 0.8, "klingon"))
    except VoiceError as trouble:
        print(trouble, file=answers)
answers.flush()
os._exit(0)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="uses the packaged espeak-ng library")
def test_renders_through_files() -> None:
    """Each text gives its own sound, the same one again, and an unknown voice is named."""
    run = subprocess.run(
        [sys.executable, "-c", RENDER], capture_output=True, text=True, check=True, timeout=30
    )
    first, short, again, refusal = run.stdout.splitlines()
    assert float(first) > 2 * float(short) > 0
    assert pytest.approx(float(first), abs=0.1) == float(again)
    assert "There is no voice named klingon here." == refusal


class HastyEngine:
    """An engine whose first endings are those of a text before: it writes a file without sound."""

    driver_name = "hasty"

    def __init__(self, hasty: int) -> None:
        self.hasty, self.rendered = hasty, 0
        self._finish: Callable[..., None] = lambda **_: None
        self._path = ""

    def connect(self, topic: str, call: Callable[..., None]) -> None:
        """Remember who is told of an end."""
        assert topic == "finished-utterance"
        self._finish = call

    def getProperty(self, name: str) -> list[object]:  # noqa: N802 - pyttsx3's name
        """Have no voices."""
        del name
        return []

    def setProperty(self, name: str, value: object) -> None:  # noqa: N802 - pyttsx3's name
        """Take any."""

    def save_to_file(self, text: str, path: str) -> None:
        """Remember where."""
        del text
        self._path = path

    def runAndWait(self) -> None:  # noqa: N802 - pyttsx3's name
        """Write a sound, but for the first times an empty one."""
        self.rendered += 1
        with wave.open(self._path, "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(22050)
            file.writeframes(b"" if self.rendered <= self.hasty else bytes(2000))
        self._finish(completed=True)


@pytest.mark.parametrize(("hasty", "rendered", "length"), [(0, 1, 2044), (1, 2, 2044), (9, 3, 44)])
def test_a_file_without_sound_is_rendered_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hasty: int, rendered: int, length: int
) -> None:
    """A step must not be silent because the engine was too quick; a text without sound ends too."""
    engine = HastyEngine(hasty)
    monkeypatch.setattr(pyttsx3, "init", lambda: engine)
    assert len(SystemEngine(tmp_path).render(Order("Yes.", 165, 0.8))) == length
    assert engine.rendered == rendered
