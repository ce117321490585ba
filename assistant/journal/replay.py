"""Walking a session's heard words again: the same flow must give the same events, to the letter."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.journal.errors import JournalError
from assistant.journal.line import Line
from assistant.journal.reading import Record
from assistant.journal.session import as_data
from assistant.walk.ends import Heard, Silence
from assistant.walk.events import KNOWN_KINDS, AnyEvent
from assistant.walk.state import State
from assistant.walk.walk import Walk


@dataclass(frozen=True, slots=True)
class Difference:
    """Where a replay parts from the record.

    Args:
        line: the journal's line; 0 where the record has ended.
        recorded: the event on record, as one sentence; empty where there is none.
        replayed: the event of the replay; empty where there is none.
    """

    line: int
    recorded: str
    replayed: str


@dataclass(frozen=True, slots=True)
class Replay:
    """What a replay came to.

    Args:
        state: where the walk stands after the last word heard.
        events: the events of the replay.
        differences: where it parts from the record, in order.
    """

    state: State
    events: tuple[AnyEvent, ...]
    differences: tuple[Difference, ...]


def replay(record: Record, walk: Walk) -> Replay:
    """Walk a record's heard words again.

    Args:
        record: a journal as read.
        walk: the flow to judge by: the recorded edition, or another.

    Raises:
        JournalError: when the record does not begin with a walk.
    """
    lines = [line for line in record.lines if line.kind in KNOWN_KINDS]
    if not lines or lines[0].kind != "began":
        raise JournalError("The record does not begin with a walk.", "Name another session.")
    head = lines[0].data
    result = walk.begin(str(head["technician"]), str(head["unit"]), str(head["program"]))
    events: list[AnyEvent] = list(result.events)
    for sound in _sounds(lines):
        result = walk.hear(result.state, sound)
        events.extend(result.events)
    return Replay(result.state, tuple(events), tuple(_differences(lines, events)))


def _sounds(lines: Sequence[Line]) -> Iterator[Heard | Silence]:
    for line in lines:
        if line.kind != "heard":
            continue
        data = line.data
        if data["is_silence"]:
            yield Silence(str(data["source"]))
        else:
            alternatives = tuple(str(one) for one in data["alternatives"])  # type: ignore[union-attr]
            yield Heard(str(data["words"]), alternatives, str(data["source"]), str(data["clip"]))


def _differences(lines: Sequence[Line], events: Sequence[AnyEvent]) -> Iterator[Difference]:
    """Compare event by event; the session id in the first line is the journal's own."""
    for position in range(max(len(lines), len(events))):
        line = lines[position] if position < len(lines) else None
        event = as_data(events[position]) if position < len(events) else None
        recorded = None if line is None else {k: v for k, v in line.event.items() if k != "session"}
        if recorded != event:
            yield Difference(line.seq if line is not None else 0, _tell(recorded), _tell(event))


def _tell(event: dict[str, object] | None) -> str:
    """Tell an event in one line: its kind and what it says."""
    if event is None:
        return ""
    said = ", ".join(f"{key} {value}" for key, value in event.items() if key != "kind" and value)
    return f"{event['kind']}: {said}"
