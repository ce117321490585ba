"""The talk key on the walk screen: its state in words, and what it is while something is typed."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from screen_driver import KETTLE, KettleErrand, Seat, make_desk, run_walk
from textual.widgets import Input

from assistant.ears.talk import TalkKey, TalkMode
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, Silence, Sound


class TalkingMicrophone:
    """A microphone that hears one answer while its key is down."""

    def __init__(self, words: str, key: str) -> None:
        self.talk = TalkKey(TalkMode.PUSH, key)
        self._words = words
        self._is_released, self._is_broken_off = threading.Event(), threading.Event()
        self.talk.on_release(self._is_released.set)

    def listen(self, expectation: Expectation) -> Sound:
        """Wait until the key was let go."""
        del expectation
        self.talk.wait()
        while not self._is_released.wait(0.02):
            if self._is_broken_off.is_set():
                self._is_broken_off.clear()
                self.talk.shut()
                return Silence("microphone")
        self._is_released.clear()
        return Heard(self._words, source="microphone")

    def break_off(self) -> None:
        """End a listening that waits."""
        self._is_broken_off.set()

    def close(self) -> None:
        """Wait no more."""
        self._is_broken_off.set()


class TalkedErrand(KettleErrand):
    """The small walk, with a microphone that a key opens."""

    key = "space"

    def open_microphone(self, report: Callable[[str], None]) -> TalkingMicrophone:
        """Give the microphone."""
        del report
        return TalkingMicrophone("it runs", self.key)


def test_space_talks_where_nothing_is_typed(tmp_path: Path) -> None:
    """Two presses begin and end an answer; in a line that is being typed space is a space."""
    errand = TalkedErrand(make_desk(tmp_path), str(KETTLE))

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.see("Talk key: press SPACE and speak.")
        turn = seat.turn
        await seat.press("space")
        await seat.see("Talk key: LISTENING; press SPACE when you have spoken.")
        await seat.press("space")
        await seat.until(lambda: seat.is_past(turn), "the answer")
        await seat.see("Heard: it runs")
        await seat.see("Talk key: press SPACE and speak.")
        await seat.press("n", "space", "a")
        assert seat.walk.query_one("#answer", Input).value == "n a"
        assert "LISTENING" not in seat.flat

    run_walk(errand, script)


@pytest.mark.parametrize("arrives_as", ["media_play", "media_pause", "media_play_pause"])
def test_a_headsets_button_talks_whichever_it_arrives_as(tmp_path: Path, arrives_as: str) -> None:
    """Headsets send play, pause or both in one; each is the one talk key `media`."""
    errand = TalkedErrand(make_desk(tmp_path), str(KETTLE))
    errand.key = "media"

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.see("Talk key: press MEDIA and speak.")
        turn = seat.turn
        await seat.press(arrives_as)
        await seat.see("Talk key: LISTENING; press MEDIA when you have spoken.")
        await seat.press(arrives_as)
        await seat.until(lambda: seat.is_past(turn), "the answer")
        await seat.see("Heard: it runs")

    run_walk(errand, script)
