"""The start screen: every choice is reached by keys, and one comes back to it after a walk."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from screen_driver import SIZES, TO_END, KettleErrand, Seat, kettle_errand, run_app
from textual.screen import Screen
from textual.widgets import Input

from assistant.desk.desk import Desk
from assistant.desk.showing import Screens
from assistant.screens.app import RungsideApp
from assistant.screens.reviewing.list_screen import ListScreen
from assistant.screens.starting import DoctorScreen, FlowCard, FlowScreen, StartScreen
from assistant.screens.walking.screen import WalkScreen
from assistant.settings import Settings


class Counter:
    """Hands over the tests' small flow, and remembers what was asked for."""

    def __init__(self, sessions: Path) -> None:
        self._sessions = sessions
        self.asked: list[tuple[str, ...]] = []

    def flows(self) -> Sequence[FlowCard]:
        """List two flows."""
        return (FlowCard("other", "Another"), FlowCard("kettle", "Kettle bench"))

    def walk_errand(self, flow: str, unit: str) -> KettleErrand:
        """Hand over the walk."""
        self.asked.append(("walk", flow, unit))
        return kettle_errand(self._sessions)

    def practice_errand(self, flow: str) -> KettleErrand:
        """Hand over the practice."""
        self.asked.append(("practice", flow))
        return kettle_errand(self._sessions)

    def examine(self) -> Sequence[str]:
        """Say what is here."""
        return ("recogniser sphinx: ready", "microphones: none")

    def review(self) -> Screen[None]:
        """Hand over the sessions' screen."""
        self.asked.append(("review",))
        return Screen()


def start(counter: Counter) -> RungsideApp:
    """Give the application at its start."""
    return RungsideApp(StartScreen(counter), make_start=lambda: StartScreen(counter))


@pytest.mark.parametrize("size", SIZES)
def test_what_can_be_done_is_on_the_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    """The four choices and the keys, at every size."""

    async def script(seat: Seat) -> None:
        await seat.see("Walk a unit at hand")
        for words in ("Review", "Practise", "Doctor", "Enter open", "Ctrl+Q quit"):
            assert words in seat.flat

    run_app(start(Counter(tmp_path)), script, size)


@pytest.mark.parametrize("size", SIZES)
def test_a_walk_is_begun_by_keys_alone_and_leads_back(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Flow, unit's tag, the walk to its end, another walk: back at the start."""
    counter = Counter(tmp_path)

    async def script(seat: Seat) -> None:
        await seat.press("enter")
        await seat.see("Walk: which flow?")
        await seat.press("down", "tab", *"RTU")
        await seat.press("enter")
        await seat.until(lambda: isinstance(seat.app.screen, WalkScreen), "the walk")
        await seat.begun()
        await seat.answer(*TO_END)
        await seat.see("N another walk")
        await seat.press("n")
        await seat.until(lambda: isinstance(seat.app.screen, StartScreen), "the start")

    run_app(start(counter), script, size)
    assert counter.asked == [("walk", "kettle", "RTU")]


def test_practice_review_and_doctor_open_and_lead_back(tmp_path: Path) -> None:
    """Each opens by its place in the list; Escape leads back."""
    counter = Counter(tmp_path)

    async def script(seat: Seat) -> None:
        await seat.press("down", "down", "enter")
        await seat.until(lambda: isinstance(seat.app.screen, FlowScreen), "the flows")
        assert not seat.app.screen.query(Input)
        await seat.press("escape")
        await seat.until(lambda: isinstance(seat.app.screen, StartScreen), "the start")
        await seat.press("down", "enter")
        await seat.until(lambda: isinstance(seat.app.screen, DoctorScreen), "the doctor")
        await seat.see("microphones: none")
        await seat.press("escape")
        await seat.press("up", "up", "enter")
        await seat.until(lambda: counter.asked == [("review",)], "the sessions")

    run_app(start(counter), script)


@pytest.mark.parametrize("key", ["ctrl+q", "ctrl+c"])
def test_the_start_is_left_by_a_key(tmp_path: Path, key: str) -> None:
    """Nothing is lost there, so nothing is asked."""

    async def script(seat: Seat) -> None:
        await seat.press(key)

    assert run_app(start(Counter(tmp_path)), script).return_value == 0


def test_the_theme_is_changed_by_a_key(tmp_path: Path) -> None:
    """F9 goes through the four themes and comes back to the first."""
    seen: list[str] = []

    async def script(seat: Seat) -> None:
        for _ in range(4):
            await seat.press("f9")
            seen.append(seat.app.theme)

    run_app(start(Counter(tmp_path)), script)
    assert seen == ["day", "night-safe", "day-safe", "night"]


def test_the_desk_lists_every_shipped_flow_by_its_title() -> None:
    """No flow is left out, and each has words for people."""
    from assistant.flow.library import flow_names

    cards = Screens(Desk(Settings(), is_mute=True)).flows()
    assert list(flow_names()) == [card.id for card in cards]
    assert all(card.title and card.title != card.id for card in cards)


def test_the_sessions_open_from_the_start_and_lead_back(tmp_path: Path) -> None:
    """The desk's own review opens on the folder of the settings; its leaving key leads back."""
    desk = Desk(Settings(sessions=tmp_path), is_mute=True)

    async def script(seat: Seat) -> None:
        await seat.press("down", "enter")
        await seat.until(lambda: isinstance(seat.app.screen, ListScreen), "the sessions")
        await seat.press("q")
        await seat.until(lambda: isinstance(seat.app.screen, StartScreen), "the start")

    run_app(RungsideApp(StartScreen(Screens(desk))), script)
