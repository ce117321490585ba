"""A speech engine that hangs is killed and started again; the walk loses no step by it."""

import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.ears.typed import LineEars
from assistant.flow.library import open_flow
from assistant.journal.session import Session, conduct
from assistant.voice.aloud import SpokenVoice
from assistant.voice.process import SpeechProcess, worker_command
from assistant.voice.samples import Samples
from assistant.voice.synthesis import ATTEMPTS, Synthesiser
from assistant.voice.written import BothVoices
from assistant.walk.ends import Utterance
from assistant.walk.walk import Walk

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
ANSWERS = ("it runs", "ten", "lock it out", "locked out", "zero")


def clock() -> datetime:
    """Give always the same time."""
    return datetime(2026, 5, 1, tzinfo=UTC)


HANGING = """
import time
from assistant.voice import worker
render = worker.carry_out
count = [0]
def carry_out(engine, line):
    count[0] += 1
    if count[0] == {nth}:
        time.sleep(600)
    return render(engine, line)
worker.carry_out = carry_out
worker.main()
"""
"""A speech process whose engine hangs at its `nth` text."""


class Loudspeaker:
    """Counts the sounds it is given."""

    def __init__(self) -> None:
        self.played = 0

    def play(self, samples: Samples) -> None:
        """Count."""
        self.played += samples.frames > 0

    def stop(self) -> None:
        """Do nothing."""

    def close(self) -> None:
        """Do nothing."""


class Paper:
    """Keeps what is shown."""

    def __init__(self) -> None:
        self.shown: list[Utterance] = []

    def say(self, utterance: Utterance) -> None:
        """Keep."""
        self.shown.append(utterance)

    def close(self) -> None:
        """Do nothing."""


class Engines:
    """Starts speech processes: each hangs at the text that was named for it; then good ones."""

    def __init__(self, *hang_at: int) -> None:
        self._hang_at = list(hang_at)
        self.started: list[SpeechProcess] = []

    def start(self, *options: str) -> SpeechProcess:
        """Start one."""
        command = worker_command(*options)
        if self._hang_at:
            script = HANGING.format(nth=self._hang_at.pop(0))
            command = (sys.executable, "-P", "-c", script, *options)
        self.started.append(SpeechProcess(command))
        return self.started[-1]


def walk_aloud(folder: Path, engines: Engines) -> tuple[list[str], Loudspeaker, Paper]:
    """Walk with a voice; give the kinds of events, and what was played and shown."""
    session = Session.begin(Walk(open_flow(str(KETTLE))), folder, "s1", clock=clock)
    loudspeaker, paper = Loudspeaker(), Paper()
    told = list[str]()
    with Synthesiser(engines.start, render_seconds=0.5) as synthesiser:
        voice = SpokenVoice(synthesiser, loudspeaker, told.append)
        conduct(session, LineEars(ANSWERS), BothVoices([paper, voice]))
    session.close()
    assert [] == told
    lines = (folder / "s1" / "journal.jsonl").read_text().splitlines()
    return lines, loudspeaker, paper


@pytest.mark.parametrize("hang_at", [(1,), (3,), (2, 2), (4, 1)])
def test_each_utterance_is_said_though_the_engine_hangs(
    tmp_path: Path, hang_at: tuple[int, ...]
) -> None:
    """The hung process is gone, another one said the same text, and the walk is the same."""
    assert len(hang_at) < ATTEMPTS
    engines = Engines(*hang_at)
    lines, loudspeaker, paper = walk_aloud(tmp_path / "hung", engines)
    plain, _, shown = walk_aloud(tmp_path / "plain", Engines())
    assert len(engines.started) == len(hang_at) + 1
    assert all(process._process.poll() is not None for process in engines.started)
    assert paper.shown == shown.shown
    assert loudspeaker.played == len(paper.shown)
    assert len(lines) == len(plain)
