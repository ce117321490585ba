"""A session replayed: turn after turn at a chosen speed, or step by step."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.message import Message
from textual.screen import Screen

from assistant.errors import RungsideError
from assistant.journal.clips import find_clip
from assistant.screens.reviewing.handed import Handed
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.pacing import is_shortened, next_speed, wait_seconds
from assistant.screens.reviewing.turns import OWN, TurnFacts
from assistant.screens.reviewing.wording import clock_words, span_words, tidy
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint, either_case, spaced

if TYPE_CHECKING:
    from textual.timer import Timer

HINTS = (
    KeyHint("Space", "play or pause"),
    KeyHint("Right", "next turn"),
    KeyHint("Left", "back"),
    KeyHint("+", "faster"),
    KeyHint("-", "slower"),
    KeyHint("Home", "from the start"),
    KeyHint("P", "play its sound"),
    KeyHint("PgUp/PgDn", "scroll"),
    KeyHint("F9", "theme"),
    KeyHint("Esc", "back to the session"),
)
_BEFORE = 20
"""So many turns before the present one stand above it."""


class NotPlayed(Message):
    """The sound could not be played."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class ReplayScreen(Screen[None]):
    """Replays one session.

    Args:
        handed: what the review works with.
        opened: the session.
        start: the turn to begin with.
    """

    DEFAULT_CSS = """
    ReplayScreen { layout: vertical; }
    ReplayScreen #head { height: auto; background: $panel; padding: 0 1; }
    ReplayScreen #title { text-style: bold; }
    ReplayScreen #pace { color: $faint; }
    ReplayScreen #talk { height: 1fr; padding: 0 1; background: $ground; }
    ReplayScreen #talk:focus { background: $ground; }
    ReplayScreen #notice { padding: 0 1; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "play_or_pause", "Play or pause", priority=True),
        Binding(either_case("right,n"), "step(1)", "Next turn", priority=True),
        Binding(either_case("left,b"), "step(-1)", "Back", priority=True),
        Binding("plus,equals_sign", "speed(1)", "Faster"),
        Binding("minus", "speed(-1)", "Slower"),
        Binding("home", "restart", "From the start", priority=True),
        Binding(either_case("p"), "play_clip", "Play its sound"),
        Binding(either_case("escape,q"), "back", "Back"),
    ]

    def __init__(self, handed: Handed, opened: Opened, start: int = 0) -> None:
        super().__init__()
        self._handed, self._opened = handed, opened
        self.place = min(start, len(opened.turns) - 1)
        self.speed = 1.0
        self.is_playing = False
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        """Lay out where it stands, the conversation and the keys."""
        with Container(id="head"):
            yield Words("", id="title")
            yield Words("", id="pace")
        with VerticalScroll(id="talk"):
            yield Words("", id="said")
        yield Words("", id="notice")
        yield KeyLine(HINTS, id="keys")

    def on_mount(self) -> None:
        """Show the first turn."""
        self.query_one("#talk").focus()
        self._show()

    @property
    def turn(self) -> TurnFacts:
        """Give the present turn."""
        return self._opened.turns[self.place]

    def _show(self) -> None:
        """Show the present turn with those before it."""
        first = max(self.place - _BEFORE, 0)
        turns = self._opened.turns[first : self.place + 1]
        self.query_one("#said", Words).update(talk_text(turns))
        self._tell()

    def _tell(self) -> None:
        turn, count = self.turn, len(self._opened.turns)
        where = f"Turn {self.place} of {count - 1} · {clock_words(turn.time)} · {spaced(turn.step)}"
        self.query_one("#title", Words).update(where.rstrip(" ·"))
        state = "Playing" if self.is_playing else "Paused"
        self.query_one("#pace", Words).update(f"{state} · speed {self.speed:g}x{self._ahead()}")
        kept = "A sound was kept of this turn: P plays it." if turn.clip else ""
        self._notice(kept)
        self.call_after_refresh(self.query_one("#talk", VerticalScroll).scroll_end, animate=False)

    def _ahead(self) -> str:
        """Say what comes next, and whether the pause before it is shortened."""
        turns = self._opened.turns
        if self.place + 1 >= len(turns):
            return " · the end"
        ahead = turns[self.place + 1]
        told = f" · next came after {span_words(ahead.seconds)}"
        return f"{told} (shortened)" if is_shortened(ahead) else told

    def _plan(self) -> None:
        """Set the time of the next turn, where it is playing."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        if self.is_playing and self.place + 1 < len(self._opened.turns):
            wait = wait_seconds(self._opened.turns, self.place + 1, self.speed)
            self._timer = self.set_timer(max(wait, 0.05), self._play_on)
        elif self.is_playing:
            self.is_playing = False

    def _play_on(self) -> None:
        self._go(1)

    def _go(self, steps: int) -> None:
        self.place = min(max(self.place + steps, 0), len(self._opened.turns) - 1)
        self._plan()
        self._show()

    def action_play_or_pause(self) -> None:
        """Play, or pause."""
        self.is_playing = not self.is_playing
        self._plan()
        self._tell()

    def action_step(self, steps: int) -> None:
        """Go a turn on or back by hand; it is paused then."""
        self.is_playing = False
        self._go(steps)

    def action_speed(self, steps: int) -> None:
        """Play faster or slower."""
        self.speed = next_speed(self.speed, steps)
        self._plan()
        self._tell()

    def action_restart(self) -> None:
        """Go to the start."""
        self.is_playing = False
        self.place = 0
        self._plan()
        self._show()

    def action_play_clip(self) -> None:
        """Play the sound that was kept of this turn."""
        try:
            file = find_clip(self._opened.folder, self.turn.clip)
        except RungsideError as error:
            self._notice(str(error))
            return
        if self._handed.play is None:
            self._notice(f"Nothing plays sound here. The sound is {file}.")
            return
        self._notice("Playing its sound.")
        self.run_worker(partial(self._play, self._handed.play, file), thread=True, name="clip")

    def _play(self, play: Callable[[Path], None], file: Path) -> None:
        try:
            play(file)
        except RungsideError as error:
            self.post_message(NotPlayed(f"{error} The sound is {file}."))

    @on(NotPlayed)
    def show_not_played(self, message: NotPlayed) -> None:
        """Show why the sound was not heard."""
        self._notice(message.sentence)

    def _notice(self, sentence: str) -> None:
        self.query_one("#notice", Words).update(sentence)

    def action_back(self) -> None:
        """Go back to the session."""
        self.is_playing = False
        self._plan()
        self.dismiss()


def talk_text(turns: Sequence[TurnFacts]) -> Text:
    """Give turns as a conversation; what was asked already stands in the turn before."""
    text = Text()
    for one in (one for turn in turns for one in turn.told if one.who != "Asked"):
        mark = "> " if one.who == OWN else ""
        text.append("\n" if text else "").append(f"{mark}{one.who}: ", "bold")
        text.append(tidy(one.text))
    return text
