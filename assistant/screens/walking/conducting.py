"""The thread that walks: it conducts the session and tells the screen what to show."""

import gc
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from textual.message import Message

from assistant.ears.beside import BothEars, Line
from assistant.ears.talk import Presses, TalkKey
from assistant.errors import RungsideError
from assistant.journal.account import Account, give_account
from assistant.journal.reading import read_journal
from assistant.journal.session import Session, conduct
from assistant.screens.walking.errand import Errand
from assistant.screens.walking.messages import (
    Began,
    Failed,
    Finished,
    Noticed,
    Saying,
    Seen,
    TalkShown,
    TurnShown,
    Voiced,
)
from assistant.screens.walking.view import view_turn
from assistant.screens.walking.voice import ScreenVoice
from assistant.spoken.meaning import CommandKind
from assistant.walk.events import AnyEvent, Commanded

if TYPE_CHECKING:
    from assistant.walk.ends import Ears


class Conductor:
    """Walks an errand to its end, or until it is left.

    Args:
        errand: what is walked.
        post: takes a message for the screen; from the walking thread.
        is_typing: whether something stands in the input line.
    """

    def __init__(
        self,
        errand: Errand,
        post: Callable[[Message], object],
        is_typing: Callable[[], bool] = lambda: False,
    ) -> None:
        self._errand, self._post = errand, post
        self.ears = BothEars(self._notice, is_typing)
        self._voice = ScreenVoice(self._caption)
        self.presses: Presses | None = None
        self._session: Session | None = None
        self._turn = 0

    def walk(self) -> None:
        """Walk; every end of it is a message: finished, or failed."""
        try:
            self._session = self._errand.begin()
        except RungsideError as error:
            self._post(Failed(str(error), None, is_kept=False))
            return
        # What is loaded now lives as long as the walk; looked through again and again by the
        # collector, it held up a key press by 0.2 s.
        gc.freeze()
        self._tell_begun(self._session)
        self._show((), turn=1)
        self._open_ends()
        self.go_on()

    def go_on(self) -> None:
        """Walk on from where the session stands."""
        session = self._session
        try:
            while session is not None:
                session = self._walk_one(session)
        except RungsideError as error:
            self._post(Failed(str(error), self._folder, is_kept=True))

    def _walk_one(self, session: Session) -> Session | None:
        """Walk one session as far as it goes; give the one it is sent on to."""
        ears: Ears = self._errand.wrap(self.ears, self._see)
        conduct(session, ears, self._voice, self._watch)
        session.close()
        account = give_account(read_journal(session.journal.folder))
        if session.state.is_over:
            following = self._errand.follow(account)
            if following is not None:
                self._session = following
                self._tell_begun(following)
                return following
        self._finish(account, session.journal.folder)
        return None

    def _finish(self, account: Account, folder: Path) -> None:
        self._close_ends()
        self._post(Finished(account, folder, tuple(self._errand.closing())))

    @property
    def _folder(self) -> Path | None:
        return None if self._session is None else self._session.journal.folder

    def _tell_begun(self, session: Session) -> None:
        account = give_account(read_journal(session.journal.folder))
        opening = self._errand.opening
        self._post(Began(session.journal.folder, account.unit, account.technician, opening))

    def _open_ends(self) -> None:
        """Open voice and microphone; what is not there is told, and the walk goes on by typing."""
        try:
            self._voice = ScreenVoice(self._caption, self._errand.open_voice(self._notice))
        except RungsideError as error:
            self._notice(f"{error} It is only shown.")
        try:
            microphone = self._errand.open_microphone(self._notice)
            if microphone is not None:
                self.ears.add_microphone(microphone)
                self._open_talk(microphone.talk)
        except RungsideError as error:
            self._notice(f"{error} Type the answers instead.")
        self._post(Voiced(self._voice.is_aloud, self.ears.has_microphone))

    def _open_talk(self, talk: TalkKey) -> None:
        """Let a key say when sound counts, where that is wanted, and show its states."""
        if talk.is_push:
            self.presses = Presses(talk, early=self._voice.hush)
            talk.show_on(lambda line: self._tell_talk(line, talk.key))
            self._tell_talk(talk.line, talk.key)

    def _tell_talk(self, line: str, key: str) -> None:
        self._post(TalkShown(line, key))

    def _watch(self, events: Sequence[AnyEvent]) -> None:
        """Show a turn that is on disk."""
        self._turn += 1
        self.ears.turn = self._turn
        self._voice.begin_turn()
        self._errand.watch(events)
        for event in events:
            if isinstance(event, Commanded):
                self._voice.adjust(CommandKind(event.command))
        self._show(events, self._turn)

    def _show(self, events: Sequence[AnyEvent], turn: int) -> None:
        session = self._session
        if session is None:
            return
        state = session.state
        expects = session.walk.expectation(state)
        view = view_turn(session.walk.flow, state, expects, events, turn)
        self._post(TurnShown(view))

    def answer(self, line: Line, *, is_hold: bool = False) -> None:
        """Take a line that was typed, and break off what is being said; from any thread."""
        if is_hold:
            self._voice.silence()
        else:
            self._voice.hush()
        self.ears.put(line)

    def leave(self) -> None:
        """End the walk's ears: the session is kept, unsealed; from any thread."""
        self._voice.silence()
        self.ears.hang_up("The screen was closed.")

    def give_up(self) -> None:
        """Let go of a walk that failed: what is on disk stays there, unsealed."""
        self._close_ends()
        if self._session is not None:
            self._session.close()

    def _close_ends(self) -> None:
        self.ears.close()
        self._voice.close()

    def _notice(self, sentence: str) -> None:
        self._post(Noticed(sentence))

    def _see(self, line: str) -> None:
        self._post(Seen(line))

    def _caption(self, pages: tuple[str, ...], seconds: float) -> None:
        self._post(Saying(pages, seconds))
