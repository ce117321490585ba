"""A walk with its journal: what happened is on disk before it is said.

`Session` ties one walk to one journal; `conduct` is the one loop that drives it, whatever ears and
voice are plugged in.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.files import Files
from assistant.journal.store import Clock, Journal
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Ears, Heard, HungUp, Silence, Utterance, Voice
from assistant.walk.events import AnyEvent
from assistant.walk.state import State
from assistant.walk.walk import Result, Walk

HUNG_UP = "hung_up"
"""The event that says the ears ended before the walk did; the session can be continued."""

Watcher = Callable[[Sequence[AnyEvent]], None]
"""Is told the events of each turn once they are on disk."""


class Session:
    """One walk being recorded.

    Args:
        walk: the flow being walked.
        journal: where it is kept, already holding the events of `result`.
        result: what the last input came to.
    """

    def __init__(self, walk: Walk, journal: Journal, result: Result) -> None:
        self.walk, self.journal = walk, journal
        self._result = result

    @classmethod
    def begin(  # noqa: PLR0913 - each is a fact of the session that the caller alone knows
        cls,
        walk: Walk,
        sessions: Path,
        session_id: str,
        *,
        clock: Clock,
        technician: str = "",
        unit: str = "",
        program: str = "",
        after: str = "",
        files: Files | None = None,
    ) -> "Session":
        """Begin a walk and its journal; `after` is the session that sent the walk here.

        Raises:
            JournalError: when the session cannot be written.
        """
        result = walk.begin(technician, unit, program)
        opening, *rest = [as_data(event) for event in result.events]
        if after:
            opening = {**opening, "after": after}
        journal = Journal.create(sessions, session_id, opening, rest=rest, clock=clock, files=files)
        session = cls(walk, journal, result)
        session.seal_when_over()
        return session

    @property
    def state(self) -> State:
        """Give where the walk stands."""
        return self._result.state

    @property
    def utterances(self) -> tuple[Utterance, ...]:
        """Give what is to be said now."""
        return self._result.utterances

    @property
    def events(self) -> tuple[AnyEvent, ...]:
        """Give the events of the last input."""
        return self._result.events

    @property
    def expectation(self) -> Expectation:
        """Give what the present turn can be answered with."""
        return self.walk.expectation(self.state)

    def hear(self, sound: Heard | Silence) -> tuple[Utterance, ...]:
        """Take one thing heard; when this returns it is on disk, and may be said.

        Raises:
            JournalError: when it is not on disk; the walk has then not moved. Or when the walk is
                over and on disk but its seal is not: the next call tries the seal again.
        """
        if not self.state.is_over:
            result = self.walk.hear(self.state, sound)
            self.journal.append([as_data(event) for event in result.events])
            self._result = result
        self.seal_when_over()
        return self.utterances

    def seal_when_over(self) -> None:
        """Seal the journal of a walk that is over; nothing happens before, or when it is sealed.

        Raises:
            JournalError: when the seal or the transcript cannot be written.
        """
        if self.state.is_over and not self.journal.is_sealed:
            self.journal.seal()

    def hang_up(self, why: str) -> None:
        """Note that the ears ended before the walk did; the session stays open to be continued."""
        if not self.state.is_over:
            self.journal.append([{"kind": HUNG_UP, "step": self.state.step, "why": why}])

    def close(self) -> None:
        """Let go of the journal; a session that is not sealed leaves its transcript so far.

        That one cannot be written is not told: it can be made from the journal at any time.
        """
        try:
            with suppress(JournalError):
                self.journal.write_open_transcript()
        finally:
            self.journal.close()


def as_data(event: AnyEvent) -> dict[str, object]:
    """Give an event as a journal keeps it."""
    return event.model_dump(mode="json")


def conduct(session: Session, ears: Ears, voice: Voice, watch: Watcher | None = None) -> None:
    """Walk a session to its end, or until the ears hear nothing more.

    Args:
        session: the session, just begun or continued.
        ears: where answers come from.
        voice: what says the turns; silent while the ears listen.
        watch: told each turn's events once they are on disk.

    Raises:
        JournalError: when a turn cannot be kept; nothing of it was said.
    """
    tell = watch or _nobody
    tell(session.events)
    _say(voice, session.utterances)
    while not session.state.is_over:
        sound = ears.listen(session.expectation)
        if isinstance(sound, HungUp):
            session.hang_up(sound.why)
            return
        utterances = session.hear(sound)
        tell(session.events)
        _say(voice, utterances)


def _nobody(events: Sequence[AnyEvent]) -> None:
    del events


def _say(voice: Voice, utterances: Sequence[Utterance]) -> None:
    for utterance in utterances:
        voice.say(utterance)
