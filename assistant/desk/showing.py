"""The screens, put together for a command: with what, and what is printed behind them."""

import secrets
from collections.abc import Sequence
from pathlib import Path

from textual.screen import Screen

from assistant.desk.desk import Desk
from assistant.desk.errands import PracticeErrand, ResumeErrand, WalkErrand
from assistant.desk.output import show, tell_end
from assistant.desk.reviewing import review_screen
from assistant.desk.signals import Ended, leaving_in_order
from assistant.flow.library import find_flow, flow_names
from assistant.journal.account import give_account
from assistant.journal.reading import read_journal
from assistant.journal.sessions import default_sessions_folder
from assistant.screens.app import RungsideApp
from assistant.screens.starting import FlowCard, StartScreen
from assistant.screens.walking.screen import WalkScreen

_TITLE = "title:"


class Screens:
    """Opens screens and hands over what they ask for.

    Args:
        desk: begins sessions, opens the ends.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._errand: WalkErrand | PracticeErrand | None = None

    def start(self) -> int:
        """Open the start screen; gives the exit code."""
        return self._run(StartScreen(self))

    def walk(self, flow: str, unit: str = "", *, is_voice: bool = False) -> int:
        """Walk a flow on the screen; gives the exit code."""
        return self._run(WalkScreen(self.walk_errand(flow, unit, is_voice=is_voice)))

    def walk_on(self, session: str, flow: str | None = None, *, is_voice: bool = False) -> int:
        """Walk a session on that was broken off; gives the exit code."""
        errand = self._errand = ResumeErrand(self._desk, session, flow, is_voice=is_voice)
        return self._run(WalkScreen(errand))

    def practise(
        self, flow: str, files: Sequence[Path] = (), *, seed: int, fault: str | None = None
    ) -> int:
        """Walk a simulated unit on the screen; gives the exit code."""
        return self._run(WalkScreen(self.practice_errand(flow, files, seed=seed, fault=fault)))

    def _run(self, first: Screen[None]) -> int:
        settings = self._desk.settings
        app = RungsideApp(
            first,
            make_start=lambda: StartScreen(self),
            theme=settings.theme,
            is_still=not settings.animation,
        )
        try:
            with leaving_in_order(lambda: app.exit(1)):
                code = app.run()
        except Ended as ended:
            session = None if self._errand is None else self._errand.session
            if session is not None:
                ended.sentence += f" What was acknowledged is kept in {session.journal.folder}."
            raise
        if app.return_code:
            return app.return_code
        return self._tell_last(code or 0)

    def _tell_last(self, code: int) -> int:
        """Print what the last walk came to, and where it is; 1 where it did not end."""
        session = None if self._errand is None else self._errand.session
        if session is None:
            return code
        folder = session.journal.folder
        tell_end(give_account(read_journal(folder)), folder)
        if session.state.is_over:
            return 0
        show("The screen was left before the walk ended; the session is kept, unsealed.")
        print(f"Walk it on: rungside walk --text --resume {folder}")  # one line, to be copied
        return 1

    def walk_errand(self, flow: str, unit: str = "", *, is_voice: bool = False) -> WalkErrand:
        """Give the errand of walking a flow on a unit."""
        errand = self._errand = WalkErrand(self._desk, flow, unit, is_voice=is_voice)
        return errand

    def practice_errand(
        self,
        flow: str,
        files: Sequence[Path] = (),
        *,
        seed: int | None = None,
        fault: str | None = None,
    ) -> PracticeErrand:
        """Give the errand of practising a flow."""
        drawn = secrets.randbelow(1_000_000) if seed is None else seed
        errand = self._errand = PracticeErrand(self._desk, flow, files, seed=drawn, fault=fault)
        return errand

    def flows(self) -> tuple[FlowCard, ...]:
        """List the shipped flows."""
        return tuple(FlowCard(name, _title(find_flow(name), name)) for name in flow_names())

    def examine(self) -> Sequence[str]:
        """Say what can be heard and said here."""
        return self._desk.facts()[0]

    def review(self) -> Screen[None]:
        """Make the screen of the sessions."""
        settings = self._desk.settings
        return review_screen(settings.sessions or default_sessions_folder(), settings.tech)


def _title(file: Path, name: str) -> str:
    """Read a flow's title without loading it."""
    for line in file.read_text(encoding="utf-8").splitlines():
        if line.startswith(_TITLE):
            return line.removeprefix(_TITLE).strip().strip("\"'")
    return name
