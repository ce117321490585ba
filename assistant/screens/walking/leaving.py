"""Leaving a walk in the middle: asked once, with where the record is."""

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen

from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint, either_case

HINTS = (KeyHint("Y", "leave"), KeyHint("Ctrl+Q", "leave"), KeyHint("N or Esc", "go on walking"))


class LeaveScreen(ModalScreen[bool]):
    """Asks whether to leave.

    Args:
        folder: where the session is kept; None where none has begun.
    """

    DEFAULT_CSS = """
    LeaveScreen { align: center middle; background: $ground; }
    LeaveScreen > Vertical {
        width: 66; max-width: 100%; height: auto; max-height: 100%; padding: 1 2;
        border: heavy $accent; background: $ground; overflow-y: auto;
    }
    LeaveScreen .question { text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(either_case("y"), "answer(True)", "Leave"),
        Binding(either_case("n,escape"), "answer(False)", "Go on"),
    ]

    def __init__(self, folder: Path | None) -> None:
        super().__init__()
        self._folder = folder

    def compose(self) -> ComposeResult:
        """Lay out the question and its keys."""
        with Vertical():
            yield Words("Leave this walk?", classes="question")
            yield Words("What was acknowledged is on disk. The session stays open, unsealed, in:")
            yield Words(str(self._folder or "(no session has begun)"))
            yield Words("It can be walked on later: rungside walk --resume and this folder.")
            yield Words("Leave the unit safe.")
            yield KeyLine(HINTS)

    def action_answer(self, is_leaving: bool) -> None:
        """Take the answer."""
        self.dismiss(is_leaving)

    def ask_to_leave(self) -> None:
        """Take being asked again for a yes."""
        self.dismiss(True)
