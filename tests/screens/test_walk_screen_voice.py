"""Voice beside the screen: captions, an answer typed into the saying, a hold that stops it."""

import threading
from collections.abc import Callable
from pathlib import Path

from screen_driver import KETTLE, KettleErrand, Seat, make_desk, run_walk
from textual.widgets import Input

from assistant.screens.widgets.captions import CaptionLine
from assistant.spoken.meaning import CommandKind
from assistant.walk.ends import Utterance


class SlowVoice:
    """A voice that speaks until it is stopped or let go on."""

    rate = 165

    def __init__(self) -> None:
        self.said: list[str] = []
        self.stopped: list[str] = []
        self._end = threading.Event()

    def say(self, utterance: Utterance) -> None:
        """Speak until the end."""
        self._end.clear()
        self.said.append(utterance.text)
        self._end.wait(20)

    def go_on(self) -> None:
        """Come to the end of what is being said."""
        self._end.set()

    def stop(self) -> None:
        """Break off."""
        self.stopped.append(self.said[-1] if self.said else "")
        self._end.set()

    def adjust(self, kind: CommandKind) -> bool:
        """Change nothing."""
        del kind
        return False

    def begin_turn(self) -> None:
        """Keep nothing."""

    def close(self) -> None:
        """Stop for good."""
        self._end.set()


class SpokenErrand(KettleErrand):
    """The small walk, said aloud by a slow voice."""

    voice: SlowVoice

    def open_voice(self, report: Callable[[str], None]) -> SlowVoice:
        """Give the slow voice."""
        del report
        self.voice = SlowVoice()
        return self.voice


async def speak_to(seat: Seat, voice: SlowVoice, opening: str) -> None:
    """Let the voice speak on until it says what begins so."""

    def has_come() -> bool:
        if voice.said[-1].startswith(opening):
            return True
        voice.go_on()
        return False

    await seat.until(has_come, opening)


def test_what_is_said_is_captioned_and_an_answer_breaks_it_off(tmp_path: Path) -> None:
    """The caption stands while it is said; an answer typed meanwhile ends it and is taken."""
    errand = SpokenErrand(make_desk(tmp_path), str(KETTLE))

    async def script(seat: Seat) -> None:
        await seat.begun()
        caption = seat.walk.query_one(CaptionLine)
        await seat.until(lambda: "What does it do?" in str(caption.render()), "the caption")
        assert caption.display
        assert "What does it do? Say: it runs, it" in seat.text
        seat.walk.query_one("#answer", Input).value = "it runs"
        await seat.press("enter")
        await seat.until(lambda: len(errand.voice.said) == 2, "the next saying")
        assert errand.voice.stopped == [errand.voice.said[0]]
        await seat.see("You typed: it runs")

    run_walk(errand, script)


def test_hold_stops_the_voice_and_go_ahead_says_it_again(tmp_path: Path) -> None:
    """Hold is heard into the middle of a caution; going ahead says the caution from its start."""
    errand = SpokenErrand(make_desk(tmp_path), str(KETTLE))

    async def answer(seat: Seat, line: str) -> None:
        entry = seat.walk.query_one("#answer", Input)
        entry.value = line
        turn = seat.turn
        await seat.press("enter")
        while not seat.is_past(turn):
            errand.voice.go_on()
            await seat.pilot.pause(0.02)

    async def script(seat: Seat) -> None:
        await seat.begun()
        await answer(seat, "it runs")
        await answer(seat, "ten")
        await speak_to(seat, errand.voice, "Caution.")
        caution = errand.voice.said[-1]
        turn = seat.turn
        await seat.press("f2")
        await seat.until(lambda: seat.is_past(turn), "the hold")
        assert errand.voice.stopped[-1] == caution
        await seat.see("ON HOLD.")
        turn = seat.turn
        await answer(seat, "go ahead")
        await speak_to(seat, errand.voice, caution)

    run_walk(errand, script)


def test_a_caution_is_not_broken_off_by_an_answer(tmp_path: Path) -> None:
    """Typed into a caution, the answer waits until the caution has been said."""
    errand = SpokenErrand(make_desk(tmp_path), str(KETTLE))

    async def script(seat: Seat) -> None:
        await seat.begun()
        for line in ("it runs", "ten"):
            turn = seat.turn
            seat.walk.query_one("#answer", Input).value = line
            await seat.press("enter")
            await seat.until(lambda turn=turn: seat.is_past(turn), line)  # type: ignore[misc]
        await speak_to(seat, errand.voice, "Caution.")
        turn, caution = seat.turn, errand.voice.said[-1]
        seat.walk.query_one("#answer", Input).value = "lock it out"
        await seat.press("enter")
        await seat.pilot.pause(0.3)
        assert seat.turn == turn
        assert caution not in errand.voice.stopped
        errand.voice.go_on()
        await seat.until(lambda: seat.is_past(turn), "the answer")

    run_walk(errand, script)
