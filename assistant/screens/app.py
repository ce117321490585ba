"""The application that holds the screens: themes, colour, motion, and how one leaves."""

import os
from collections.abc import Callable
from typing import ClassVar, Protocol, runtime_checkable

from textual.app import App
from textual.binding import Binding, BindingType
from textual.filter import LineFilter, Monochrome
from textual.message import Message
from textual.screen import Screen

from assistant.screens.colourless import Colourless, is_colour_off
from assistant.screens.look import PALETTES, USUAL_THEME, Palette, themes, variables

BREAKPOINTS = [(0, "-narrow"), (72, "-broad"), (110, "-wide")]
"""A screen narrower than 72 columns stacks what a broad one puts side by side."""
HEIGHTS = [(0, "-tiny"), (22, "-low"), (32, "-high")]
"""A screen of 32 rows has room for air around the words; one under 22 rows (a telephone with its
keyboard open) for what must be answered only."""


@runtime_checkable
class Leavable(Protocol):
    """A screen that has something to say before it is left."""

    def ask_to_leave(self) -> None:
        """Leave, or ask first."""


class AnotherWanted(Message):
    """A screen is done, and what else there is may be chosen."""


class RungsideApp(App[int]):
    """The application; its first screen is handed in.

    Args:
        first: the screen it opens with.
        make_start: makes the screen where something else is chosen; None where there is none.
        theme: the name of a theme; the usual one where there is none of that name.
        is_still: whether nothing may move.
    """

    TITLE = "Rungside"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = BREAKPOINTS
    VERTICAL_BREAKPOINTS = HEIGHTS
    CSS = """
    * { scrollbar-size-vertical: 1; }
    Screen { background: $ground; color: $text; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "leave", "Leave", priority=True),
        Binding("ctrl+c", "leave", "Leave", priority=True, show=False),
        Binding("f9", "next_theme", "Theme", priority=True),
    ]

    def __init__(
        self,
        first: Screen[None],
        *,
        make_start: Callable[[], Screen[None]] | None = None,
        theme: str = USUAL_THEME,
        is_still: bool = False,
    ) -> None:
        super().__init__()
        self._first, self._make_start = first, make_start
        for one in themes():
            self.register_theme(one)
        self.theme = theme if theme in PALETTES else USUAL_THEME
        self.no_color = is_colour_off(os.environ)
        self._colourless = {name: Colourless(one.ground) for name, one in PALETTES.items()}
        self._filters = [one for one in self._filters if not isinstance(one, Monochrome)]
        if is_still:
            self.animation_level = "none"

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Give the colours by purpose, so that any style sheet may name them."""
        return variables(PALETTES[USUAL_THEME])

    def get_line_filters(self) -> list[LineFilter]:
        """Give the filters; the one that takes colour away last."""
        filters = list(super().get_line_filters())
        return [*filters, self._colourless[self.theme]] if self.no_color else filters

    @property
    def palette(self) -> Palette:
        """Give the colours of the present theme."""
        return PALETTES[self.theme]

    def on_mount(self) -> None:
        """Open the first screen."""
        self.push_screen(self._first)

    def action_leave(self) -> None:
        """Leave; a screen that has something to lose asks first."""
        top = self.screen
        if isinstance(top, Leavable):
            top.ask_to_leave()
        else:
            self.exit(0)

    def on_another_wanted(self) -> None:
        """Open the start screen in place of the present one."""
        if self._make_start is None:
            self.exit(0)
        else:
            self.switch_screen(self._make_start())

    def action_next_theme(self) -> None:
        """Change to the next theme."""
        names = list(PALETTES)
        self.theme = names[(names.index(self.theme) + 1) % len(names)]
