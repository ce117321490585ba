"""The terminal beside a walk: what is typed in, and what was heard."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import suppress

from assistant.desk.errors import DeskError
from assistant.desk.output import show
from assistant.desk.streams import can_be_typed
from assistant.spoken.meaning import CommandKind
from assistant.voice.written import Adjustable
from assistant.walk.ends import Voice
from assistant.walk.events import AnyEvent, Commanded, HeardWords


def typed_lines() -> Iterator[str]:
    """Give what is typed, line by line; in a terminal with a mark and with line editing.

    Raises:
        DeskError: when standard input is closed.
    """
    if not can_be_typed():
        raise DeskError(
            "Standard input is closed, so nothing can be typed.",
            "Open it, or give the answers by --answers or --listen.",
        )
    return _lines()


def _lines() -> Iterator[str]:
    if not sys.stdin.isatty():
        yield from sys.stdin
        return
    with suppress(EOFError):
        while True:
            yield input("> ")


class Console:
    """Shows what was heard, and hands pace and loudness to the voice."""

    def __init__(self, voice: Voice) -> None:
        self._voice = voice

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Show what was heard, always, with what else it could have been."""
        for event in events:
            if isinstance(event, HeardWords) and not _stands_already(event):
                show(f"You: {_heard_line(event)}")
            if isinstance(event, Commanded) and isinstance(self._voice, Adjustable):
                self._voice.adjust(CommandKind(event.command))


def _stands_already(event: HeardWords) -> bool:
    """Whether the words stand on the screen because they were typed there."""
    return event.source == "typed" and sys.stdin.isatty() and not event.is_silence


def _heard_line(event: HeardWords) -> str:
    if event.is_silence:
        return "(silence)"
    also = f" (or: {'; '.join(event.alternatives)})" if event.alternatives else ""
    return f"{event.words or '(no words)'}{also}"
