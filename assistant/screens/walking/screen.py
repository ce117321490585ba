"""The walk screen: one step at a time, by typing and by voice, nothing lost and nothing hurried."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal
from textual.screen import Screen
from textual.widgets import Input

from assistant.ears.beside import Line
from assistant.screens.app import AnotherWanted
from assistant.screens.walking import messages
from assistant.screens.walking.conducting import Conductor
from assistant.screens.walking.errand import Errand
from assistant.screens.walking.keys import HELD_KEY, MEDIA_KEYS, SPOKEN_KEYS, walking_hints
from assistant.screens.walking.layout import LAYOUT
from assistant.screens.walking.leaving import LeaveScreen
from assistant.screens.walking.panels import AskPanel, EndPanel, SidePanel, Talk, VerdictPanel
from assistant.screens.walking.view import WalkView
from assistant.screens.widgets.answer_line import AnswerLine
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.captions import CaptionLine
from assistant.screens.widgets.conversation import Conversation, Entry
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import KeyHint, either_case, verdict_word

if TYPE_CHECKING:
    from pathlib import Path

    from textual.timer import Timer

    from assistant.journal.account import Account

CHANGED = "The step changed while you were typing. Look at it, then press Enter again."
END_HINTS = (
    KeyHint("N", "another walk"),
    KeyHint("Q", "quit"),
    KeyHint("F9", "theme"),
    KeyHint("PgUp/PgDn", "scroll"),
)
FAIL_HINTS = (KeyHint("T", "try again"), KeyHint("Q", "quit"), KeyHint("PgUp/PgDn", "scroll"))
_HEARD = "Heard: "


def _place(view: WalkView) -> tuple[str, str]:
    """Give what stays the same while one answer is waited for."""
    return view.ask.name, view.standing


class WalkScreen(Screen[None]):
    """Walks one errand.

    Args:
        errand: what is walked.
    """

    DEFAULT_CSS = LAYOUT
    BINDINGS: ClassVar[list[BindingType]] = [
        *(Binding(key.key, f"say_key('{key.key}')", key.words) for key in SPOKEN_KEYS),
        Binding("pageup", "scroll_talk(-1)", "Scroll up"),
        Binding("pagedown", "scroll_talk(1)", "Scroll down"),
        Binding(either_case("n"), "another", "Another walk"),
        Binding(either_case("q"), "quit_after", "Quit"),
        Binding(either_case("t"), "try_again", "Try again"),
    ]

    def __init__(self, errand: Errand) -> None:
        super().__init__()
        self._conductor = Conductor(errand, self.post_message, self._is_typing)
        self._view: WalkView | None = None
        self._who = self._noticed = ""
        self._asked: tuple[Entry, ...] = ()
        self._typed_at: int | None = None
        self._seen: tuple[tuple[str, str], str] = (("", ""), "")
        self._is_ended = self._is_failed = self._is_leaving = False
        self._pages: list[str] = []
        self._page_timer: Timer | None = None
        self.folder: Path | None = None
        self.account: Account | None = None

    @property
    def view(self) -> WalkView | None:
        """Give the turn that is shown."""
        return self._view

    def compose(self) -> ComposeResult:
        """Lay out head, body and foot."""
        with Container(id="head"):
            yield Words("Opening the flow …", id="title")
            yield Words("", id="standing")
        with Container(id="body"):
            with Talk(id="talk"):
                yield Conversation(id="conversation")
                yield VerdictPanel(id="verdicts")
                yield AskPanel(id="ask")
                yield EndPanel(id="end", classes="hidden")
            yield SidePanel(id="side")
        with Container(id="foot"):
            yield Words(_HEARD + "nothing yet", id="heard")
            yield Words("", id="notice", classes="hidden")
            yield Words("", id="talk-key", classes="hidden")
            yield CaptionLine(id="caption")
            with Horizontal(id="entry"):
                yield Words(">", id="mark")
                yield AnswerLine(
                    placeholder="type the answer, then Enter", compact=True, id="answer"
                )
            yield KeyLine(walking_hints(is_held=False), id="keys")

    def on_mount(self) -> None:
        """Begin to walk."""
        self.query_one("#caption").display = False
        answer = self.query_one("#answer", Input)
        answer.cursor_blink = self.app.animation_level != "none"
        answer.focus()
        self.run_worker(self._conductor.walk, thread=True, name="walk")

    def on_unmount(self) -> None:
        """Let the walking thread end."""
        self._conductor.leave()

    # What the walking thread tells.

    @on(messages.Began)
    async def show_head(self, message: messages.Began) -> None:
        """Show on what is walked, by whom."""
        self.folder = message.folder
        self._who = " · ".join(part for part in (message.unit, message.technician) if part)
        if message.opening:
            await self.query_one(Conversation).add([Entry("Note", message.opening)])

    @on(messages.TurnShown)
    async def show_turn(self, message: messages.TurnShown) -> None:
        """Show a turn."""
        with self.app.batch_update():
            await self._show_view(message.view)
        self._view = message.view
        self._show_ask()

    async def _show_view(self, view: WalkView) -> None:
        title = " · ".join(part for part in (view.title, self._who) if part)
        self.query_one("#title", Words).update(title)
        self.query_one("#standing", Words).update(view.standing)
        await self._tell_entries(view)
        if view.verdicts is not None:
            await self.query_one(VerdictPanel).show(view.verdicts)
        if view.heard is not None:
            judged = (
                f"{one.label} {one.shown} {verdict_word(one.verdict)}"
                for one in view.verdicts or ()
            )
            self.query_one("#heard", Words).update(" · ".join((_HEARD + view.heard, *judged)))
            self._notice("")
        await self.query_one(AskPanel).show(view.ask)
        if self._seen[0] == _place(view) and not view.ask.is_held:
            await self.query_one(AskPanel).show_seen(self._seen[1])
        self.query_one(SidePanel).show(view)
        self.query_one(KeyLine).set_hints(walking_hints(is_held=view.ask.is_held))

    async def _tell_entries(self, view: WalkView) -> None:
        """Put what was said into the conversation; what is asked now waits in its own block."""
        is_next = self._view is None or view.turn != self._view.turn
        before = self._asked if is_next else ()
        await self.query_one(Conversation).add((*before, *view.entries))
        self._asked = view.asked

    def _show_ask(self) -> None:
        block = self.query_one(EndPanel if self._is_ended else AskPanel)
        self.query_one(Talk).show_last(block)

    @on(messages.Seen)
    async def show_seen(self, message: messages.Seen) -> None:
        """Show what the simulated unit shows."""
        await self.query_one(AskPanel).show_seen(message.line)
        if self._view is not None:
            self._seen = _place(self._view), message.line
        self._asked = (*self._asked, Entry("Bench", message.line))
        self._show_ask()

    @on(messages.Noticed)
    def show_notice(self, message: messages.Noticed) -> None:
        """Show a sentence about the ends, under the one before; both stay until the next answer."""
        if message.sentence not in self._noticed:
            self._notice("\n".join(filter(None, (self._noticed, message.sentence))))

    def _notice(self, sentence: str) -> None:
        self._noticed = sentence
        notice = self.query_one("#notice", Words)
        notice.update(sentence)
        notice.set_class(not sentence, "hidden")

    @on(messages.TalkShown)
    def show_talk(self, message: messages.TalkShown) -> None:
        """Show whether sound counts now; its key works from the first time on."""
        line = self.query_one("#talk-key", Words)
        if line.has_class("hidden"):
            keys = MEDIA_KEYS if message.key == "media" else message.key
            self._bindings.bind(keys, "talk", "Talk", priority=True)
            self.query_one(AnswerLine).talk_key = message.key
            line.remove_class("hidden")
        line.update(message.line)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Leave the talk key to what is being typed, or to the end of the walk."""
        del parameters
        is_busy = self._is_typing() or self._is_ended or self._is_failed
        return not (action == "talk" and is_busy)

    def action_talk(self) -> None:
        """Take a press of the talk key."""
        if self._conductor.presses is not None:
            self._conductor.presses.press()

    @on(messages.Voiced)
    def show_voiced(self, message: messages.Voiced) -> None:
        """Make room for captions where it is said aloud."""
        self.query_one("#caption").display = message.is_aloud
        if message.is_heard:
            self.query_one("#answer", Input).placeholder = "say it, or type it and press Enter"

    @on(messages.Saying)
    def show_caption(self, message: messages.Saying) -> None:
        """Show a caption, page after page at the pace of the voice."""
        if self._page_timer is not None:
            self._page_timer.stop()
        self._pages = list(message.pages)
        self._turn_page()
        if self._pages:
            pace = message.seconds / max(len(message.pages), 1)
            self._page_timer = self.set_interval(max(pace, 0.5), self._turn_page)

    def _turn_page(self) -> None:
        if self._pages:
            self.query_one(CaptionLine).show_page(self._pages.pop(0))
        elif self._page_timer is not None:
            self._page_timer.stop()

    @on(messages.Finished)
    async def show_end(self, message: messages.Finished) -> None:
        """Show what it came to; leave where that was asked."""
        self.account, self.folder = message.account, message.folder
        if self._is_leaving:
            self.app.exit(1)
            return
        self._is_ended = True
        self._tell_end(END_HINTS)
        end = self.query_one(EndPanel)
        await end.show(message.account, message.folder, message.closing)
        end.remove_class("hidden")
        self._show_ask()

    @on(messages.Failed)
    def show_failure(self, message: messages.Failed) -> None:
        """Show why the walk cannot go on; what was kept can be tried again."""
        self._is_failed = True
        if self._is_leaving:
            self._conductor.give_up()
            self.app.exit(1)
            return
        kept = f" What was acknowledged is kept in {message.folder}." if message.folder else ""
        self._notice(message.sentence + kept)
        self._tell_end(FAIL_HINTS if message.is_kept else FAIL_HINTS[1:])

    def _tell_end(self, hints: tuple[KeyHint, ...]) -> None:
        """Take the input line away, so that single letters are keys."""
        self.query_one(AskPanel).display = self._is_failed
        self.query_one("#entry").display = False
        self.query_one(KeyLine).set_hints(hints)
        self.query_one(Talk).focus()

    # What is typed.

    def _is_typing(self) -> bool:
        return self._typed_at is not None

    @on(Input.Changed)
    def note_typing(self, event: Input.Changed) -> None:
        """Remember at which turn the answer was begun."""
        if not event.value:
            self._typed_at = None
        elif self._typed_at is None:
            self._typed_at = self._turn

    @property
    def _turn(self) -> int:
        return 0 if self._view is None else self._view.turn

    @on(Input.Submitted)
    def send(self, event: Input.Submitted) -> None:
        """Send what was typed, if it was typed at the step that is shown."""
        if self._view is None:
            return
        if self._typed_at not in {None, self._turn}:
            self._typed_at = self._turn
            self._notice(CHANGED)
            return
        self._conductor.answer(Line(event.value, self._turn))
        event.input.clear()

    def action_say_key(self, key: str) -> None:
        """Say what a key stands for."""
        if self._view is None or self._is_ended or self._is_failed:
            return
        is_held = self._view.ask.is_held
        found = next(one for one in SPOKEN_KEYS if one.key == key)
        spoken = HELD_KEY if is_held and key == HELD_KEY.key else found
        turn = None if spoken.is_any_turn else self._turn
        self._conductor.answer(Line(spoken.words, turn), is_hold=spoken.words == "hold")

    def action_scroll_talk(self, pages: int) -> None:
        """Scroll the conversation by whole pages, whatever has the focus."""
        side = self.query_one(SidePanel)
        area = side if self.focused is side else self.query_one(Talk)
        if pages < 0:
            area.scroll_page_up(animate=False)
        else:
            area.scroll_page_down(animate=False)

    # How one leaves.

    def ask_to_leave(self) -> None:
        """Leave at once where the walk is over; else ask."""
        if self._is_ended or self._is_failed:
            self.action_quit_after()
        else:
            self.app.push_screen(LeaveScreen(self.folder), self._leave)

    def _leave(self, is_leaving: bool | None) -> None:
        if not is_leaving:
            return
        self._is_leaving = True
        if self._is_ended or self._is_failed:
            self.action_quit_after()
        else:
            self._conductor.leave()

    def action_quit_after(self) -> None:
        """Quit, once the walk is over."""
        if self._is_failed:
            self._conductor.give_up()
        if self._is_ended or self._is_failed:
            self.app.exit(0 if self._is_ended else 1)

    def action_another(self) -> None:
        """Ask for another walk, once this one is over."""
        if self._is_ended:
            self.post_message(AnotherWanted())

    def action_try_again(self) -> None:
        """Try again where the record could not be written."""
        if not self._is_failed or self.folder is None:
            return
        self._is_failed = False
        self._notice("")
        self.query_one("#entry").display = True
        self.query_one("#answer", Input).focus()
        self.run_worker(self._conductor.go_on, thread=True, name="walk")
