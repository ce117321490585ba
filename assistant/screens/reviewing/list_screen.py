"""The list of sessions: newest first, searched as one types, filtered by keys."""

from collections.abc import Sequence
from pathlib import Path
from time import monotonic, sleep
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input
from textual.worker import get_current_worker

from assistant.errors import RungsideError
from assistant.journal.catalogue import list_gists, remember, stamp_of, with_looked
from assistant.journal.catalogue_search import Search, Wanted
from assistant.journal.flags import FLAG_KINDS, flag_words
from assistant.journal.gist import Gist, look_through
from assistant.screens.reviewing.handed import Handed, leave
from assistant.screens.reviewing.roll import Roll, columns, fit
from assistant.screens.reviewing.session_screen import SessionScreen
from assistant.screens.reviewing.wording import (
    found_words,
    minute_words,
    state_words,
    tidy,
    unit_words,
)
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import OUTCOME_WORDS, KeyHint, counted, either_case

HINTS = (
    KeyHint("Enter", "open"),
    KeyHint("/", "search"),
    KeyHint("F", "flag"),
    KeyHint("O", "outcome"),
    KeyHint("G", "signed"),
    KeyHint("X", "all"),
    KeyHint("PgUp/PgDn", "page"),
    KeyHint("F9", "theme"),
    KeyHint("Q", "leave"),
)
SEARCH_HINTS = (
    KeyHint("Enter", "to the list"),
    KeyHint("Esc", "clear"),
    KeyHint("F9", "theme"),
    KeyHint("Ctrl+Q", "leave"),
)
READING = "Reading the folder …"
SIGNED = ("", "none", "agrees", "disagrees")
_BATCH_SECONDS = 0.5
_WIDE = 100


class Listed(Message):
    """The sessions of the folder."""

    def __init__(self, gists: tuple[Gist, ...]) -> None:
        super().__init__()
        self.gists = gists


class Looked(Message):
    """Some sessions were looked through."""

    def __init__(self, gists: tuple[Gist, ...], left: int) -> None:
        super().__init__()
        self.gists, self.left = gists, left


class ListFailed(Message):
    """The folder cannot be read."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class ListScreen(Screen[None]):
    """Lists the sessions of a folder.

    Args:
        handed: what the review works with.
    """

    DEFAULT_CSS = """
    ListScreen { layout: vertical; }
    ListScreen #head { height: auto; background: $panel; padding: 0 1; }
    ListScreen #title { text-style: bold; }
    ListScreen #filters { color: $faint; }
    ListScreen #entry { height: 1; }
    ListScreen #mark { width: 8; text-style: bold; }
    ListScreen Input { width: 1fr; background: $panel; color: $text; }
    ListScreen Input:focus { background: $ground; }
    ListScreen Input > .input--placeholder { color: $faint; }
    ListScreen #more { height: auto; padding: 0 1; border-top: solid $line; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "search", "Search"),
        Binding(either_case("f"), "next_flag", "Flag"),
        Binding(either_case("o"), "next_outcome", "Outcome"),
        Binding(either_case("g"), "next_signed", "Signed"),
        Binding(either_case("x"), "show_all", "All"),
        Binding("escape", "back", "Back"),
        Binding(either_case("q"), "leave", "Leave"),
    ]

    def __init__(self, handed: Handed) -> None:
        super().__init__()
        self._handed = handed
        self._search = Search(())
        self._wanted = Wanted()
        self._left = 0
        self._trouble = READING
        self.shown: tuple[Gist, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out search, list and keys."""
        with Container(id="head"):
            yield Words(READING, id="title")
            with Horizontal(id="entry"):
                yield Words("Search:", id="mark")
                yield Input(
                    placeholder="words, or tech: unit: flow: finding: flag: date:",
                    compact=True,
                    id="search",
                )
            yield Words("", id="filters")
        yield Roll("", id="sessions")
        yield Words("", id="more")
        yield KeyLine(HINTS, id="keys")

    def on_mount(self) -> None:
        """Read the folder."""
        self.query_one(Input).cursor_blink = self.app.animation_level != "none"
        self.query_one(Roll).focus()
        self.run_worker(self._read, thread=True, name="read", exclusive=True)

    # What the reading thread does and tells.

    def _read(self) -> None:
        """List the folder, then look through what was not looked through yet, newest first."""
        sessions = self._handed.sessions
        try:
            gists = list_gists(sessions)
        except RungsideError as error:
            self.post_message(ListFailed(str(error)))
            return
        self.post_message(Listed(gists))
        looked = self._look(sessions, [gist for gist in gists if not gist.is_looked])
        if looked:
            remember(sessions, with_looked(gists, looked))

    def _look(self, sessions: Path, gists: Sequence[Gist]) -> list[Gist]:
        worker = get_current_worker()
        looked: list[Gist] = []
        told, since = 0, monotonic()
        for number, gist in enumerate(gists, start=1):
            if worker.is_cancelled:
                break
            folder = sessions / gist.name
            looked.append(look_through(folder, stamp_of(folder)))
            if monotonic() - since >= _BATCH_SECONDS or number == len(gists):
                self.post_message(Looked(tuple(looked[told:]), len(gists) - number))
                told, since = len(looked), monotonic()
            sleep(0.001)  # leaves the screen its turn
        return looked

    @on(Listed)
    def show_listed(self, message: Listed) -> None:
        """Show the sessions."""
        is_any = bool(message.gists)
        self.query_one(Roll).set_empty("No session fits." if is_any else "No session is here yet.")
        self._trouble = ""
        self._search = Search(message.gists)
        self._left = sum(not gist.is_looked for gist in message.gists)
        self._show()

    @on(Looked)
    def show_looked(self, message: Looked) -> None:
        """Show what was found out; what is marked stays marked."""
        self._search = self._search.with_changed(message.gists)
        self._left = message.left
        self._show(keeps=True)

    @on(ListFailed)
    def show_failed(self, message: ListFailed) -> None:
        """Show why there is no list."""
        self._trouble = message.sentence
        self._tell()

    # What is shown.

    def _show(self, *, keeps: bool = False) -> None:
        roll = self.query_one(Roll)
        marked = self._marked() if keeps else None
        self.shown = self._search.find(self._wanted)
        names = [gist.name for gist in self.shown]
        place = names.index(marked.name) if marked and marked.name in names else 0
        rows = 1 if self.size.width >= _WIDE else 2
        roll.show_items(len(self.shown), self._row, rows=rows, place=place)
        self._tell()

    def _marked(self) -> Gist | None:
        place = self.query_one(Roll).place
        return self.shown[place] if place < len(self.shown) else None

    def on_resize(self) -> None:
        """Lay the items out for the new width."""
        self._show(keeps=True)

    def _row(self, place: int, width: int) -> Sequence[str]:
        return gist_rows(self.shown[place], width)

    def _tell(self) -> None:
        total = len(self._search.gists)
        count = f"{len(self.shown)} of {counted(total, 'session')}, times in UTC"
        looking = f" · {self._left} still to be looked through" if self._left > 0 else ""
        self.query_one("#title", Words).update(self._trouble or f"Review · {count}{looking}")
        wanted = self._wanted
        flag = flag_words(wanted.flag) if wanted.flag else "any"
        outcome = OUTCOME_WORDS.get(wanted.outcome, "any").lower()
        signed = {"": "any", "none": "not yet"}.get(wanted.signed, wanted.signed)
        filters = f"Flag: {flag} · Outcome: {outcome} · Signed: {signed}"
        self.query_one("#filters", Words).update(filters)

    @on(Roll.Marked)
    def show_more(self, message: Roll.Marked) -> None:
        """Tell of the marked session what its row has no room for."""
        del message
        gist = self._marked()
        text = "" if gist is None else gist_more(gist)
        self.query_one("#more", Words).update(text)

    # What is asked for.

    @on(Input.Changed)
    def search(self, event: Input.Changed) -> None:
        """Filter as one types."""
        self._want(words=event.value)

    @on(Input.Submitted)
    def to_list(self) -> None:
        """Go from the search to the list."""
        self.query_one(Roll).focus()

    def on_descendant_focus(self) -> None:
        """List the keys of what has the focus."""
        is_typing = isinstance(self.focused, Input)
        self.query_one(KeyLine).set_hints(SEARCH_HINTS if is_typing else HINTS)

    @on(Roll.Chosen)
    def open_session(self, message: Roll.Chosen) -> None:
        """Open the marked session."""
        gist = self.shown[message.place]
        screen = SessionScreen(self._handed, self._handed.sessions / gist.name)
        self.app.push_screen(screen, self._look_again)

    def _look_again(self, _: None = None) -> None:
        """Read again what may have been said of the marked session."""
        gist = self._marked()
        if gist is not None:
            folder = self._handed.sessions / gist.name
            self._search = self._search.with_changed([look_through(folder, stamp_of(folder))])
            self._show(keeps=True)

    def _want(
        self,
        *,
        words: str | None = None,
        outcome: str | None = None,
        flag: str | None = None,
        signed: str | None = None,
    ) -> None:
        now = self._wanted
        self._wanted = Wanted(
            now.words if words is None else words,
            now.outcome if outcome is None else outcome,
            now.flag if flag is None else flag,
            now.signed if signed is None else signed,
        )
        self._show()

    def action_search(self) -> None:
        """Go to the search."""
        self.query_one(Input).focus()

    def action_next_flag(self) -> None:
        """Show only sessions with the next kind of flag."""
        self._want(flag=_next(("", *FLAG_KINDS), self._wanted.flag))

    def action_next_outcome(self) -> None:
        """Show only sessions that ended the next way."""
        self._want(outcome=_next(("", *OUTCOME_WORDS), self._wanted.outcome))

    def action_next_signed(self) -> None:
        """Show only sessions with the next state of sign-off."""
        self._want(signed=_next(SIGNED, self._wanted.signed))

    def action_show_all(self) -> None:
        """Take search and filters away."""
        self._wanted = Wanted()
        self.query_one(Input).clear()
        self._show()

    def action_back(self) -> None:
        """Clear the search, and go to the list."""
        self.query_one(Input).clear()
        self.query_one(Roll).focus()

    def action_leave(self) -> None:
        """Leave the review: back to where it was opened from."""
        leave(self)


def _next(names: Sequence[str], name: str) -> str:
    return names[(names.index(name) + 1) % len(names)]


def gist_rows(gist: Gist, width: int) -> tuple[str, ...]:
    """Give a session's rows in the list: one where there is room, else two."""
    unit = unit_words(gist)
    tech = tidy(gist.technician) or "nobody named"
    when, found, state = minute_words(gist.started), found_words(gist), state_words(gist)
    if width >= _WIDE - 2:
        cells = [(when, 16), (tech, 6), (unit, 20), (tidy(gist.flow), 12), (found, 0), (state, 30)]
        return (columns(cells, width),)
    first = columns([(when, 16), (tech, 6), (unit, 0)], width)
    return (first, fit(f"  {found} · {state}", width))


def gist_more(gist: Gist) -> str:
    """Tell what a session's row may have cut: its unit, what was found, what is wrong with it."""
    parts = [
        unit_words(gist),
        found_words(gist),
        tidy(gist.title),
        gist.damage or state_words(gist),
    ]
    text = " · ".join(part for part in parts if part)
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]} …"


_LONGEST = 300
