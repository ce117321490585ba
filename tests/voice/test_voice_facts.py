"""What the doctor says about the voice, here and where the system has nothing."""

import os
import shutil
import subprocess
import sys

import pytest

from assistant.devices import NULL_BACKEND
from assistant.voice.facts import VoiceFacts, voice_facts
from assistant.voice.player import Outputs
from assistant.voice.synthesis import EngineFacts

ENGINE = EngineFacts("espeak", "packaged", "1.52.0", ("gmw/en-US",))
HEADSET = Outputs("ALSA", ("headset",))
NONE = Outputs(NULL_BACKEND, ())


@pytest.mark.parametrize(
    ("facts", "can_speak", "words"),
    [
        (VoiceFacts(ENGINE, HEADSET), True, "Nothing needs doing"),
        (VoiceFacts(ENGINE, NONE), False, "Connect a loudspeaker"),
        (VoiceFacts(None, HEADSET, "No library."), False, "No library. Walk with --text"),
        (VoiceFacts(None, NONE, "No library."), False, "No library. Walk with --text"),
    ],
)
def test_advice_is_one_sentence_to_act_on(facts: VoiceFacts, can_speak: bool, words: str) -> None:
    """Each case says whether speech would be heard and what to do."""
    assert can_speak == facts.can_speak
    assert facts.advice.startswith(words)
    assert facts.advice == facts.lines[-1]


def test_lines_name_the_engine_and_each_output() -> None:
    """A person reads which engine, where from, and the outputs by name."""
    assert (
        "speech engine: espeak 1.52.0, installed with Rungside",
        "sound outputs (ALSA): headset",
    ) == VoiceFacts(ENGINE, HEADSET).lines[:2]
    assert (
        "speech engine: none",
        "sound outputs (Null): none",
    ) == VoiceFacts(None, NONE, "No library.").lines[:2]


def test_this_machine_has_an_engine() -> None:
    """With the project installed there is always an engine, from one place or the other."""
    facts = voice_facts()
    assert facts.engine is not None
    assert "" == facts.trouble


# Hides what a system may have of speech and sound, for one command and its children.
BARE = r"""
empty=$(mktemp -d)
for f in /usr/lib/*/libespeak*.so* /usr/lib/*/libasound.so* /usr/lib/*/libpulse*.so* \
         /usr/lib/*/libjack*.so* /usr/bin/aplay /usr/bin/espeak-ng; do
  [ -e "$f" ] && mount --bind /dev/null "$(readlink -f "$f")"
done
for d in /usr/lib/*/espeak-ng-data /usr/share/espeak-ng-data; do
  [ -d "$d" ] && mount --bind "$empty" "$d"
done
exec "$@"
"""

TELL = """
from assistant.devices import NULL_BACKEND
from assistant.voice.facts import voice_facts
from assistant.voice.synthesis import Synthesiser
facts = voice_facts()
with Synthesiser() as made:
    seconds = made.render("Set the meter to ohms.").seconds
print(facts.engine.origin, facts.outputs.backend, facts.can_speak, seconds > 1)
"""


def can_hide_libraries() -> bool:
    """Tell whether this user may hide files from a command."""
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("unshare") is None:
        return False
    trial = ["unshare", "-m", "mount", "--bind", "/dev/null", "/etc/hostname"]
    return subprocess.run(trial, capture_output=True, check=False).returncode == 0


@pytest.mark.skipif(not can_hide_libraries(), reason="needs root on Linux to hide system libraries")
def test_speaks_where_the_system_has_nothing() -> None:
    """With every speech and sound library hidden, the packaged engine still renders."""
    run = subprocess.run(
        ["unshare", "-m", "bash", "-c", BARE, "_", sys.executable, "-c", TELL],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ("packaged Null False True\n", "") == (run.stdout, run.stderr)
