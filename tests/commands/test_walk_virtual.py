"""A walk by voice in a terminal, as a user walks it: real capture, real recogniser, real voice."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.desk.opening import recorded_answers
from tests.tools.pty_program import PtyProgram
from tests.tools.virtual_sound import LOUDSPEAKER, MICROPHONE, VirtualSound

F12 = "\x1b[24~"
WAITING = "Talk key: press F12 and speak."
NO_GAS, QUALIFIED = recorded_answers()[:2]


@pytest.fixture
def terminal(virtual_sound: VirtualSound, tmp_path: Path) -> Iterator[PtyProgram]:
    """Walk with a talk key in a terminal."""
    virtual_sound.make_noise()
    made = PtyProgram(
        [sys.executable, "-m", "assistant", "walk", "blower-psc", "--voice", "--tech", "RK"],
        {
            "RUNGSIDE_SESSIONS": str(tmp_path / "sessions"),
            "RUNGSIDE_TALK": "push",
            "RUNGSIDE_TALK_KEY": "f12",
            "RUNGSIDE_RECOGNISER": "sphinx",
            "RUNGSIDE_VOICE_RATE": "285",
            "XDG_CONFIG_HOME": str(tmp_path / "config"),
        },
    )
    yield made
    made.close()


def test_a_step_is_walked_by_sound_and_the_next_without_a_microphone(
    virtual_sound: VirtualSound, terminal: PtyProgram, tmp_path: Path
) -> None:
    """What is said while the key is down is taken; what is said before is not.

    Then the devices go: the walk goes on by typing, and is told when they are back.
    """
    terminal.see(WAITING)
    virtual_sound.say(QUALIFIED)
    terminal.type(F12)
    terminal.see("LISTENING")
    virtual_sound.say(NO_GAS)
    terminal.type(F12)
    terminal.see("You: no gas")
    terminal.see("CAUTION: Rungside is a helper.")
    terminal.see(WAITING, times=2)
    virtual_sound.pull_out(MICROPHONE)
    virtual_sound.pull_out(LOUDSPEAKER)
    terminal.see(f"The microphone '{MICROPHONE}' is gone. Type the answers meanwhile.")
    terminal.see(f"The loudspeaker '{LOUDSPEAKER}' is gone. What it would say is shown.")
    terminal.type("I am qualified\r")
    terminal.see("Step: What does the blower do?")
    virtual_sound.plug_in_loudspeaker()
    virtual_sound.plug_in_microphone()
    terminal.see(f"The microphone '{MICROPHONE}' is back and listens.")
    terminal.see(f"The loudspeaker '{LOUDSPEAKER}' is back.")
    terminal.type("\x04")
    assert 1 == terminal.end()
    assert "the session is kept, unsealed" in terminal.seen
    assert terminal.is_as_before
    journal = next((tmp_path / "sessions").glob("*/journal.jsonl")).read_text()
    assert '"source":"microphone"' in journal.replace('": "', '":"')
    assert '"source":"typed"' in journal.replace('": "', '":"')
