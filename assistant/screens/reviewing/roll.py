"""A list of thousands of items, of which only those in sight are drawn."""

from collections.abc import Callable, Sequence
from typing import ClassVar, TypeAlias

from rich.cells import cell_len
from rich.segment import Segment
from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

Draw: TypeAlias = Callable[[int, int], Sequence[str]]
"""Gives an item's rows of text: its place, the columns there are; always as many as asked for."""

HERE = "▸ "
"""What stands before the item that is chosen, so that it shows without colour."""


class Roll(ScrollView, can_focus=True):
    """Shows items, a fixed number of rows each, and which one is chosen.

    Args:
        empty: the words shown where there is no item.
    """

    DEFAULT_CSS = """
    Roll { height: 1fr; width: 1fr; background: $ground; color: $text; overflow-x: hidden; }
    Roll > .roll--chosen { background: $chosen; color: $text; text-style: bold; }
    Roll > .roll--plain { background: $ground; color: $text; }
    Roll > .roll--second { background: $ground; color: $faint; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"roll--chosen", "roll--plain", "roll--second"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "go(-1)", "Up", show=False),
        Binding("down", "go(1)", "Down", show=False),
        Binding("pageup", "go_page(-1)", "Page up", show=False),
        Binding("pagedown", "go_page(1)", "Page down", show=False),
        Binding("home", "go_to(0)", "First", show=False),
        Binding("end", "go_to(-1)", "Last", show=False),
        Binding("enter", "choose", "Open", show=False),
    ]

    place = reactive(0)

    class Marked(Message):
        """Another item is marked."""

        def __init__(self, roll: "Roll", place: int) -> None:
            super().__init__()
            self.roll, self.place = roll, place

        @property
        def control(self) -> "Roll":
            """Give the list, so that a handler can name which one."""
            return self.roll

    class Chosen(Message):
        """The marked item is wanted."""

        def __init__(self, roll: "Roll", place: int) -> None:
            super().__init__()
            self.roll, self.place = roll, place

        @property
        def control(self) -> "Roll":
            """Give the list, so that a handler can name which one."""
            return self.roll

    def __init__(self, empty: str = "Nothing here.", *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(id=id)
        self._empty = empty
        self._count, self._rows = 0, 1
        self._draw: Draw = lambda _place, _columns: ()

    @property
    def count(self) -> int:
        """Give how many items there are."""
        return self._count

    def show_items(self, count: int, draw: Draw, *, rows: int = 1, place: int = 0) -> None:
        """Show other items.

        Args:
            count: how many.
            draw: gives the rows of one.
            rows: how many rows each has.
            place: the item that is marked.
        """
        self._count, self._draw, self._rows = count, draw, rows
        self.set_reactive(Roll.place, min(max(place, 0), max(count - 1, 0)))
        self._lay_out()
        self._keep_in_sight()
        self.post_message(self.Marked(self, self.place))

    def set_empty(self, words: str) -> None:
        """Say other words where there is no item."""
        self._empty = words
        self.refresh()

    def _lay_out(self) -> None:
        self.virtual_size = Size(max(self.size.width, 1), max(self._count * self._rows, 1))
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:
        """Keep the marked item in sight."""
        del event
        self._lay_out()
        self.call_after_refresh(self._keep_in_sight)

    def _keep_in_sight(self) -> None:
        top = self.place * self._rows
        region = Region(0, top, max(self.size.width, 1), self._rows)
        self.scroll_to_region(region, animate=False, force=True)

    def watch_place(self) -> None:
        """Tell that another item is marked."""
        self._keep_in_sight()
        self.refresh()
        self.post_message(self.Marked(self, self.place))

    def action_go(self, steps: int) -> None:
        """Mark the next or the previous item."""
        self.action_go_to(min(max(self.place + steps, 0), self._count - 1))

    def action_go_page(self, pages: int) -> None:
        """Mark an item a page away."""
        self.action_go(pages * max(self.size.height // self._rows - 1, 1))

    def action_go_to(self, place: int) -> None:
        """Mark an item; -1 is the last."""
        if self._count:
            self.place = place % self._count

    def action_choose(self) -> None:
        """Tell that the marked item is wanted."""
        if self._count:
            self.post_message(self.Chosen(self, self.place))

    def on_click(self, event: events.Click) -> None:
        """Mark the item under the pointer; a second click wants it."""
        place = (event.y + self.scroll_offset.y) // self._rows
        if place >= self._count:
            return
        if place == self.place:
            self.action_choose()
        self.place = place

    def render_line(self, y: int) -> Strip:
        """Draw one row of the screen."""
        width = self.scrollable_content_region.width
        row = y + self.scroll_offset.y
        place, part = divmod(row, self._rows)
        if place >= self._count:
            text = self._empty if row == 0 and not self._count else ""
            return self._strip(text, "roll--plain", width)
        rows = self._draw(place, max(width - len(HERE), 1))
        text = rows[part] if part < len(rows) else ""
        mark = HERE if place == self.place and part == 0 else " " * len(HERE)
        kind = "roll--second" if part else "roll--plain"
        if place == self.place:
            kind = "roll--chosen"
        return self._strip(mark + text, kind, width)

    def _strip(self, text: str, kind: str, width: int) -> Strip:
        style = self.get_component_rich_style(kind)
        return Strip([Segment(fit(text, width), style)]).adjust_cell_length(width, style)


def fit(text: str, width: int) -> str:
    """Cut a text to a width in cells, with a mark where something is left out; never wider."""
    if cell_len(text) <= width:
        return text + " " * (width - cell_len(text))
    cut = Text(text)
    cut.truncate(max(width, 0), overflow="ellipsis", pad=True)
    return cut.plain


def columns(cells: Sequence[tuple[str, int]], width: int, gap: int = 2) -> str:
    """Set texts side by side.

    Args:
        cells: each text with its width; 0 for the one that takes what is left.
        width: the whole width; what goes beyond it is cut.
        gap: blanks between two.
    """
    fixed = sum(size for _, size in cells) + gap * (len(cells) - 1)
    rest = max(width - fixed, 4)
    return fit((" " * gap).join(fit(text, size or rest) for text, size in cells), width)
