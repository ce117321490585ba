"""The words of the marked item in full, with the verdict's block where something was judged."""

from collections.abc import Sequence

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll

from assistant.screens.widgets.blocks import VerdictBlock, VerdictFacts, Words


def detail_text(lines: Sequence[tuple[str, str]]) -> Text:
    """Give pairs of who and what as text, who in bold."""
    text = Text()
    for number, (who, what) in enumerate(lines):
        text.append("\n" if number else "")
        text.append(f"{who}: ", "bold")
        text.append(what)
    return text


class Detail(VerticalScroll, can_focus=True):
    """Shows one item in full; scrolls when it is focused."""

    DEFAULT_CSS = """
    Detail { height: 1fr; width: 1fr; padding: 0 1; background: $ground; color: $text; }
    Detail:focus { background: $ground; border-left: heavy $accent; }
    """

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(id=id)
        self._verdict: VerdictFacts | None = None

    def compose(self) -> ComposeResult:
        """Lay out the words."""
        yield Words("", id="words")

    def show(self, lines: Sequence[tuple[str, str]], verdict: VerdictFacts | None = None) -> None:
        """Show other words."""
        self.query_one("#words", Words).update(detail_text(lines))
        if verdict != self._verdict:
            self._verdict = verdict
            self.query(VerdictBlock).remove()
            if verdict is not None:
                self.mount(VerdictBlock(verdict), before=0)
        self.scroll_home(animate=False)
