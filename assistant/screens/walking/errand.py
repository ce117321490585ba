"""What a walk screen is to walk: handed in by the desk, so that the screen opens nothing itself."""

from collections.abc import Callable, Sequence
from typing import Protocol

from assistant.ears.beside import Breakable
from assistant.journal.account import Account
from assistant.journal.session import Session
from assistant.voice.hushing import Hushable
from assistant.walk.ends import Ears
from assistant.walk.events import AnyEvent


class Errand(Protocol):
    """One walk, from its beginning to what it came to. Called from the walking thread."""

    def begin(self) -> Session:
        """Begin the session on disk; raises RungsideError."""

    def follow(self, account: Account) -> Session | None:
        """Give the session that a walk which was sent on goes on as; None where it was not."""

    def open_microphone(self, report: Callable[[str], None]) -> Breakable | None:
        """Open the microphone, which reports what becomes of it; None where none is wanted."""

    def open_voice(self, report: Callable[[str], None]) -> Hushable | None:
        """Open the voice, which reports its troubles; None where nothing is to be said aloud."""

    def wrap(self, ears: Ears, show: Callable[[str], None]) -> Ears:
        """Give the ears to walk with: a practice shows what meter and eyes would, by `show`."""

    def watch(self, events: Sequence[AnyEvent]) -> None:
        """Take one turn's events, once they are on disk."""

    @property
    def opening(self) -> str:
        """What is known before the first step, after `begin`; may be empty."""

    def closing(self) -> Sequence[str]:
        """Say what a practice came to, in lines; none elsewhere."""
