"""Two sessions of one unit compared, and a reading over all visits of the unit."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.message import Message
from textual.screen import Screen

from assistant.errors import RungsideError
from assistant.journal.account import Account, give_account
from assistant.journal.catalogue import list_gists
from assistant.journal.catalogue_search import folded
from assistant.journal.gist import Gist
from assistant.journal.reading import read_journal
from assistant.screens.reviewing.comparing import Pair, draw_visits, pair_values, visits_of
from assistant.screens.reviewing.handed import Handed
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.roll import Roll, columns, fit
from assistant.screens.reviewing.wording import found_words, minute_words, tidy, value_words
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint, counted, either_case, spaced

MOST_VISITS = 24
"""So many visits are read, the latest; each takes a moment."""

HINTS = (
    KeyHint("Up/Down", "another visit or reading"),
    KeyHint("Tab", "visits, readings"),
    KeyHint("PgUp/PgDn", "page"),
    KeyHint("F9", "theme"),
    KeyHint("Esc", "back"),
)


class VisitsRead(Message):
    """The other visits were read."""

    def __init__(self, visits: tuple[tuple[Gist, Account], ...], total: int) -> None:
        super().__init__()
        self.visits, self.total = visits, total


class NoVisits(Message):
    """The other visits cannot be read."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class CompareScreen(Screen[None]):
    """Compares one session with others of its unit.

    Args:
        handed: what the review works with.
        opened: the session.
    """

    DEFAULT_CSS = """
    CompareScreen { layout: vertical; }
    CompareScreen #head { height: auto; background: $panel; padding: 0 1; }
    CompareScreen #title { text-style: bold; }
    CompareScreen #visits { height: 4; border-bottom: solid $line; }
    CompareScreen #visits:focus, CompareScreen #pairs:focus { border-left: heavy $accent; }
    CompareScreen #chart { height: auto; max-height: 45%; border-top: solid $line; padding: 0 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding(either_case("escape,q"), "back", "Back")]

    def __init__(self, handed: Handed, opened: Opened) -> None:
        super().__init__()
        self._handed, self._opened = handed, opened
        self._visits: tuple[tuple[Gist, Account], ...] = ()
        self.pairs: tuple[Pair, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out the other visits, the pairs, the chart and the keys."""
        unit = tidy(self._opened.account.unit) or "a unit without a name"
        with Container(id="head"):
            yield Words(f"Compare visits to {unit}", id="title")
            yield Words("Reading the other visits …", id="standing")
        yield Roll("", id="visits")
        yield Roll("", id="pairs")
        yield Words("", id="chart")
        yield KeyLine(HINTS, id="keys")

    def on_mount(self) -> None:
        """Read the other visits."""
        self.query_one("#visits", Roll).focus()
        self.run_worker(self._read, thread=True, name="visits")

    def _read(self) -> None:
        folder, unit = self._opened.folder, folded(self._opened.account.unit)
        try:
            gists = [
                gist
                for gist in list_gists(folder.parent)
                if folded(gist.unit) == unit and gist.name != folder.name
            ]
        except RungsideError as error:
            self.post_message(NoVisits(str(error)))
            return
        visits = tuple(self._accounts(gists[:MOST_VISITS]))
        self.post_message(VisitsRead(visits, len(gists)))

    def _accounts(self, gists: list[Gist]) -> list[tuple[Gist, Account]]:
        read = []
        for gist in gists:
            try:
                record = read_journal(self._opened.folder.parent / gist.name)
            except RungsideError:
                continue  # the list names it as damaged
            read.append((gist, give_account(record)))
        return read

    @on(NoVisits)
    def show_none(self, message: NoVisits) -> None:
        """Show why there is nothing to compare with."""
        self.query_one("#standing", Words).update(message.sentence)

    @on(VisitsRead)
    def show_visits(self, message: VisitsRead) -> None:
        """Show the other visits."""
        self._visits = message.visits
        shown = counted(len(message.visits), "other visit")
        more = f", the latest of {message.total}" if message.total > len(message.visits) else ""
        here = minute_words(self._opened.account.started)
        self.query_one("#standing", Words).update(
            f"Left this one, {here}; right the marked. {shown}{more}."
        )
        self.query_one("#visits", Roll).set_empty("There is no other session of this unit.")
        self.query_one("#pairs", Roll).set_empty("There is nothing to compare with.")
        self.query_one("#visits", Roll).show_items(len(self._visits), self._visit_row)

    def _visit_row(self, place: int, width: int) -> tuple[str, ...]:
        gist, account = self._visits[place]
        cells = [(minute_words(gist.started), 16), (tidy(account.technician), 8)]
        return (columns([*cells, (found_words(gist), 0)], width),)

    def _pair_row(self, place: int, width: int) -> tuple[str, ...]:
        pair = self.pairs[place]
        this, that = ("not taken" if v is None else value_words(v) for v in (pair.one, pair.other))
        values = [(this, 14), (that, 14), (pair.difference, 0)]
        if width >= _BROAD:
            return (columns([(spaced(pair.id), width - 52), *values], width, gap=1),)
        return (fit(spaced(pair.id), width), columns([("", 1), *values], width, gap=1))

    @on(Roll.Marked, "#visits")
    def compare(self, message: Roll.Marked) -> None:
        """Compare with the marked visit."""
        if message.roll.place >= len(self._visits):
            return
        place = self.query_one("#pairs", Roll).place
        self.pairs = pair_values(self._opened.account, self._visits[message.roll.place][1])
        self.query_one("#pairs", Roll).show_items(
            len(self.pairs), self._pair_row, rows=self._rows, place=place
        )

    @on(Roll.Marked, "#pairs")
    def show_chart(self, message: Roll.Marked) -> None:
        """Draw the marked reading over all visits."""
        if message.roll.place < len(self.pairs):
            self._draw_chart(self.pairs[message.roll.place].id)

    def _draw_chart(self, name: str) -> None:
        accounts = [self._opened.account, *(account for _, account in self._visits)]
        visits = [one for one in visits_of(name, accounts) if one.value is not None]
        most = max(self.size.height * 2 // 5 - 2, 3)
        width = max(self.size.width - 2, 30)
        rows = draw_visits(name, visits[-most:], width)
        self.query_one("#chart", Words).update("\n".join(rows))

    def on_resize(self) -> None:
        """Draw for the new width."""
        roll = self.query_one("#pairs", Roll)
        roll.show_items(len(self.pairs), self._pair_row, rows=self._rows, place=roll.place)

    @property
    def _rows(self) -> int:
        """Give how many rows a pair takes."""
        return 1 if self.size.width >= _BROAD + _MARGIN else 2

    def action_back(self) -> None:
        """Go back to the session."""
        self.dismiss()


_BROAD = 70
_MARGIN = 4
"""What the list's own mark, its scrollbar and its focus line take."""
