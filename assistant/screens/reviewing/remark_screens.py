"""Saying something of a session: a remark on a turn or on all of it, and the sign-off."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, TextArea

from assistant.errors import RungsideError
from assistant.journal.remarking import remark, sign_off
from assistant.journal.remarks import Remarks
from assistant.journal.signing import cares_before_signing
from assistant.screens.reviewing.handed import Handed
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.turns import turn_at
from assistant.screens.reviewing.wording import clock_words, tidy
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint, spaced

_SAVE = (KeyHint("Tab", "next field"), KeyHint("Ctrl+S", "save"), KeyHint("Esc", "drop it"))


class SayScreen(ModalScreen[Opened | None]):
    """Asks for words and a name, and writes them beside the record.

    Args:
        handed: what the review works with.
        opened: the session.
    """

    DEFAULT_CSS = """
    SayScreen { align: center middle; background: $ground; }
    SayScreen > VerticalScroll {
        width: 70; max-width: 100%; height: auto; max-height: 100%; padding: 0 1;
        border: heavy $accent; background: $ground;
    }
    SayScreen .question { text-style: bold; }
    SayScreen TextArea { height: 6; border: solid $line; background: $ground; color: $text; }
    SayScreen TextArea:focus { border: heavy $accent; }
    SayScreen Horizontal { height: 1; }
    SayScreen .name { width: 11; text-style: bold; }
    SayScreen Input { width: 1fr; background: $panel; color: $text; }
    SayScreen Input:focus { background: $chosen; }
    SayScreen #trouble { text-style: bold; }
    SayScreen #care { text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "Save", priority=True),
        Binding("escape", "drop", "Drop it", priority=True),
        Binding("tab", "app.focus_next", "Next field", priority=True, show=False),
    ]
    question = ""
    hints: ClassVar[tuple[KeyHint, ...]] = _SAVE

    def __init__(self, handed: Handed, opened: Opened) -> None:
        super().__init__()
        self.handed, self.opened = handed, opened

    def about(self) -> str:
        """Say what it is about."""
        return tidy(self.opened.account.unit) or "this session"

    def care(self, author: str) -> str:
        """Say what is to be known before it is written by that name; empty where nothing is."""
        del author
        return ""

    @on(Input.Changed)
    def warn(self, event: Input.Changed) -> None:
        """Say it for the name that is written now."""
        self.show_care(event.value)

    def show_care(self, author: str) -> None:
        """Show what is to be known before it is written by that name; no line where nothing is."""
        words, text = self.query_one("#care", Words), self.care(author)
        words.update(text)
        words.display = bool(text)

    def write(self, text: str, author: str) -> Remarks:
        """Write what was said; may raise RungsideError."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """Lay out the question, the words, the name and the keys."""
        with VerticalScroll(can_focus=False):
            yield Words(self.question, classes="question")
            yield Words(self.about(), id="about")
            yield Words("", id="care")
            area = TextArea(id="text", tab_behavior="focus", soft_wrap=True)
            area.cursor_blink = self.app.animation_level != "none"
            yield area
            with Horizontal():
                yield Words("Your name:", classes="name")
                yield Input(self.handed.author, compact=True, id="author")
            yield Words("", id="trouble")
            yield KeyLine(self.hints)

    def on_mount(self) -> None:
        """Begin with the words."""
        self.show_care(self.handed.author)
        self.query_one(TextArea).focus()

    def action_save(self) -> None:
        """Write it; what stands in the way is said, and nothing is lost."""
        text, author = self.query_one(TextArea).text, self.query_one(Input).value
        try:
            remarks = self.write(text, author)
        except RungsideError as error:
            self.query_one("#trouble", Words).update(str(error))
            return
        self.dismiss(self.opened.with_remarks(remarks))

    def ask_to_leave(self) -> None:
        """Leave where nothing is written yet; else say what to do with it first."""
        if self.query_one(TextArea).text.strip():
            self.query_one("#trouble", Words).update("Save it with Ctrl+S, or drop it with Esc.")
        else:
            self.app.exit(0)

    def action_drop(self) -> None:
        """Leave without writing."""
        self.dismiss(None)


class RemarkScreen(SayScreen):
    """Asks for a remark.

    Args:
        handed: what the review works with.
        opened: the session.
        line: the journal's line that it is about; 0 for the whole session.
    """

    question = "Your remark. It is added beside the record, which stays as it is."

    def __init__(self, handed: Handed, opened: Opened, line: int) -> None:
        super().__init__(handed, opened)
        self._line = line

    def about(self) -> str:
        """Say which turn it is about."""
        if not self._line:
            return f"On the whole session: {super().about()}"
        turn = self.opened.turns[turn_at(self.opened.turns, self._line)]
        heard = f', "{tidy(turn.heard)}"' if turn.heard else ""
        return f"On the turn at {clock_words(turn.time)}, {spaced(turn.step) or 'the start'}{heard}"

    def write(self, text: str, author: str) -> Remarks:
        """Write the remark."""
        return remark(
            self.opened.folder, text, author=author, line=self._line, clock=self.handed.clock
        )


NOT_CHOSEN = "F2: agree, F3: disagree. Neither is chosen yet."


class SignScreen(SayScreen):
    """Asks whether a lead agrees with the finding, and why."""

    question = "Sign off: do you agree with the finding, and why?"
    hints: ClassVar[tuple[KeyHint, ...]] = (
        KeyHint("F2", "agree"),
        KeyHint("F3", "disagree"),
        *_SAVE,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "agree(True)", "Agree", priority=True),
        Binding("f3", "agree(False)", "Disagree", priority=True),
    ]

    def __init__(self, handed: Handed, opened: Opened) -> None:
        super().__init__(handed, opened)
        self.agrees: bool | None = None

    def about(self) -> str:
        """Say what was found, and what was chosen."""
        found = "; ".join(tidy(one.part) for one in self.opened.account.findings)
        chosen = {True: "I AGREE (F3 changes it).", False: "I DISAGREE (F2 changes it)."}
        words = NOT_CHOSEN if self.agrees is None else chosen[self.agrees]
        return f"Finding: {found or 'none was made'}.\n{words}"

    def care(self, author: str) -> str:
        """Warn of a session without a seal, and of a technician's own."""
        cares = cares_before_signing(self.opened.account, author)
        return "\n".join(f"TAKE CARE: {tidy(sentence)}" for sentence in cares)

    def action_agree(self, is_agreed: bool) -> None:
        """Choose."""
        self.agrees = is_agreed
        self.query_one("#about", Words).update(self.about())

    def write(self, text: str, author: str) -> Remarks:
        """Write the sign-off."""
        if self.agrees is None:
            raise RungsideError("It is not chosen whether you agree.", "Press F2 or F3.")
        return sign_off(
            self.opened.folder,
            author=author,
            agrees=self.agrees,
            why=text,
            findings=[one.id for one in self.opened.account.findings],
            clock=self.handed.clock,
        )
