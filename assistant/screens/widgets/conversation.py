"""The conversation: who said what, one entry after another, never taken back."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text
from textual.containers import Vertical

from assistant.screens.widgets.blocks import Words


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was said.

    Args:
        who: who said it or what it is, as "You", "Step", "CAUTION".
        text: the words, for the eye.
        is_own: whether the technician said it.
    """

    who: str
    text: str
    is_own: bool = False


def entry_text(entry: Entry) -> Text:
    """Give an entry as text: who in bold; the technician's own behind a mark, bold as a whole."""
    if entry.is_own:
        return Text(f"> {entry.who}: {entry.text}", style="bold")
    return Text.assemble((f"{entry.who}: ", "bold"), entry.text)


class Conversation(Vertical):
    """Shows entries in order; the newest is the last.

    Entries are shown many to a block, so that a walk of two thousand turns is as quick as a short
    one.
    """

    DEFAULT_CSS = "Conversation { height: auto; color: $faint; }"
    _BLOCK = 20

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(id=id)
        self._open: list[Text] = []

    async def add(self, entries: Sequence[Entry]) -> None:
        """Add entries at the end."""
        for entry in entries:
            if not self._open:
                await self.mount(Words())
            self._open.append(entry_text(entry))
            if len(self._open) == self._BLOCK:
                self._close_block()
        if self._open:
            self._last.update(Text("\n").join(self._open))

    @property
    def _last(self) -> Words:
        return self.query(Words).last()

    def _close_block(self) -> None:
        self._last.update(Text("\n").join(self._open))
        self._open = []
