"""The events of a turn as lines of a conversation, and what they judged."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from assistant.flow.linked import Flow
from assistant.flow.model import WorkOutStep
from assistant.quantity import OverLimit, Quantity, Unit, format_for_eye
from assistant.screens.widgets.band import BandFacts
from assistant.screens.widgets.blocks import VerdictFacts
from assistant.screens.widgets.conversation import Entry
from assistant.screens.words import ROLE_WORDS, spaced
from assistant.walk.events import (
    Answered,
    AnyEvent,
    CautionAnswered,
    HeardWords,
    Judged,
    Said,
    Scratched,
    Skipped,
    Took,
)

_ANSWERS = (Took, Answered, CautionAnswered, Skipped, Scratched)
"""What ends the time of the verdict that is shown."""


def heard_text(event: HeardWords) -> str:
    """Say what was heard, with what else it could have been."""
    if event.is_silence:
        return "(silence)"
    also = f" (or: {'; '.join(event.alternatives)})" if event.alternatives else ""
    return f"{event.words or '(no words)'}{also}"


def heard_entry(event: HeardWords) -> Entry:
    """Give what was heard as an entry: typed and said words count the same, and are told apart."""
    who = "You typed" if event.source == "typed" else "You said"
    return Entry(who, heard_text(event), is_own=True)


def said_entry(event: Said) -> Entry:
    """Give what Rungside said as an entry, its role as a word in front."""
    return Entry(ROLE_WORDS.get(event.role, event.role), event.shown or event.text)


def entries(events: Sequence[AnyEvent]) -> tuple[Entry, ...]:
    """Give what was heard and said, in order."""
    return tuple(_entries(events))


def _entries(events: Sequence[AnyEvent]) -> Iterator[Entry]:
    for event in events:
        if isinstance(event, HeardWords):
            yield heard_entry(event)
        elif isinstance(event, Said):
            yield said_entry(event)


def verdicts(flow: Flow, events: Sequence[AnyEvent]) -> tuple[VerdictFacts, ...] | None:
    """Give what a turn judged; None where no answer was taken, so that what stands may stand.

    Args:
        flow: the flow.
        events: one turn's events.
    """
    if not any(isinstance(event, _ANSWERS) for event in events):
        return None
    taken = {event.name: event for event in events if isinstance(event, Took)}
    judged: dict[str, Judged] = {}
    for event in events:
        is_better = isinstance(event, Judged) and (event.decides or event.name not in judged)
        if isinstance(event, Judged) and is_better:
            judged[event.name] = event
    return tuple(_facts(flow, one, taken) for one in judged.values() if one.name in taken)


def _facts(flow: Flow, judged: Judged, taken: Mapping[str, Took]) -> VerdictFacts:
    took = taken[judged.name]
    shown = shown_value(took)
    band = BandFacts(took.value, judged.low, judged.high, took.over_limit, shown)
    return VerdictFacts(
        verdict=judged.verdict,
        label=_label(flow, took),
        shown=shown,
        reason=judged.reason,
        expected=judged.expected,
        band=band if judged.low or judged.high else None,
    )


def _label(flow: Flow, took: Took) -> str:
    step = flow.steps.get(took.step)
    return (step.label if isinstance(step, WorkOutStep) else "") or spaced(took.name)


def shown_value(took: Took) -> str:
    """Write a value as a screen shows it: `17.5 Ω`, `OL`."""
    unit = Unit(took.unit)
    reading = OverLimit(unit) if took.over_limit else Quantity(Decimal(took.value), unit)
    return format_for_eye(reading)
