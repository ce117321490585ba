"""What the tests of the drawings share: flows, a walk's record, and words without their folds."""

import json
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from assistant.checks.outline import Outline
from assistant.checks.outlining import outline_flow
from assistant.flow.library import flow_names, open_flow
from assistant.flow.linked import Flow
from assistant.journal.line import NO_LINE, SCHEMA, Line
from assistant.journal.reading import Record
from assistant.walk.ends import Heard
from assistant.walk.events import AnyEvent
from assistant.walk.walk import Walk

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"
"""A small flow with every kind of step and two includes."""

DRAWN = (str(KETTLE), *flow_names())
"""The small flow and all shipped flows."""


@cache
def flow_of(name: str) -> Flow:
    """Load a flow once."""
    return open_flow(name)


@cache
def outline_of(name: str) -> Outline:
    """Outline a flow once."""
    return outline_flow(flow_of(name))


def squeezed(text: str) -> str:
    """Give text without any space, so that it does not matter where it was folded."""
    return "".join(text.split())


def record_of(*events: AnyEvent) -> Record:
    """Give the record of events; nothing here looks at hashes or seals."""
    start = datetime(2026, 2, 3, 14, 5, 6, tzinfo=UTC)
    lines = []
    for seq, event in enumerate(events, start=1):
        time = f"{(start + timedelta(seconds=seq)).isoformat(timespec='milliseconds')[:-6]}Z"
        data = json.loads(event.model_dump_json(exclude={"kind"}))
        lines.append(Line(seq, time, SCHEMA, NO_LINE, event.kind, data))
    return Record(tuple(lines), (), is_sealed=False, torn=b"")


def walked(*phrases: str, flow: Path = KETTLE) -> Record:
    """Walk a flow by phrases and give the record of it."""
    walk = Walk(flow_of(str(flow)))
    result = walk.begin("QX", "bench kettle", "test")
    events = list(result.events)
    for phrase in phrases:
        result = walk.hear(result.state, Heard(phrase))
        events.extend(result.events)
    return record_of(*events)


AT_CAN = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart"),
)
"""From the small flow's beginning to its capacitor reading."""
