"""What the desk hands to the review: where the sessions are, who reviews, and what opens a flow."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from textual.screen import Screen

from assistant.flow.linked import Flow
from assistant.journal.writer import Clock


@dataclass(frozen=True, slots=True)
class Handed:
    """What a review works with.

    Args:
        sessions: the folder that holds the sessions.
        clock: gives the time of a remark.
        load: opens a flow by a shipped name or a file; raises RungsideError.
        author: who reviews, as set; may be empty and is then asked for.
        play: plays a sound file; None where nothing can be played.
    """

    sessions: Path
    clock: Clock
    load: Callable[[str], Flow]
    author: str = ""
    play: Callable[[Path], None] | None = None


_BASE = 2
"""The application's own blank screen and the one it was opened with."""


def leave(screen: Screen[None]) -> None:
    """Go back to the screen this one was opened from; leave where it is the first."""
    if len(screen.app.screen_stack) > _BASE:
        screen.dismiss()
    else:
        screen.app.exit(0)
