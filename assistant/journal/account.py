"""What a session came to, folded from its events: readings, verdicts, cautions, findings.

Needs no flow, so a record can be read when its flow is long gone. An answer that was scratched
takes all that followed from it with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from pydantic import ValidationError

from assistant.journal.fold import Reducer, fold
from assistant.journal.line import Line
from assistant.journal.reading import Record
from assistant.walk.events import EVENT, KNOWN_KINDS


@dataclass(frozen=True, slots=True)
class TakenValue:
    """One value in the record.

    Args:
        id: its name in the flow.
        step: the step it was taken at.
        origin: `measured`, `asked` or `worked_out`.
        said: the words it was heard as.
        value: its digits; empty when over limit.
        unit: its unit.
        over_limit: whether the meter showed OL.
        retaken: whether it had been taken before.
        confirmed: whether it was asked back and confirmed.
        answer: the answer it came with.
        places: what was measured and where.
        verdict: pass, marginal, fail, cannot_tell; empty where no rule judged it.
        measured: the reading, for the eye.
        expected: the limits, for the eye.
        reason: one sentence.
        low: the lower limit, digits.
        high: the upper limit, digits.
    """

    id: str
    step: str
    origin: str
    said: str
    value: str
    unit: str
    over_limit: bool
    retaken: bool
    confirmed: bool
    answer: int
    places: tuple[str, str, str] = ("", "", "")
    verdict: str = ""
    measured: str = ""
    expected: str = ""
    reason: str = ""
    low: str = ""
    high: str = ""


@dataclass(frozen=True, slots=True)
class GivenCaution:
    """One caution in the record: when it was said, and how and when it was answered."""

    id: str
    step: str
    text: str
    given_at: str
    answered_at: str = ""
    said: str = ""
    answer: int = 0


@dataclass(frozen=True, slots=True)
class MadeFinding:
    """One finding in the record."""

    id: str
    step: str
    part: str
    reason: str
    evidence: tuple[str, ...]
    repair: str
    replacement: str
    faults: tuple[str, ...]
    licensed: bool
    answer: int


@dataclass(frozen=True, slots=True)
class NamedAnswer:
    """One answer that is no number: a choice, a hold point, a skipped step."""

    step: str
    choice: str
    meaning: str
    said: str
    is_hold: bool
    answer: int


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
        outcome: `found`, `no_fault` or `stopped`.
        why: why it ended.
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


class _Ledger:
    """The fold in progress: filled in place, since nobody else sees it."""

    def __init__(self) -> None:
        self.head: dict[str, Any] = {}
        self.values: list[TakenValue] = []
        self.cautions: list[GivenCaution] = []
        self.findings: list[MadeFinding] = []
        self.answers: list[NamedAnswer] = []
        self.notes: list[str] = []
        self.turns = self.scratched = 0
        self.outcome, self.why = "stopped", "The walk was not finished."


def give_account(record: Record) -> Account:
    """Fold a record into what it came to.

    Args:
        record: a journal as read; it may be cut or damaged, what is whole counts.
    """
    lines, misshapen = _sound_lines(record.lines)
    ledger = fold(lines, _REDUCERS, _Ledger())
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
        values=tuple(_latest(ledger.values)),
        cautions=tuple(ledger.cautions),
        findings=tuple(ledger.findings),
        answers=tuple(ledger.answers),
        notes=tuple(ledger.notes),
        turns=ledger.turns,
        scratched=ledger.scratched,
        seconds=max(seconds, 0.0),
        started=lines[0].time if lines else "",
        is_sealed=record.is_sealed,
        seal_code=record.seal_code,
        problems=(*(f"line {p.line}: {p.sentence}" for p in record.damage), *misshapen),
        earlier=tuple(_earlier(ledger.values)),
    )


def _sound_lines(lines: Sequence[Line]) -> tuple[list[Line], list[str]]:
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


def _latest(values: Sequence[TakenValue]) -> list[TakenValue]:
    """Give each value once, as it stands at the end, in the order of the last taking."""
    last = {value.id: value for value in values}
    return sorted(last.values(), key=lambda value: value.answer)


def _earlier(values: Sequence[TakenValue]) -> list[TakenValue]:
    """Give the values that were taken again later; a repair is judged by what stood before it."""
    last = {value.id: position for position, value in enumerate(values)}
    return [value for position, value in enumerate(values) if last[value.id] != position]


def _began(ledger: _Ledger, line: Line) -> _Ledger:
    ledger.head = dict(line.data)
    return ledger


def _heard(ledger: _Ledger, line: Line) -> _Ledger:
    if not line.data.get("is_silence"):
        ledger.turns += 1
    return ledger


def _took(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    ledger.values.append(
        TakenValue(
            id=data["name"],
            step=data["step"],
            origin=data["origin"],
            said=data["said"],
            value=data["value"],
            unit=data["unit"],
            over_limit=data["over_limit"],
            retaken=data["retaken"],
            confirmed=data["confirmed"],
            answer=data["answer"],
            places=(data["quantity"], data["first"], data["second"]),
        )
    )
    return ledger


def _judged(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    if not data["decides"] or not ledger.values or ledger.values[-1].id != data["name"]:
        return ledger
    ledger.values[-1] = replace(
        ledger.values[-1],
        verdict=data["verdict"],
        measured=data["measured"],
        expected=data["expected"],
        reason=data["reason"],
        low=data["low"],
        high=data["high"],
    )
    return ledger


def _answered(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    ledger.answers.append(
        NamedAnswer(
            data["step"],
            data["choice"],
            data["meaning"],
            data["said"],
            data["is_hold"],
            data["answer"],
        )
    )
    return ledger


def _skipped(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    ledger.answers.append(
        NamedAnswer(data["step"], "skipped", data["reason"], data["reason"], False, data["answer"])
    )
    return ledger


def _caution_given(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    ledger.cautions.append(GivenCaution(data["caution"], data["step"], data["text"], line.time))
    return ledger


def _caution_answered(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    for position in range(len(ledger.cautions) - 1, -1, -1):
        caution = ledger.cautions[position]
        if caution.id == data["caution"] and not caution.answered_at:
            ledger.cautions[position] = replace(
                caution, answered_at=line.time, said=data["said"], answer=data["answer"]
            )
            return ledger
    return ledger


def _found(ledger: _Ledger, line: Line) -> _Ledger:
    data: Any = line.data
    ledger.findings.append(
        MadeFinding(
            id=data["finding"],
            step=data["step"],
            part=data["part"],
            reason=data["reason"],
            evidence=tuple(data["evidence"]),
            repair=data["repair"],
            replacement=data["replacement"],
            faults=tuple(data["faults"]),
            licensed=data["licensed"],
            answer=data["answer"],
        )
    )
    return ledger


def _noted(ledger: _Ledger, line: Line) -> _Ledger:
    ledger.notes.append(str(line.data["text"]))
    return ledger


def _scratched(ledger: _Ledger, line: Line) -> _Ledger:
    """Take back an answer; that a caution was said stays, its answer does not."""
    data: Any = line.data
    number = data["answer"]
    ledger.scratched += 1
    ledger.values = [one for one in ledger.values if one.answer < number]
    ledger.findings = [one for one in ledger.findings if one.answer < number]
    ledger.answers = [one for one in ledger.answers if one.answer < number]
    ledger.cautions = [
        replace(one, answered_at="", said="", answer=0) if one.answer >= number else one
        for one in ledger.cautions
    ]
    return ledger


def _ended(ledger: _Ledger, line: Line) -> _Ledger:
    ledger.outcome, ledger.why = str(line.data["outcome"]), str(line.data["why"])
    return ledger


_REDUCERS: dict[str, Reducer[_Ledger]] = {
    "began": _began,
    "heard": _heard,
    "took": _took,
    "judged": _judged,
    "answered": _answered,
    "skipped": _skipped,
    "caution_given": _caution_given,
    "caution_answered": _caution_answered,
    "found": _found,
    "noted": _noted,
    "scratched": _scratched,
    "ended": _ended,
}
