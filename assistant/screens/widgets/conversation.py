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
    """Give an entry as text: who in bold, the technician's own behind a mark."""
    mark = "> " if entry.is_own else ""
    return Text.assemble((f"{mark}{entry.who}: ", "bold"), entry.text)


class Conversation(Vertical):
    """Shows entries in order; the newest is the last.

    Args:
        most: how many entries are kept on the screen; the record keeps all.
    """

    DEFAULT_CSS = """
    Conversation { height: auto; color: $faint; }
    Conversation > .own { color: $text; }
    """

    def __init__(self, most: int = 200, *, id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(id=id)
        self._most = most

    async def add(self, entries: Sequence[Entry]) -> None:
        """Add entries at the end; the oldest beyond the most are let go."""
        new = [Words(entry_text(one), classes="own" if one.is_own else "") for one in entries]
        await self.mount_all(new[-self._most :])
        surplus = len(self.children) - self._most
        await self.remove_children(self.children[: max(surplus, 0)])
