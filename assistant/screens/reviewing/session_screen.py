"""One session opened: its sections by number, the marked item in full, and what can be done."""

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.message import Message
from textual.screen import Screen

from assistant.errors import RungsideError
from assistant.journal.signing import is_same_person
from assistant.screens.reviewing.compare_screen import CompareScreen
from assistant.screens.reviewing.detail import Detail
from assistant.screens.reviewing.handed import Handed, leave
from assistant.screens.reviewing.judge_screen import JudgeScreen
from assistant.screens.reviewing.opened import Opened, open_session
from assistant.screens.reviewing.remark_screens import RemarkScreen, SignScreen
from assistant.screens.reviewing.replay_screen import ReplayScreen
from assistant.screens.reviewing.roll import Roll
from assistant.screens.reviewing.sections import Section, sections_of
from assistant.screens.reviewing.turns import turn_at
from assistant.screens.reviewing.wording import minute_words, span_words, tidy
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import OUTCOME_WORDS, KeyHint, counted, either_case

HINTS = (
    KeyHint("1-7", "section"),
    KeyHint("Enter", "its turn"),
    KeyHint("Tab", "words below"),
    KeyHint("R", "replay"),
    KeyHint("J", "judge again"),
    KeyHint("C", "compare"),
    KeyHint("M", "remark"),
    KeyHint("S", "sign off"),
    KeyHint("F9", "theme"),
    KeyHint("Esc", "back"),
)


class Ready(Message):
    """The session was read."""

    def __init__(self, opened: Opened) -> None:
        super().__init__()
        self.opened, self.sections = opened, sections_of(opened)


class Unreadable(Message):
    """The session cannot be read."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class SessionScreen(Screen[None]):
    """Shows one session.

    Args:
        handed: what the review works with.
        folder: the session's folder.
    """

    DEFAULT_CSS = """
    SessionScreen { layout: vertical; }
    SessionScreen #head { height: auto; background: $panel; padding: 0 1; }
    SessionScreen #title { text-style: bold; }
    SessionScreen #standing { color: $faint; }
    SessionScreen #sections { padding: 0 1; height: auto; }
    SessionScreen #body { height: 1fr; layout: vertical; }
    SessionScreen.-wide #body { layout: horizontal; }
    SessionScreen #detail { border-top: solid $line; }
    SessionScreen.-wide #detail { border-top: none; border-left: solid $line; }
    SessionScreen #detail:focus { border-left: heavy $accent; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(str(n), f"section({n - 1})", show=False) for n in range(1, 8)),
        Binding(either_case("r"), "replay", "Replay"),
        Binding(either_case("j"), "judge", "Judge again"),
        Binding(either_case("c"), "compare", "Compare"),
        Binding(either_case("m"), "remark", "Remark"),
        Binding(either_case("s"), "sign", "Sign off"),
        Binding(either_case("escape,q"), "back", "Back"),
    ]

    def __init__(self, handed: Handed, folder: Path) -> None:
        super().__init__()
        self._handed, self._folder = handed, folder
        self._sections: tuple[Section, ...] = ()
        self._places = [0] * 7
        self.section = 0
        self.opened: Opened | None = None

    def compose(self) -> ComposeResult:
        """Lay out head, sections, list, words and keys."""
        with Container(id="head"):
            yield Words(f"Reading {self._folder.name} …", id="title")
            yield Words("", id="standing")
        yield Words("", id="sections")
        with Container(id="body"):
            yield Roll(id="items")
            yield Detail(id="detail")
        yield KeyLine(HINTS, id="keys")

    def on_mount(self) -> None:
        """Read the session."""
        self.query_one(Roll).focus()
        self.run_worker(self._read, thread=True, name="open")

    def _read(self) -> None:
        try:
            self.post_message(Ready(open_session(self._folder)))
        except RungsideError as error:
            self.post_message(Unreadable(str(error)))

    @on(Unreadable)
    def show_unreadable(self, message: Unreadable) -> None:
        """Show why there is nothing to show."""
        self.query_one("#title", Words).update(f"DAMAGED: {message.sentence}")

    @on(Ready)
    def show_session(self, message: Ready) -> None:
        """Show the session."""
        self.opened = message.opened
        self._sections = message.sections
        self.query_one("#title", Words).update(title_words(message.opened))
        self.query_one("#standing", Words).update(standing_words(message.opened))
        self._show_section(self.section)

    def _show_section(self, number: int) -> None:
        self.section = number
        section = self._sections[number]
        self._show_names()
        roll = self.query_one(Roll)
        roll.set_empty(section.empty)
        roll.show_items(len(section.items), self._row, place=self._places[number])

    def _show_names(self) -> None:
        rows = name_rows(self._sections, self.section, max(self.size.width - 2, 1))
        self.query_one("#sections", Words).update("\n".join(rows))

    def on_resize(self) -> None:
        """Break the sections' names for the new width."""
        self._show_names()

    def _row(self, place: int, width: int) -> tuple[str, ...]:
        return (self._sections[self.section].items[place].draw(width),)

    @on(Roll.Marked)
    def show_detail(self, message: Roll.Marked) -> None:
        """Show the marked item in full."""
        if not self._sections:
            return
        self._places[self.section] = message.roll.place
        items = self._sections[self.section].items
        detail = self.query_one(Detail)
        if message.roll.place < len(items):
            item = items[message.roll.place]
            detail.show(item.lines, item.verdict)
        else:
            detail.show(())

    @on(Roll.Chosen)
    def go_to_turn(self, message: Roll.Chosen) -> None:
        """Go to the turn that the marked item is about."""
        item = self._sections[self.section].items[message.place]
        if self.opened is not None and self.section and item.line:
            self._places[0] = turn_at(self.opened.turns, item.line)
            self._show_section(0)

    def action_section(self, number: int) -> None:
        """Show another section."""
        if self._sections:
            self._show_section(number)

    @property
    def _line(self) -> int:
        """Give the journal's line of the marked item; 0 for the whole session."""
        items = self._sections[self.section].items
        place = self._places[self.section]
        return items[place].line if place < len(items) else 0

    def action_replay(self) -> None:
        """Replay the session from the marked turn."""
        if self.opened is not None and self.opened.turns:
            start = turn_at(self.opened.turns, self._line) if self._line else 0
            self.app.push_screen(ReplayScreen(self._handed, self.opened, start))

    def action_judge(self) -> None:
        """Judge the session by another edition of its flow."""
        if self.opened is not None:
            self.app.push_screen(JudgeScreen(self._handed, self.opened))

    def action_compare(self) -> None:
        """Compare the session with others of the same unit."""
        if self.opened is not None:
            self.app.push_screen(CompareScreen(self._handed, self.opened))

    def action_remark(self) -> None:
        """Make a remark on the marked turn, or on the session."""
        if self.opened is not None:
            line = self._line if self.section not in {5, 6} else 0
            self.app.push_screen(RemarkScreen(self._handed, self.opened, line), self._said)

    def action_sign(self) -> None:
        """Sign the session off."""
        if self.opened is not None:
            self.app.push_screen(SignScreen(self._handed, self.opened), self._said)

    def _said(self, opened: Opened | None) -> None:
        """Show what was just said of the session."""
        if opened is not None:
            self.section = 5
            self._places[5] = len(opened.remarks.remarks) + len(opened.remarks.sign_offs) - 1
            self.post_message(Ready(opened))

    def action_back(self) -> None:
        """Go back to the list, or leave where there is none."""
        leave(self)


def title_words(opened: Opened) -> str:
    """Say which session it is: unit, technician, when."""
    account = opened.account
    parts = [tidy(account.unit) or "no unit", tidy(account.technician) or "nobody named"]
    return " · ".join([*parts, f"{minute_words(account.started)} UTC"])


def standing_words(opened: Opened) -> str:
    """Say what it came to, whether it can be relied on, and whether it was signed off."""
    account = opened.account
    found = "; ".join(dict.fromkeys(tidy(one.part) for one in account.findings))
    outcome = OUTCOME_WORDS.get(account.outcome, tidy(account.outcome))
    parts = [found or outcome, span_words(account.seconds)]
    if opened.record.damage:
        parts.append(f"DAMAGED in {counted(len(opened.record.damage), 'place')}, see 7")
    else:
        parts.append("sealed" if account.is_sealed else "NOT SEALED")
    standing = opened.remarks.standing
    if standing is not None:
        is_own = is_same_person(standing.author, account.technician)
        who = "SIGNED BY ITS TECHNICIAN, who" if is_own else "lead"
        parts.append(f"{who} {'agrees' if standing.agrees else 'DISAGREES'}")
    if opened.remarks.damage:
        parts.append("REMARKS DAMAGED, see 6")
    parts.append(counted(len(opened.flags), "flag"))
    return " · ".join(parts)


def name_rows(sections: Sequence[Section], chosen: int, width: int) -> tuple[str, ...]:
    """Give the sections' names, broken between them; the chosen one in brackets, with its count."""
    rows = [""]
    for place, one in enumerate(sections):
        name = f"{place + 1} {one.name}"
        name = f"[{name} {len(one.items)}]" if place == chosen else f" {name} "
        if rows[-1] and len(rows[-1]) + len(name) > width:
            rows.append("")
        rows[-1] += name
    return tuple(rows)
