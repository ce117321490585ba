"""The parts of the walk screen: what is asked, what was judged, what stands beside, the end."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widget import Widget

from assistant.journal.account import Account
from assistant.screens.walking.view import Ask, Row, WalkView
from assistant.screens.widgets.blocks import CautionBlock, VerdictBlock, VerdictFacts, Words
from assistant.screens.widgets.leads import LeadsDrawing
from assistant.screens.words import DEFERENCE, OUTCOME_WORDS
from assistant.walk.state import Turn

HELD = "ON HOLD. Nothing is asked and nothing runs out. The walk waits as long as it takes."


class Talk(VerticalScroll):
    """The conversation with what is asked at its end; shows that whole, or its beginning."""

    DEFAULT_CSS = """
    Talk { width: 1fr; height: 1fr; padding: 0 1; background: $ground; }
    Talk:focus { background: $ground; border-left: heavy $accent; }
    """
    _block: Widget | None = None

    def show_last(self, block: Widget) -> None:
        """Show a block whole; where it is higher than the room, its beginning."""
        self._block = block
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Scroll to the end, or to the beginning of a last block that does not fit."""
        block = self._block
        if block is None:
            return
        if block.outer_size.height > self.size.height:
            self.scroll_to_widget(block, top=True, animate=False, force=True, immediate=True)
        else:
            self.scroll_end(animate=False, force=True, immediate=True)

    def watch_virtual_size(self) -> None:
        """Show the last block again once what stands above it has its height."""
        self.call_after_refresh(self.fit)

    def on_resize(self) -> None:
        """Show the last block again in the new room."""
        self.call_after_refresh(self.fit)


class LastBlock(Vertical):
    """A block at the end of the talk, which is told when its height changes."""

    def on_resize(self) -> None:
        """Let the talk show it whole."""
        if isinstance(self.parent, Talk):
            self.parent.fit()


class AskPanel(LastBlock):
    """What the walk asks now: the caution that waits, or the step with what is expected."""

    DEFAULT_CSS = """
    AskPanel { height: auto; margin-top: 1; }
    AskPanel .name { color: $faint; }
    AskPanel .prompt { text-style: bold; padding: 0 1; }
    AskPanel .held { text-style: bold reverse; padding: 0 1; }
    AskPanel .expected { color: $text; padding: 0 1; }
    AskPanel .seen { text-style: bold underline; padding: 0 1; }
    AskPanel LeadsDrawing { padding: 0 1; color: $faint; }
    """

    async def show(self, ask: Ask) -> None:
        """Show what is asked in place of what was."""
        await self.remove_children()
        await self.mount_all(list(_ask_parts(ask)))

    async def show_seen(self, line: str) -> None:
        """Show what meter, plate or eyes show on a simulated unit."""
        await self.query(".seen").remove()
        await self.mount(Words(line, classes="seen"))


def _ask_parts(ask: Ask) -> Iterator[Widget]:
    if ask.is_held:
        yield Words(HELD, classes="held")
        yield Words("\n".join(ask.expected), classes="expected")
        return
    if ask.turn is Turn.CAUTION:
        yield CautionBlock(ask.text, ask.answer)
        return
    yield Words(f"Step: {ask.name}", classes="name")
    yield Words(ask.text, classes="prompt")
    places = () if ask.leads is None else (ask.leads.words,)
    yield Words("\n".join((*places, *ask.expected)), classes="expected")
    if ask.leads is not None:
        drawing = LeadsDrawing(is_short=True)
        drawing.show(ask.leads)
        yield drawing


class VerdictPanel(Vertical):
    """What the last answer was judged; empty where nothing was."""

    DEFAULT_CSS = """
    VerdictPanel { height: auto; }
    """

    async def show(self, verdicts: Sequence[VerdictFacts]) -> None:
        """Show what was judged in place of what stood."""
        await self.remove_children()
        await self.mount_all([VerdictBlock(facts) for facts in verdicts])


class SidePanel(VerticalScroll):
    """Beside the walk: where the probes go, what was found, the nameplate, the readings."""

    DEFAULT_CSS = """
    SidePanel {
        width: 30; height: 1fr; padding: 0 1; border-left: solid $line;
        background: $ground; color: $text;
    }
    SidePanel:focus { border-left: heavy $accent; }
    """

    def compose(self) -> ComposeResult:
        """Lay out the drawing and one text."""
        yield LeadsDrawing(columns=26, id="leads")
        yield Words(id="beside")

    def show(self, view: WalkView) -> None:
        """Show the values of a view."""
        self.query_one(LeadsDrawing).show(view.ask.leads)
        self.query_one("#beside", Words).update(beside_text(view))


def beside_text(view: WalkView) -> Text:
    """Give what stands beside a walk as text."""
    text = Text()
    if view.findings:
        text.append("FOUND\n", style="bold")
        text.append("".join(f"{part}\n" for part in view.findings))
    _append_rows(text, "NAMEPLATE", view.nameplate, "not read yet")
    _append_rows(text, "READINGS, newest first", view.readings, "none yet")
    return text


def _append_rows(text: Text, heading: str, rows: Sequence[Row], none: str) -> None:
    text.append(f"{heading}\n", style="bold")
    if not rows:
        text.append(f"{none}\n")
    for row in rows:
        text.append(f"{row.label}: {row.shown}")
        text.append(f" {row.verdict}\n" if row.verdict else "\n", style="bold")


class EndPanel(LastBlock):
    """How a walk ended: outcome, findings, the seal's code, where the record is."""

    DEFAULT_CSS = """
    EndPanel { height: auto; margin-top: 1; border: heavy $line; padding: 0 1; }
    EndPanel .outcome { text-style: bold; }
    """

    async def show(self, account: Account, folder: Path, closing: Sequence[str]) -> None:
        """Show what a walk came to."""
        await self.remove_children()
        await self.mount(Words(outcome_line(account), classes="outcome"))
        await self.mount_all([Words(line) for line in end_lines(account, folder, closing)])


def outcome_line(account: Account) -> str:
    """Say how the walk ended, and on what."""
    on = f", {account.unit}" if account.unit else ""
    return f"{OUTCOME_WORDS.get(account.outcome, account.outcome)}: {account.title}{on}."


def end_lines(account: Account, folder: Path, closing: Sequence[str]) -> Iterator[str]:
    """Give what a walk came to, line by line."""
    if account.outcome == "stopped" and account.why:
        yield f"Why: {account.why}"
    for finding in account.findings:
        yield f"Finding: {finding.part}. {finding.reason}"
        if finding.licensed:
            yield "A licensed person must take over."
        yield f"Repair: {finding.repair}"
        if finding.replacement:
            yield f"Replacement: {finding.replacement}"
    yield from closing
    yield f"Seal code: {account.seal_code}" if account.is_sealed else "The record is not sealed."
    yield f"Record: {folder}"
    yield DEFERENCE
