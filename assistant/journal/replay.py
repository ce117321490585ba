"""Walking a session's heard words again: the same flow must give the same events, to the letter."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from assistant.journal.errors import JournalError
from assistant.journal.line import Line
from assistant.journal.reading import Record
from assistant.journal.session import as_data
from assistant.walk.ends import Heard, Silence
from assistant.walk.events import EVENT, KNOWN_KINDS, AnyEvent, Began, HeardWords, Resumed
from assistant.walk.state import State
from assistant.walk.walk import Walk

_IDENTITY = {"flow", "title", "edition", "digest"}
"""What says which flow a walk began with."""

ITS_OWN = frozenset({"session", "after"})
"""What the journal adds to the first event of a walk."""


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
        walk: the flow to judge by: the recorded edition, or another, whose own name, edition and
            hash are then no difference.

    Raises:
        JournalError: when the record does not begin with a walk.
    """
    known = [line for line in record.lines if line.kind in KNOWN_KINDS]
    state, events = rewalk(known, walk)
    found = _differences(known, events, is_open=not record.is_sealed)
    return Replay(state, events, tuple(found))


def rewalk(lines: Sequence[Line], walk: Walk) -> tuple[State, tuple[AnyEvent, ...]]:
    """Walk the words heard in a journal's lines and give where that leads, with all events.

    Args:
        lines: the lines; other kinds than a walk's are passed over.
        walk: the flow to judge by.

    Raises:
        JournalError: when the lines do not begin with a walk, or what was heard cannot be read.
    """
    heard = [_read(line) for line in lines if line.kind in {"began", "heard", "resumed"}]
    if not heard or not isinstance(heard[0], Began):
        raise JournalError("The record does not begin with a walk.", "Name another session.")
    head = heard[0]
    result = walk.begin(head.technician, head.unit, head.program)
    events: list[AnyEvent] = list(result.events)
    for event in heard[1:]:
        if isinstance(event, HeardWords):
            result = walk.hear(result.state, _sound(event))
        elif isinstance(event, Resumed):
            result = walk.go_on(result.state)
        else:
            continue
        events.extend(result.events)
    return result.state, tuple(events)


def _read(line: Line) -> AnyEvent:
    try:
        return EVENT.validate_python(line.event)
    except ValidationError as error:
        name = ".".join(str(part) for part in error.errors()[0]["loc"][1:])
        raise JournalError(
            f"Line {line.seq} cannot be walked again: its '{name}' is missing or wrong.",
            "Read the report of this session instead.",
        ) from error


def _sound(event: HeardWords) -> Heard | Silence:
    if event.is_silence:
        return Silence(event.source)
    return Heard(event.words, event.alternatives, event.source, event.clip, event.doubt)


def _differences(
    lines: Sequence[Line], events: Sequence[AnyEvent], *, is_open: bool
) -> Iterator[Difference]:
    """Compare event by event; the session ids in the first line are the journal's own.

    Where another edition judges, which flow it is was asked for and is no difference either.
    A record without a seal may end inside a turn: what that turn would still have said is no
    difference.
    """
    for position in range(len(lines) if is_open else max(len(lines), len(events))):
        line = lines[position] if position < len(lines) else None
        event = as_data(events[position]) if position < len(events) else None
        recorded = (
            None if line is None else {k: v for k, v in line.event.items() if k not in ITS_OWN}
        )
        if _judged(recorded) != _judged(event):
            yield Difference(line.seq if line is not None else 0, _tell(recorded), _tell(event))


def _judged(event: dict[str, object] | None) -> dict[str, object] | None:
    """Give what of an event a flow decides by its steps, which its name and hash are not."""
    if event is None or event["kind"] != "began":
        return event
    return {key: value for key, value in event.items() if key not in _IDENTITY}


def _tell(event: dict[str, object] | None) -> str:
    """Tell an event in one line: its kind and what it says."""
    if event is None:
        return ""
    said = ", ".join(f"{key} {value}" for key, value in event.items() if key != "kind" and value)
    return f"{event['kind']}: {said}"
