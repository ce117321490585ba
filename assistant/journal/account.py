"""What a session came to, folded from its events: readings, verdicts, cautions, findings.

Needs no flow, so a record can be read when its flow is long gone. An answer that was scratched
takes all that followed from it with it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from pydantic import ValidationError

from assistant.journal.fold import fold
from assistant.journal.ledger import (
    REDUCERS,
    GivenCaution,
    Ledger,
    MadeFinding,
    NamedAnswer,
    TakenValue,
)
from assistant.journal.line import Line
from assistant.journal.reading import Record
from assistant.walk.events import EVENT, KNOWN_KINDS

__all__ = [
    "Account",
    "GivenCaution",
    "MadeFinding",
    "NamedAnswer",
    "TakenValue",
    "give_account",
    "sound_lines",
]


@dataclass(frozen=True, slots=True)
class Account:
    """What a session came to.

    Args:
        session: the session's id.
        flow: the flow's id.
        title: the flow's title.
        edition: the flow's edition.
        digest: the flow's content hash.
        technician: initials or name as given.
        unit: the equipment as given.
        outcome: `found`, `no_fault`, `stopped` or `sent`.
        why: why it ended.
        sent_to: the flow that the walk was sent on to.
        after: the session that sent the walk here.
        values: the values that stand, in order.
        earlier: values that stood until they were taken again, in order.
        cautions: the cautions, in order.
        findings: the findings that stand, in order.
        answers: the named answers that stand, in order.
        notes: the technician's own words.
        turns: how many things were heard.
        scratched: how many answers were taken back.
        seconds: from the first line to the last.
        started: time of the first line.
        is_sealed: whether the seal is there and sound.
        seal_code: the code two people can compare.
        problems: what is wrong with the record, by line.
        conditions: what hands had made true at the end, of what ever changed: name and value.
        has_ended: whether the walk came to its end, wherever that was.
    """

    session: str = ""
    flow: str = ""
    title: str = ""
    edition: str = ""
    digest: str = ""
    technician: str = ""
    unit: str = ""
    outcome: str = "stopped"
    why: str = ""
    sent_to: str = ""
    after: str = ""
    values: tuple[TakenValue, ...] = ()
    cautions: tuple[GivenCaution, ...] = ()
    findings: tuple[MadeFinding, ...] = ()
    answers: tuple[NamedAnswer, ...] = ()
    notes: tuple[str, ...] = ()
    turns: int = 0
    scratched: int = 0
    seconds: float = 0.0
    started: str = ""
    is_sealed: bool = False
    seal_code: str = ""
    problems: tuple[str, ...] = field(default=())
    earlier: tuple[TakenValue, ...] = ()
    conditions: tuple[tuple[str, str], ...] = ()
    has_ended: bool = False


def give_account(record: Record, *, is_whole: bool = False) -> Account:
    """Fold a record into what it came to.

    Args:
        record: a journal as read; it may be cut or damaged, what is whole counts.
        is_whole: its chain is known to hold, so its events are as they were written and are not
            looked at key by key; then an event of another edition is a KeyError.
    """
    lines, misshapen = (record.lines, []) if is_whole else sound_lines(record.lines)
    ledger = fold(lines, REDUCERS, Ledger())
    seconds = (lines[-1].moment - lines[0].moment).total_seconds() if lines else 0.0
    return Account(
        session=str(ledger.head.get("session", "")),
        flow=str(ledger.head.get("flow", "")),
        title=str(ledger.head.get("title", "")),
        edition=str(ledger.head.get("edition", "")),
        digest=str(ledger.head.get("digest", "")),
        technician=str(ledger.head.get("technician", "")),
        unit=str(ledger.head.get("unit", "")),
        outcome=ledger.outcome,
        why=ledger.why,
        sent_to=ledger.sent_to,
        after=str(ledger.head.get("after", "")),
        values=tuple(_latest(ledger)),
        cautions=tuple(ledger.cautions),
        findings=tuple(ledger.findings),
        answers=tuple(_standing(ledger)),
        notes=tuple(ledger.notes),
        turns=ledger.turns,
        scratched=ledger.scratched,
        seconds=max(seconds, 0.0),
        started=lines[0].time if lines else "",
        is_sealed=record.is_sealed,
        seal_code=record.seal_code,
        problems=(*(f"line {p.line}: {p.sentence}" for p in record.damage), *misshapen),
        earlier=tuple(_earlier(ledger)),
        conditions=tuple(ledger.conditions.items()),
        has_ended=ledger.has_ended,
    )


def sound_lines(lines: Sequence[Line]) -> tuple[list[Line], list[str]]:
    """Give the lines whose events say all that their kind must, and a sentence for each other.

    A line can be whole as JSON and still have lost a key; what it says is then not believed.
    """
    sound, misshapen = [], []
    for line in lines:
        if line.kind not in KNOWN_KINDS:
            sound.append(line)
            continue
        try:
            event = EVENT.validate_python(line.event)
        except ValidationError as error:
            name = ".".join(str(part) for part in error.errors()[0]["loc"][1:])
            misshapen.append(f"line {line.seq}: what it says of '{name}' cannot be read.")
        else:
            sound.append(replace(line, data=event.model_dump(mode="json", exclude={"kind"})))
    return sound, misshapen


def _latest(ledger: Ledger) -> list[TakenValue]:
    """Give each value once, as it stands at the end, in the order of the last taking."""
    return [value for value, is_last in _with_ends(ledger) if is_last]


def _earlier(ledger: Ledger) -> list[TakenValue]:
    """Give the values that no longer stand; a repair is judged by what stood before it."""
    return [value for value, is_last in _with_ends(ledger) if not is_last]


def _with_ends(ledger: Ledger) -> Iterator[tuple[TakenValue, bool]]:
    """Give every value with whether it was neither taken again nor dropped later."""
    last = {value.id: position for position, value in enumerate(ledger.values)}
    dropped_before = {name: count for _, name, count in ledger.forgotten}
    for position, value in enumerate(ledger.values):
        yield value, last[value.id] == position and position >= dropped_before.get(value.id, 0)


def _standing(ledger: Ledger) -> Iterator[NamedAnswer]:
    """Give the named answers whose step was not answered by a number later."""
    numbers = [(v.step, v.answer) for v in ledger.values if v.origin != "worked_out"]
    for one in ledger.answers:
        if not any(step == one.step and answer > one.answer for step, answer in numbers):
            yield one
