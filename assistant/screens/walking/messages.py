"""What the walking thread tells the screen, as messages."""

from dataclasses import dataclass
from pathlib import Path

from textual.message import Message

from assistant.journal.account import Account
from assistant.screens.walking.view import WalkView


@dataclass
class TurnShown(Message):
    """A turn is on disk and may be shown."""

    view: WalkView


@dataclass
class Began(Message):
    """A session has begun on disk.

    Args:
        folder: where it is kept.
        unit: what is walked.
        technician: by whom.
        opening: what is known before the first step; may be empty.
    """

    folder: Path
    unit: str
    technician: str
    opening: str


@dataclass
class Saying(Message):
    """Something is being said aloud.

    Args:
        pages: its caption, page by page.
        seconds: how long it takes to say, about.
    """

    pages: tuple[str, ...]
    seconds: float


@dataclass
class Noticed(Message):
    """Something about the ends, not the walk: no microphone, a line that came too late."""

    sentence: str


@dataclass
class Seen(Message):
    """What meter, plate or eyes show on a simulated unit."""

    line: str


@dataclass
class TalkShown(Message):
    """Whether sound counts now, where a key says so.

    Args:
        line: the state in words.
        key: the talk key's name.
    """

    line: str
    key: str


@dataclass
class Voiced(Message):
    """Which ends are there beside typing.

    Args:
        is_aloud: whether it is said aloud.
        is_heard: whether a microphone listens.
    """

    is_aloud: bool
    is_heard: bool


@dataclass
class Finished(Message):
    """The walk has ended, or its ears have.

    Args:
        account: what it came to.
        folder: where it is kept.
        closing: what a practice came to; empty elsewhere.
    """

    account: Account
    folder: Path
    closing: tuple[str, ...]


@dataclass
class Failed(Message):
    """The walk cannot go on.

    Args:
        sentence: why.
        folder: the session's folder; None where none had begun.
        is_kept: whether it can be tried again from where it stands.
    """

    sentence: str
    folder: Path | None
    is_kept: bool
