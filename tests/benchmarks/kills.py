"""Real walks ended with SIGKILL at random moments: what was acknowledged, and what is there after.

    python tests/benchmarks/kills.py [--kills 1000] [--cold 10] [--seed 1]

A child process walks a flow by the command (`rungside walk --answers`, then `--resume`) and is
ended at a random moment, before its first word, within a turn, while it seals. Each time the
session is read back and held to what the child had printed:

- lost: a line that was printed and is not on the disk, or stands there otherwise;
- doubled: an answer, an event or a number that stands there twice, or that nobody gave;
- unreadable: a session with any damage, or one that does not go on;
- astray: a session that goes on at another step than where it stood.

Most children are forked off this process, which has the program loaded, so that most of their life
is the walk; one in `--cold` is a new interpreter. Prints the counts as one line of JSON; exit 1
where one of the four is not zero.
"""

import argparse
import copy
import io
import json
import os
import random
import select
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import redirect_stdout, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn, Protocol

from assistant.bench.ground import lay_ground
from assistant.bench.practice import hide_fault
from assistant.bench.walking import make_technician
from assistant.cli import run
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.journal.line import Line
from assistant.journal.reading import JOURNAL, Record, read_journal
from assistant.journal.replay import replay
from assistant.voice.written import format_line
from assistant.walk.ends import Heard, Role, Utterance
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
"""A small flow, so that most of a child's life is spent writing."""

BY_STEP = {
    "look": "it runs",
    "rating": "ten",
    "safe/lock": "locked out",
    "safe/test": "zero",
    "safe/bled": "it is bled",
    "can": "ten",
    "low": "seventeen point five",
    "high": "nine point eight seven",
    "live/clear": "power is on",
    "volts": "one eighteen",
    "close": "it is closed up",
}
"""What is said at each step of the small flow, so that it ends without a finding."""


class Answering(Protocol):
    """Whoever answers a walk; copied, it answers as it would have."""

    def answer(self, state: State) -> str:
        """Give the words for a turn."""


class ByTable:
    """Answers the small flow from a table.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self._flow = flow

    def __deepcopy__(self, memo: object) -> "ByTable":
        """Give itself: it remembers nothing."""
        return self

    def answer(self, state: State) -> str:
        """Give the words for a turn."""
        if state.turn is Turn.CAUTION:
            return self._flow.cautions[state.subject].answer[0]
        if state.turn is Turn.CONDITION:
            name, _, value = state.subject.partition("=")
            return self._flow.vocabulary.conditions[name].phrases[value][0]
        return "yes" if state.turn is Turn.CONFIRM else BY_STEP[state.step]


@dataclass(frozen=True, slots=True)
class Stage:
    """A flow that is walked.

    Args:
        name: its name or file, as the command takes it.
        walk: the walk.
        answering: makes someone who answers it.
    """

    name: str
    walk: Walk
    answering: Callable[[], Answering]


def kettle() -> Stage:
    """Give the small flow."""
    walk = Walk(open_flow(str(KETTLE)))
    return Stage(str(KETTLE), walk, lambda: ByTable(walk.flow))


def shipped(flow: str, fault: str) -> Stage:
    """Give a shipped flow, answered by the bench for a unit with a fault."""
    ground = lay_ground(open_flow(flow), ())
    case = hide_fault(ground, 5, fault)
    unit = ground.units[case.unit]
    return Stage(
        flow,
        Walk(ground.flow),
        lambda: make_technician(ground.flow, unit, case, ground.catalogue),
    )


class Child:
    """One run of the command.

    Args:
        arguments: of the command.
        is_cold: whether it is a new interpreter, not a fork of this one.
    """

    def __init__(self, arguments: Sequence[str], *, is_cold: bool) -> None:
        sys.stdout.flush()
        self._source, sink = os.pipe()
        self._process: subprocess.Popen[bytes] | None = None
        if is_cold:
            command = [sys.executable, "-m", "assistant", *arguments]
            self._process = subprocess.Popen(command, stdout=sink, stderr=sink)
            self.pid = self._process.pid
        else:
            self.pid = os.fork()
            if not self.pid:
                self._run_here(arguments, sink)
        os.close(sink)

    @staticmethod
    def _run_here(arguments: Sequence[str], sink: int) -> NoReturn:
        """Run the command in a fork, which ends here whatever comes."""
        try:
            os.dup2(sink, 1)
            os.dup2(sink, 2)
            # Made anew: what stood on the old place may have been a file, and a pipe is none.
            sys.stdout = sys.stderr = os.fdopen(1, "w", encoding="utf-8", closefd=False)
            code = run(list(arguments))
        except BaseException:  # noqa: BLE001 - nothing of it may reach the parent
            traceback.print_exc()
            code = 70
        finally:
            sys.stdout.flush()
            os._exit(code)

    def wait_for_words(self, seconds: float) -> None:
        """Wait until it has printed something, or is gone, or the time is over."""
        select.select([self._source], [], [], seconds)

    def kill(self, after: float) -> tuple[str, bool]:
        """End it after a while; give all it printed, and whether it had ended by itself."""
        time.sleep(after)
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        if self._process is not None:
            code = self._process.wait()
        else:
            code = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
        with os.fdopen(self._source, "rb") as pipe:
            printed = pipe.read().decode()
        return printed, code != -signal.SIGKILL


def acknowledged(line: Line) -> str:
    """Give what the command prints once a line is on the disk; empty for most lines."""
    data = line.data
    if line.kind == "heard":
        return f"You: {data['words']}"
    if line.kind == "said":
        said = Utterance(Role(str(data["role"])), str(data["text"]), str(data["shown"]))
        return format_line(said)
    return ""


@dataclass
class Lives:
    """One session through its kills.

    Args:
        stage: what is walked.
        sessions: the folder of the sessions.
        counts: what is counted, over all sessions.
    """

    stage: Stage
    sessions: Path
    counts: Counter[str]
    troubles: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Stand where the walk begins."""
        self._state = self.stage.walk.begin().state
        self._answering = self.stage.answering()
        self._lines = 0
        self._resumed = 0

    @property
    def folder(self) -> Path | None:
        """Give the session's folder, once it has a whole line."""
        for folder in self.sessions.iterdir():
            with suppress(OSError):
                if b"\n" in (folder / JOURNAL).read_bytes():
                    return folder
        return None

    def live(self, child: Callable[[Sequence[str]], tuple[str, bool]]) -> bool:
        """Run the command once to its violent end; true when the walk is over and sealed.

        Args:
            child: runs the command with arguments, gives what it printed and whether it ended.
        """
        answers = self._look_ahead()
        file = self.sessions.parent / "answers.txt"
        file.write_text("\n".join(answers), encoding="utf-8")
        before = self.folder
        options = ["--answers", str(file), "--sessions", str(self.sessions)]
        how = [] if before is None else ["--resume", before.name]
        printed, is_ended = child(["walk", self.stage.name, *how, *options])
        self.counts["ended" if is_ended else "killed"] += 1
        after = self.folder
        if after is None:
            self._hold(not printed, "lost", "printed, and no session")
            return False
        record = read_journal(after)
        self._read_back(record, answers, printed.split("\n")[:-1])
        return record.is_sealed

    def _look_ahead(self) -> list[str]:
        """Give all answers from here to the walk's end."""
        state, answering = self._state, copy.deepcopy(self._answering)
        answers = []
        while not state.is_over:
            answers.append(answering.answer(state))
            state = self.stage.walk.hear(state, Heard(answers[-1])).state
        return answers

    def _read_back(self, record: Record, answers: Sequence[str], printed: Sequence[str]) -> None:
        self._hold(not record.damage, "unreadable", str(record.damage))
        lines = record.lines
        numbers = [line.seq for line in lines]
        self._hold(numbers == list(range(1, len(lines) + 1)), "doubled", "a number")
        kinds = Counter(line.kind for line in lines)
        self._hold(kinds["began"] == 1 >= kinds["sealed"], "doubled", "a beginning or a seal")
        self._hold(len(lines) >= self._lines, "lost", "lines of an earlier run")
        begun = self._begun_at(lines)
        heard = [str(line.data["words"]) for line in lines[begun:] if line.kind == "heard"]
        self._hold(heard == list(answers[: len(heard)]), "doubled", f"{heard} of {answers}")
        told = [text for line in lines[begun:] if (text := acknowledged(line))]
        kept = list(printed[: printed.index("")]) if "" in printed else list(printed)
        self._hold(kept == told[: len(kept)], "lost", f"{kept[-1:]} is not in the journal")
        self.counts["acknowledged"] += len(kept)
        self._follow(heard)
        again = replay(record, self.stage.walk)
        self._hold(not again.differences, "astray", str(again.differences[:1]))
        self._state = self.stage.walk.go_on(again.state).state
        self._lines = len(lines)

    def _begun_at(self, lines: Sequence[Line]) -> int:
        """Give the place of the line with which this run began; behind all where it did not."""
        places = [place for place, line in enumerate(lines) if line.kind in {"began", "resumed"}]
        if len(places) == self._resumed:
            return len(lines)
        self._resumed = len(places)
        return places[-1]

    def _follow(self, heard: Sequence[str]) -> None:
        """Let who answers live through the turns that stand on the disk."""
        state = self._state
        for words in heard:
            self._answering.answer(state)
            state = self.stage.walk.hear(state, Heard(words)).state

    def _hold(self, is_good: bool, kind: str, what: str) -> None:
        if not is_good:
            self.counts[kind] += 1
            self.troubles.append(f"{kind}: {what}")


BAD = ("lost", "doubled", "unreadable", "astray")


@dataclass
class Harness:
    """Kills until there were enough.

    Args:
        kills: how many.
        cold: one child in so many is a new interpreter.
        chance: of the moments.
        stages: what is walked, in turn.
    """

    kills: int
    cold: int
    chance: random.Random
    stages: Sequence[Stage]

    def __post_init__(self) -> None:
        """Count nothing yet."""
        self.counts: Counter[str] = Counter()
        self.troubles: list[str] = []
        self._runs = 0
        self._longest: dict[str, float] = {}

    def go(self) -> None:
        """Walk and kill."""
        while self.counts["killed"] < self.kills:
            stage = self.stages[self.counts["sessions"] % len(self.stages)]
            self.counts["sessions"] += 1
            with tempfile.TemporaryDirectory() as name:
                sessions = Path(name) / "sessions"
                sessions.mkdir()
                self._session(Lives(stage, sessions, self.counts, self.troubles))

    def _session(self, lives: Lives) -> None:
        is_sealed = False
        while not is_sealed and self.counts["killed"] < self.kills:
            is_sealed = lives.live(lambda arguments: self._child(lives.stage, arguments))
        self.counts["sealed"] += is_sealed

    def _child(self, stage: Stage, arguments: Sequence[str]) -> tuple[str, bool]:
        self._runs += 1
        is_cold = self._runs % self.cold == 0
        child = Child(arguments, is_cold=is_cold)
        span = self._longest.setdefault(stage.name, 0.1)
        if self.chance.random() < 0.9:
            child.wait_for_words(60)
            delay = self.chance.random() * span
        else:
            delay = self.chance.random() * (1.5 if is_cold else 0.5)
        printed, is_ended = child.kill(delay)
        # So that the moments cover a whole walk, and few walks get to their end unharmed.
        self._longest[stage.name] = span * (0.8 if is_ended else 1.05)
        return printed, is_ended


def rehearse(stage: Stage) -> None:
    """Walk once to the end in this process, so that its forks have all loaded that a walk needs."""
    with tempfile.TemporaryDirectory() as name, redirect_stdout(io.StringIO()):
        sessions = Path(name) / "sessions"
        sessions.mkdir()
        lives = Lives(stage, sessions, Counter())
        lives.live(lambda arguments: (str(run(list(arguments)))[:0], True))


def main() -> int:
    """Kill, count, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--cold", type=int, default=10, help="one child in so many starts anew")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    chance = random.Random(given.seed)  # noqa: S311  a test's own chance
    stages = [kettle(), kettle(), kettle(), shipped("capacitor", "capacitor_weak")]
    for stage in stages[2:]:
        rehearse(stage)
    harness = Harness(given.kills, given.cold, chance, stages)
    began = time.monotonic()
    harness.go()
    counts = {key: harness.counts[key] for key in ("killed", "ended", "sessions", "sealed")}
    counts |= {"acknowledged": harness.counts["acknowledged"]}
    counts |= {kind: harness.counts[kind] for kind in BAD}
    sys.stdout.flush()
    print(json.dumps({**counts, "seconds": round(time.monotonic() - began, 1)}))
    for trouble in harness.troubles[:20]:
        print(trouble, file=sys.stderr)
    return 1 if any(counts[kind] for kind in BAD) else 0


if __name__ == "__main__":
    sys.exit(main())
