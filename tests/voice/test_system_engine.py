"""The engine for systems with speech of their own, tried through pyttsx3's espeak driver."""

import subprocess
import sys

import pytest

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
