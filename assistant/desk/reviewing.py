"""The review put together for a command: a screen in a terminal, plain lines elsewhere."""

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.desk.errors import DeskError
from assistant.desk.opening import load_safe_flow, sessions_folder
from assistant.journal.catalogue import list_gists, remember, stamp_of
from assistant.journal.gist import Gist, look_through
from assistant.journal.reading import JOURNAL
from assistant.settings import read_settings

if TYPE_CHECKING:
    from textual.screen import Screen

AT_ONCE = 40
"""So many sessions, the newest, are looked through before a list is printed: about a second."""


def review_sessions(directory: Path | None, *, is_thorough: bool, author: str | None) -> int:
    """Open the review where there is a terminal; print the list where there is none.

    Raises:
        RungsideError: when the folder is not there or cannot be read.
    """
    folder = sessions_folder(directory)
    if directory is not None and not folder.is_dir():
        raise DeskError(f"There is no folder {folder}.", "Name the folder that holds the sessions.")
    if sys.stdin.isatty() and sys.stdout.isatty():
        return _open_screen(folder, author)
    if (folder / JOURNAL).is_file():
        return _print([look_through(folder, stamp_of(folder))])
    return _print(_listed(folder, is_thorough=is_thorough))


def _listed(folder: Path, *, is_thorough: bool) -> list[Gist]:
    """List a folder, looking through the newest of those that were not looked through."""
    gists = list(list_gists(folder))
    left = len(gists) if is_thorough else AT_ONCE
    is_changed = False
    for place, gist in enumerate(gists):
        if left and not gist.is_looked:
            session = folder / gist.name
            gists[place] = look_through(session, stamp_of(session))
            left -= 1
            is_changed = True
    if is_changed:
        remember(folder, gists)
    return gists


def _print(gists: list[Gist]) -> int:
    from assistant.screens.reviewing.plain_list import plain_lines

    for line in plain_lines(gists):
        print(line)
    return 0


def _open_screen(folder: Path, author: str | None) -> int:
    from assistant.screens.app import RungsideApp

    settings = read_settings()
    first = review_screen(folder, settings.tech if author is None else author)
    return RungsideApp(first, theme=settings.theme, is_still=not settings.animation).run() or 0


def review_screen(folder: Path, author: str) -> "Screen[None]":
    """Make the screen of a folder's sessions, or of the one session that the folder is.

    Args:
        folder: the folder.
        author: the name that remarks are signed with; may be empty.
    """
    from assistant.screens.reviewing.handed import Handed
    from assistant.screens.reviewing.list_screen import ListScreen
    from assistant.screens.reviewing.session_screen import SessionScreen

    is_one = (folder / JOURNAL).is_file()
    handed = Handed(
        sessions=folder.parent if is_one else folder,
        clock=lambda: datetime.now(UTC),
        load=load_safe_flow,
        author=author,
        play=_play,
    )
    return SessionScreen(handed, folder) if is_one else ListScreen(handed)


def _play(file: Path) -> None:
    """Play a kept sound to its end; may raise VoiceError."""
    from assistant.voice.errors import VoiceError
    from assistant.voice.player import Player, list_outputs
    from assistant.voice.samples import read_wav

    if list_outputs().is_null:
        raise VoiceError("No loudspeaker was found.", "Connect a loudspeaker or headset.")
    player = Player()
    try:
        player.play(read_wav(file.read_bytes()))
    finally:
        player.close()
