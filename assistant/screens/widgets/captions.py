"""Captions of what is said: at most two lines of 37 characters at a time.

Source of the two figures: EBU-TT-D and BBC subtitle guidelines use lines of at most 37 characters
and at most two of them (from memory).
"""

from textwrap import wrap

from textual.widgets import Static

COLUMNS = 37
LINES = 2


def caption_pages(text: str) -> tuple[str, ...]:
    """Break what is said into pages of at most two lines of 37 characters, between words.

    A word longer than a line is broken; nothing is left out.
    """
    lines = wrap(" ".join(text.split()), COLUMNS, break_on_hyphens=False)
    return tuple("\n".join(lines[at : at + LINES]) for at in range(0, len(lines), LINES))


class CaptionLine(Static):
    """Shows one page of a caption."""

    DEFAULT_CSS = "CaptionLine { height: 2; width: 1fr; color: $text; background: $ground; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__("", id=id, markup=False)

    def show_page(self, page: str) -> None:
        """Show a page; an empty one clears the line."""
        self.update(page)
