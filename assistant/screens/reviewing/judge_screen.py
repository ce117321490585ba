"""Judging again: choose an edition of the flow, see what would differ."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input

from assistant.errors import RungsideError
from assistant.screens.reviewing.detail import Detail
from assistant.screens.reviewing.handed import Handed
from assistant.screens.reviewing.judging import Judgement, judge_again
from assistant.screens.reviewing.opened import Opened
from assistant.screens.reviewing.roll import Roll, columns
from assistant.screens.reviewing.wording import tidy
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint

if TYPE_CHECKING:
    from assistant.journal.replay import Difference

HINTS = (
    KeyHint("Enter", "judge by this flow"),
    KeyHint("Tab", "list, words"),
    KeyHint("PgUp/PgDn", "page"),
    KeyHint("F9", "theme"),
    KeyHint("Esc", "back"),
)


class Judged(Message):
    """The session was judged again."""

    def __init__(self, judgement: Judgement) -> None:
        super().__init__()
        self.judgement = judgement


class NotJudged(Message):
    """It could not be judged."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class JudgeScreen(Screen[None]):
    """Judges one session by another edition of its flow.

    Args:
        handed: what the review works with.
        opened: the session.
    """

    DEFAULT_CSS = """
    JudgeScreen { layout: vertical; }
    JudgeScreen #head { height: auto; background: $panel; padding: 0 1; }
    JudgeScreen #title { text-style: bold; }
    JudgeScreen #entry { height: 1; }
    JudgeScreen #mark { width: 15; text-style: bold; }
    JudgeScreen Input { width: 1fr; background: $panel; color: $text; }
    JudgeScreen Input:focus { background: $ground; }
    JudgeScreen #summary { padding: 0 1; }
    JudgeScreen #detail { border-top: solid $line; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "Back")]

    def __init__(self, handed: Handed, opened: Opened) -> None:
        super().__init__()
        self._handed, self._opened = handed, opened
        self._differences: tuple[Difference, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out the question, what differs, and the keys."""
        with Container(id="head"):
            yield Words("Judge again by another edition of the flow", id="title")
            with Horizontal(id="entry"):
                yield Words("Flow or file:", id="mark")
                yield Input(self._opened.account.flow, compact=True, id="flow")
        yield Words("Press Enter to walk the same words through this flow.", id="summary")
        yield Roll("No difference to show.", id="differences")
        yield Detail(id="detail")
        yield KeyLine(HINTS, id="keys")

    def on_mount(self) -> None:
        """Begin with the flow's name."""
        entry = self.query_one(Input)
        entry.cursor_blink = self.app.animation_level != "none"
        entry.focus()

    @on(Input.Submitted)
    def judge(self, event: Input.Submitted) -> None:
        """Judge by the flow that was named."""
        name = event.value.strip()
        self.query_one("#summary", Words).update(f"Judging by {name or 'no flow'} …")
        self.run_worker(lambda: self._judge(name), thread=True, name="judge", exclusive=True)

    def _judge(self, name: str) -> None:
        try:
            judgement = judge_again(self._opened, self._handed.load(name))
        except RungsideError as error:
            self.post_message(NotJudged(str(error)))
        else:
            self.post_message(Judged(judgement))

    @on(NotJudged)
    def show_trouble(self, message: NotJudged) -> None:
        """Show why it could not be judged."""
        self.query_one("#summary", Words).update(message.sentence)

    @on(Judged)
    def show_judgement(self, message: Judged) -> None:
        """Show what differs."""
        self.query_one("#summary", Words).update("\n".join(message.judgement.summary))
        self._differences = message.judgement.differences
        roll = self.query_one(Roll)
        roll.show_items(len(self._differences), self._row)
        if self._differences:
            roll.focus()

    def _row(self, place: int, width: int) -> tuple[str, ...]:
        one = self._differences[place]
        line = f"line {one.line}" if one.line else "end"
        return (columns([(line, 9), (tidy(one.replayed or f"not: {one.recorded}"), 0)], width),)

    @on(Roll.Marked)
    def show_detail(self, message: Roll.Marked) -> None:
        """Show the marked difference in full."""
        if message.roll.place < len(self._differences):
            one = self._differences[message.roll.place]
            pairs = [("On record", tidy(one.recorded) or "nothing")]
            pairs.append(("By this flow", tidy(one.replayed) or "nothing"))
            self.query_one(Detail).show(pairs)
        else:
            self.query_one(Detail).show(())

    def action_back(self) -> None:
        """Go back to the session."""
        self.dismiss()
