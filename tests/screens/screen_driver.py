"""Drives the real application for tests: types, presses keys, waits, and reads what is visible."""

import asyncio
import json
from collections.abc import Awaitable, Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Input

from assistant.desk.desk import Desk
from assistant.desk.errands import WalkErrand
from assistant.flow.library import open_flow
from assistant.journal.session import Session
from assistant.screens.app import RungsideApp
from assistant.screens.look import USUAL_THEME
from assistant.screens.walking.errand import Errand
from assistant.screens.walking.screen import WalkScreen
from assistant.settings import Settings

TO_CAN = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart"),
)
"""To the capacitor's reading."""
TO_END = (
    *TO_CAN,
    *("ten", "yes", "seventeen point five", "yes", "nine point eight seven", "yes"),
    *("all clear", "ready for live test", "power is on"),
    *("one eighteen", "yes", "it is closed up"),
)
"""A walk without a fault, whole."""

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
PATIENCE = 30.0
SIZES = ((80, 24), (120, 40), (50, 30))

Script = Callable[["Seat"], Awaitable[None]]


def make_desk(sessions: Path, *, mute: bool = True) -> Desk:
    """Give a desk that keeps its sessions in a folder."""
    return Desk(Settings(sessions=sessions, tech="R.K."), is_mute=mute)


load_once = lru_cache(open_flow)
"""Loads a flow once for all tests."""


class KettleErrand(WalkErrand):
    """A walk of the tests' own small flow, which is loaded once."""

    def begin(self) -> Session:
        """Begin the session on disk."""
        self.session = self._desk.begin(load_once(str(KETTLE)), "K-1")
        return self.session


def kettle_errand(sessions: Path, *, is_voice: bool = False, mute: bool = True) -> KettleErrand:
    """Give a walk of the tests' own small flow."""
    return KettleErrand(make_desk(sessions, mute=mute), str(KETTLE), "K-1", is_voice=is_voice)


class Seat:
    """Someone who sits before the screen.

    Args:
        app: the application.
        pilot: drives it.
    """

    def __init__(self, app: RungsideApp, pilot: Pilot[Any]) -> None:
        self.app, self.pilot = app, pilot

    @property
    def walk(self) -> WalkScreen:
        """Give the walk screen that is open."""
        screen = self.app.screen_stack[-1]
        assert isinstance(screen, WalkScreen), screen
        return screen

    @property
    def turn(self) -> int:
        """Give the number of the turn that is shown."""
        return 0 if self.walk.view is None else self.walk.view.turn

    async def until(self, holds: Callable[[], bool], what: str = "") -> None:
        """Wait until something holds."""
        loop = asyncio.get_running_loop()
        end = loop.time() + PATIENCE
        while not holds():
            assert loop.time() < end, f"waited in vain: {what or holds}\n{self.text}"
            await self.pilot.pause(0.01)
        await self.pilot.pause()

    async def see(self, words: str) -> None:
        """Wait until words are visible, however they are broken into lines."""
        await self.until(lambda: words in self.flat, words)

    async def answer(self, *lines: str) -> None:
        """Type answers, each once the turn before it is shown."""
        for line in lines:
            turn = self.turn
            self.walk.query_one("#answer", Input).value = line
            await self.pilot.press("enter")
            await self.until(lambda turn=turn: self.is_past(turn), f"after '{line}'")  # type: ignore[misc]

    def is_past(self, turn: int) -> bool:
        """Whether a later turn is shown, or the walk is over."""
        return self.turn > turn or self.walk.account is not None

    async def press(self, *keys: str) -> None:
        """Press keys."""
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def begun(self) -> None:
        """Wait until the walk listens."""
        await self.until(lambda: self.turn == 1, "the first turn")

    @property
    def text(self) -> str:
        """Give what is visible, row by row."""
        return "\n".join(visible_rows(self.app))

    @property
    def flat(self) -> str:
        """Give what is visible as one line of words, column after column, without frames."""
        rows = [row.translate(_FRAMES).partition("│") for row in self.text.split("\n")]
        columns = (" ".join(row[side] for row in rows) for side in (0, 2))
        return " ".join(" ".join(columns).split())


_FRAMES = str.maketrans(dict.fromkeys("┃▁▂▃▄▅▆▇█", " "))


def visible_rows(app: RungsideApp) -> list[str]:
    """Give the rows of cells that are visible."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip) for strip in strips]


def run_walk(
    errand: Errand, script: Script, size: tuple[int, int] = (80, 24), theme: str = USUAL_THEME
) -> RungsideApp:
    """Open the application on a walk, let a script sit before it, and give the application."""
    return run_app(RungsideApp(WalkScreen(errand), theme=theme), script, size)


def run_app(app: RungsideApp, script: Script, size: tuple[int, int] = (80, 24)) -> RungsideApp:
    """Open an application and let a script sit before it."""

    async def sit() -> None:
        async with app.run_test(size=size) as pilot:
            await script(Seat(app, pilot))

    asyncio.run(sit())
    return app


def only_session(folder: Path) -> Path:
    """Give the one session in a folder."""
    (session,) = folder.iterdir()
    return session


def told(session: Path) -> list[dict[str, Any]]:
    """Give a journal's events without times, hashes, the session's name and the words' source."""
    events = []
    for line in (session / "journal.jsonl").read_text(encoding="utf-8").splitlines():
        whole = json.loads(line)
        if whole["kind"] != "sealed":
            own = {"session", "source"}
            kept = {key: value for key, value in whole["data"].items() if key not in own}
            events.append({"kind": whole["kind"], **kept})
    return events
