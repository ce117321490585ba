"""No colour where none is wanted: `NO_COLOR` by its rule, blocks told apart by turning them round.

Source: https://no-color.org: `NO_COLOR`, when present and not an empty string, prevents ANSI colour
from being added. Textual takes an empty one as set, and where it is set paints in greys; this
filter leaves bold, underlined and reversed text, in the terminal's own two colours.
"""

from collections.abc import Mapping
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

from assistant.screens.contrast import contrast

_STANDS_OUT = 2.0
"""A ground that differs this much from the screen's is shown reversed."""


def is_colour_off(environment: Mapping[str, str]) -> bool:
    """Whether colour is asked off: the variable is present and not empty."""
    return bool(environment.get("NO_COLOR"))


class Colourless(LineFilter):
    """Takes every colour away; what stood on a ground of its own is reversed.

    Args:
        ground: the screen's own ground, `#rrggbb`.
    """

    def __init__(self, ground: str) -> None:
        super().__init__()
        self._ground = ground

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Give the segments without colour."""
        del background
        return [
            Segment(text, None if style is None else plain(style, self._ground), control)
            for text, style, control in segments
        ]


@lru_cache(1024)
def plain(style: Style, ground: str) -> Style:
    """Give a style without its colours, reversed where its ground stands out from the screen's."""
    behind = ground if style.bgcolor is None else Color.from_rich_color(style.bgcolor).hex6
    is_block = contrast(behind, ground) >= _STANDS_OUT
    return Style(
        bold=style.bold,
        underline=style.underline,
        strike=style.strike,
        reverse=bool(style.reverse) != is_block,
        meta=style.meta,
    )
