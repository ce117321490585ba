"""The keys of a screen, listed on it: all of them, on as many lines as they need."""

from collections.abc import Sequence

from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from assistant.screens.words import KeyHint

_GAP = 2


def key_rows(hints: Sequence[KeyHint], columns: int) -> tuple[tuple[KeyHint, ...], ...]:
    """Break hints into rows that fit, without cutting one."""
    rows: list[list[KeyHint]] = []
    used = columns + 1
    for hint in hints:
        width = len(hint.key) + 1 + len(hint.words)
        if not rows or used + _GAP + width > columns:
            rows.append([])
            used = -_GAP
        rows[-1].append(hint)
        used += _GAP + width
    return tuple(tuple(row) for row in rows)


class KeyLine(Widget):
    """Lists a screen's keys, wrapped to its width."""

    DEFAULT_CSS = "KeyLine { height: auto; width: 1fr; color: $text; background: $panel; }"

    def __init__(self, hints: Sequence[KeyHint] = (), *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(id=id)
        self._hints = tuple(hints)

    @property
    def hints(self) -> tuple[KeyHint, ...]:
        """Give the keys that are listed."""
        return self._hints

    def set_hints(self, hints: Sequence[KeyHint]) -> None:
        """List other keys."""
        if tuple(hints) != self._hints:
            self._hints = tuple(hints)
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Give the rows that the keys need at a width."""
        del container, viewport
        return len(key_rows(self._hints, width))

    def render(self) -> Text:
        """Draw the rows; a key's name is bold and underlined, so it stands out without colour."""
        text = Text()
        accent = self.app.theme_variables.get("accent", "")
        for number, row in enumerate(key_rows(self._hints, self.size.width or 80)):
            text.append("\n" if number else "")
            for place, hint in enumerate(row):
                text.append("  " if place else "")
                text.append(hint.key, style=f"bold underline {accent}")
                text.append(f" {hint.words}")
        return text
