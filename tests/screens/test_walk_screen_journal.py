"""The same answers give the same journal: typed on the screen, said to it, in plain lines."""

import queue
from collections.abc import Callable
from pathlib import Path

import pytest
from screen_driver import Seat, load_once, make_desk, only_session, run_walk, told

from assistant.cli import run
from assistant.desk.errands import WalkErrand
from assistant.ears.talk import TalkKey
from assistant.flow.library import shipped
from assistant.journal.session import Session
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence, Sound

UNIT = "AHU-2 Quarry Lane"


def demo_lines() -> list[str]:
    """Give what the recorded technician says, line by line."""
    table = shipped("demo_sessions") / "quarry_lane" / "lines.tsv"
    return [row.split("\t")[1] for row in table.read_text(encoding="utf-8").splitlines()]


class BlowerErrand(WalkErrand):
    """The demo's walk, by typing, or with a microphone that hears what it is given."""

    microphone: "HandedMicrophone | None" = None

    def begin(self) -> Session:
        """Begin the session on disk."""
        self.session = self._desk.begin(load_once("blower-psc"), UNIT)
        return self.session

    def open_microphone(self, report: Callable[[str], None]) -> "HandedMicrophone | None":
        """Give the microphone, where there is one."""
        del report
        return self.microphone


class HandedMicrophone:
    """A microphone that hears the words it is handed."""

    def __init__(self) -> None:
        self.talk = TalkKey()
        self.said: queue.Queue[Sound] = queue.Queue()
        self.is_closed = False

    def listen(self, expectation: Expectation) -> Sound:
        """Wait for words."""
        del expectation
        return self.said.get()

    def break_off(self) -> None:
        """End a listening that waits."""
        self.said.put(Silence("microphone"))

    def close(self) -> None:
        """Remember that it was closed."""
        self.is_closed = True
        self.said.put(HungUp(""))


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's words walked in plain lines, from a file."""
    folder = tmp_path_factory.mktemp("plain")
    answers = folder / "answers.txt"
    answers.write_text("\n".join(demo_lines()) + "\n", encoding="utf-8")
    ends = ["--answers", str(answers), "--sessions", str(folder / "kept")]
    assert run(["walk", "blower-psc", "--tech", "R.K.", "--unit", UNIT, *ends]) == 0
    return only_session(folder / "kept")


def test_typed_on_the_screen_the_journal_is_the_same(plain: Path, tmp_path: Path) -> None:
    """Every event but for where the words came from is the one of the plain walk."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*demo_lines())
        await seat.until(lambda: seat.walk.account is not None, "the end")
        await seat.see("A fault was found")

    run_walk(BlowerErrand(make_desk(tmp_path), "blower-psc"), script)
    assert told(plain) == told(only_session(tmp_path))


def test_said_to_the_screen_the_journal_is_the_same(plain: Path, tmp_path: Path) -> None:
    """Half said into a microphone, half typed beside it: the same events, each with its source."""
    errand = BlowerErrand(make_desk(tmp_path), "blower-psc")
    microphone = errand.microphone = HandedMicrophone()

    async def script(seat: Seat) -> None:
        await seat.begun()
        for number, line in enumerate(demo_lines()):
            turn = seat.turn
            if number % 2:
                await seat.answer(line)
                continue
            microphone.said.put(Heard(line, source="microphone"))
            await seat.until(lambda turn=turn: seat.is_past(turn), line)  # type: ignore[misc]
        await seat.until(lambda: seat.walk.account is not None, "the end")

    run_walk(errand, script)
    session = only_session(tmp_path)
    assert told(plain) == told(session)
    text = (session / "journal.jsonl").read_text(encoding="utf-8")
    assert text.count('"source":"microphone"') == (len(demo_lines()) + 1) // 2
    assert microphone.is_closed
