"""Going on with a session whose ears hung up, whose power failed, or that was never sealed."""

from collections.abc import Sequence
from pathlib import Path

from assistant.journal.errors import JournalError
from assistant.journal.files import Files
from assistant.journal.line import Line
from assistant.journal.replay import ITS_OWN, rewalk
from assistant.journal.session import Session, as_data
from assistant.journal.store import Clock, Journal
from assistant.walk.events import KNOWN_KINDS, AnyEvent
from assistant.walk.walk import Walk


def resume(walk: Walk, folder: Path, *, clock: Clock, files: Files | None = None) -> Session:
    """Open a session again and stand where its last heard word led.

    A turn of which only the first lines reached the disk is completed; a walk that was over but
    not sealed is sealed. What was proven before is asked again, as `Walk.go_on` says.

    Args:
        walk: the very edition of the flow that it was begun with.
        folder: the session's folder.
        clock: gives the time of each turn, with its time zone.
        files: where the session is kept; the disk of this machine when None.

    Returns:
        The session; its `utterances` ask the waiting turn again.

    Raises:
        JournalError: when it cannot be opened, or this flow walks its words differently.
    """
    journal = Journal.open(folder, clock=clock, files=files)
    try:
        state, events = rewalk(journal.lines, walk)
        missing = _missing(journal.lines, events)
        journal.append([as_data(event) for event in missing])
        result = walk.go_on(state)
        journal.append([as_data(event) for event in result.events])
        session = Session(walk, journal, result)
        session.seal_when_over()
    except BaseException:
        journal.close()
        raise
    return session


def _missing(lines: Sequence[Line], events: Sequence[AnyEvent]) -> Sequence[AnyEvent]:
    """Give the events of the last turn that did not reach the disk.

    Raises:
        JournalError: when those that did are others.
    """
    known = [line for line in lines if line.kind in KNOWN_KINDS]
    for line, event in zip(known, events, strict=False):
        if {k: v for k, v in line.event.items() if k not in ITS_OWN} != as_data(event):
            raise JournalError(
                f"Line {line.seq} reads otherwise in this edition of the flow.",
                "Continue with the edition it was begun with, or start a new session.",
            )
    return events[len(known) :]
