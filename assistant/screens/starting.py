"""The start screen: what `rungside` alone opens, and where one comes back to after a walk."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Protocol

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from assistant.errors import RungsideError
from assistant.screens.walking.errand import Errand
from assistant.screens.walking.screen import WalkScreen
from assistant.screens.widgets.blocks import Words
from assistant.screens.widgets.key_line import KeyLine
from assistant.screens.words import DEFERENCE, KeyHint

WALK, REVIEW, PRACTISE, DOCTOR = "walk", "review", "practise", "doctor"

CHOICES = (
    (WALK, "Walk      a unit at hand, one safe step at a time"),
    (REVIEW, "Review    sessions: read, replay, sign off"),
    (PRACTISE, "Practise  a simulated unit with a hidden fault"),
    (DOCTOR, "Doctor    what can be heard and said on this machine"),
)
HINTS = (
    KeyHint("Up/Down", "choose"),
    KeyHint("Enter", "open"),
    KeyHint("F9", "theme"),
    KeyHint("Ctrl+Q", "quit"),
)
BACK = KeyHint("Esc", "back")


@dataclass(frozen=True, slots=True)
class FlowCard:
    """A flow that can be walked.

    Args:
        id: its id.
        title: for people.
    """

    id: str
    title: str


class Counter(Protocol):
    """What the desk hands over the counter: flows, errands, other screens."""

    def flows(self) -> Sequence[FlowCard]:
        """List the flows that can be walked."""

    def walk_errand(self, flow: str, unit: str) -> Errand:
        """Give the errand of walking a flow on a unit."""

    def practice_errand(self, flow: str) -> Errand:
        """Give the errand of practising a flow."""

    def examine(self) -> Sequence[str]:
        """Say what can be heard and said here, in lines; may take seconds."""

    def review(self) -> Screen[None]:
        """Make the screen of the sessions."""


class _Menu(Screen[None]):
    """A list to choose from, with a heading and the keys."""

    DEFAULT_CSS = """
    _Menu #head { background: $panel; color: $text; padding: 0 1; text-style: bold; }
    _Menu #body { height: 1fr; padding: 1 1; }
    _Menu OptionList {
        height: auto; border: none; padding: 0; background: $ground; color: $text;
    }
    _Menu OptionList:focus { border: none; background: $ground; }
    _Menu OptionList > .option-list--option-highlighted {
        background: $chosen; color: $text; text-style: bold underline;
    }
    _Menu OptionList:focus > .option-list--option-highlighted {
        background: $chosen; color: $text; text-style: bold underline;
    }
    _Menu .note { color: $faint; padding: 1 0 0 0; }
    _Menu #unit { height: 1; margin-top: 1; }
    _Menu #unit-label { width: auto; padding: 0 1 0 0; }
    _Menu Input { width: 1fr; background: $panel; color: $text; }
    _Menu Input:focus { background: $panel; }
    _Menu Input > .input--placeholder { color: $faint; }
    """

    def on_mount(self) -> None:
        """Stand at the first choice."""
        choices = self.query_one(OptionList)
        choices.highlighted = 0
        choices.focus()


class StartScreen(_Menu):
    """Walk, review, practise, doctor.

    Args:
        counter: hands over what is chosen.
    """

    def __init__(self, counter: Counter) -> None:
        super().__init__()
        self._counter = counter

    def compose(self) -> ComposeResult:
        """Lay out heading, list and keys."""
        yield Words("Rungside: find the fault, one safe step at a time", id="head")
        with VerticalScroll(id="body", can_focus=False):
            yield OptionList(*(Option(words, id=name) for name, words in CHOICES), id="choices")
            yield Words(DEFERENCE, classes="note")
        yield KeyLine(HINTS)

    @on(OptionList.OptionSelected)
    def open_choice(self, event: OptionList.OptionSelected) -> None:
        """Open what was chosen."""
        chosen = event.option.id
        if chosen in {WALK, PRACTISE}:
            self.app.push_screen(FlowScreen(self._counter, is_practice=chosen == PRACTISE))
        elif chosen == DOCTOR:
            self.app.push_screen(DoctorScreen(self._counter))
        else:
            self.app.push_screen(self._counter.review())


class FlowScreen(_Menu):
    """Which flow, and on which unit.

    Args:
        counter: hands over the errand.
        is_practice: whether a simulated unit is walked.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "Back")]

    def __init__(self, counter: Counter, *, is_practice: bool) -> None:
        super().__init__()
        self._counter, self._is_practice = counter, is_practice

    def compose(self) -> ComposeResult:
        """Lay out the flows, and the unit's tag where a real one is walked."""
        verb = "Practise" if self._is_practice else "Walk"
        yield Words(f"{verb}: which flow?", id="head")
        with VerticalScroll(id="body", can_focus=False):
            cards = self._counter.flows()
            yield OptionList(*(Option(card.title, id=card.id) for card in cards))
            if not self._is_practice:
                with Horizontal(id="unit"):
                    yield Words("Unit:", id="unit-label")
                    yield Input(placeholder="its tag, if you like", compact=True, id="tag")
        tab = () if self._is_practice else (KeyHint("Tab", "unit's tag"),)
        yield KeyLine((*HINTS[:2], *tab, BACK, *HINTS[2:]))

    @on(OptionList.OptionSelected)
    def open_flow(self, event: OptionList.OptionSelected) -> None:
        """Walk the flow that was chosen."""
        self._open(event.option.id or "")

    @on(Input.Submitted)
    def open_from_unit(self) -> None:
        """Walk the flow that is highlighted, once the unit is named."""
        flows = self.query_one(OptionList)
        if flows.highlighted is not None:
            self._open(flows.get_option_at_index(flows.highlighted).id or "")

    def _open(self, flow: str) -> None:
        if self._is_practice:
            errand = self._counter.practice_errand(flow)
        else:
            errand = self._counter.walk_errand(flow, self.query_one("#tag", Input).value.strip())
        self.app.switch_screen(WalkScreen(errand))

    def action_back(self) -> None:
        """Go back to the start."""
        self.dismiss()


class DoctorScreen(Screen[None]):
    """What can be heard and said on this machine.

    Args:
        counter: asks the machine.
    """

    DEFAULT_CSS = """
    DoctorScreen #head { background: $panel; color: $text; padding: 0 1; text-style: bold; }
    DoctorScreen #body { height: 1fr; padding: 1 1; background: $ground; }
    DoctorScreen #body:focus { background: $ground; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "Back")]

    def __init__(self, counter: Counter) -> None:
        super().__init__()
        self._counter = counter

    def compose(self) -> ComposeResult:
        """Lay out the lines, once they are there."""
        yield Words("Doctor: what can be heard and said here", id="head")
        with VerticalScroll(id="body"):
            yield Words("Looking at microphones, recognisers and speech …", id="lines")
        yield KeyLine((KeyHint("Up/Down", "scroll"), BACK, *HINTS[2:]))

    def on_mount(self) -> None:
        """Ask the machine, beside the screen."""
        self.query_one("#body").focus()
        self._examine()

    @work(thread=True)
    def _examine(self) -> None:
        try:
            lines = "\n".join(self._counter.examine())
        except RungsideError as error:
            lines = str(error)
        self.app.call_from_thread(self.query_one("#lines", Words).update, lines)

    def action_back(self) -> None:
        """Go back to the start."""
        self.dismiss()
