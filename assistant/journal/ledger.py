"""The fold of a session's events in progress: what each kind of event adds or takes back."""

from dataclasses import dataclass, replace
from typing import Any

from assistant.journal.fold import Reducer
from assistant.journal.line import Line


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


class Ledger:
    """The fold in progress: filled in place, since nobody else sees it.

    `forgotten` has, for each value that no longer stands, the answer that said so, the value's
    name, and how many values had been taken by then.
    """

    def __init__(self) -> None:
        self.head: dict[str, Any] = {}
        self.values: list[TakenValue] = []
        self.cautions: list[GivenCaution] = []
        self.findings: list[MadeFinding] = []
        self.answers: list[NamedAnswer] = []
        self.notes: list[str] = []
        self.forgotten: list[tuple[int, str, int]] = []
        self.conditions: dict[str, str] = {}
        self.has_ended = False
        self.sent_to = ""
        self.turns = self.scratched = 0
        self.outcome, self.why = "stopped", "The walk was not finished."


def _began(ledger: Ledger, line: Line) -> Ledger:
    ledger.head = dict(line.data)
    return ledger


def _heard(ledger: Ledger, line: Line) -> Ledger:
    if not line.data.get("is_silence"):
        ledger.turns += 1
    return ledger


def _took(ledger: Ledger, line: Line) -> Ledger:
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


def _forgot(ledger: Ledger, line: Line) -> Ledger:
    data: Any = line.data
    ledger.forgotten.append((data["answer"], data["name"], len(ledger.values)))
    return ledger


def _judged(ledger: Ledger, line: Line) -> Ledger:
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


def _answered(ledger: Ledger, line: Line) -> Ledger:
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


def _skipped(ledger: Ledger, line: Line) -> Ledger:
    data: Any = line.data
    ledger.answers.append(
        NamedAnswer(data["step"], "skipped", data["reason"], data["reason"], False, data["answer"])
    )
    return ledger


def _caution_given(ledger: Ledger, line: Line) -> Ledger:
    data: Any = line.data
    ledger.cautions.append(GivenCaution(data["caution"], data["step"], data["text"], line.time))
    return ledger


def _caution_answered(ledger: Ledger, line: Line) -> Ledger:
    data: Any = line.data
    for position in range(len(ledger.cautions) - 1, -1, -1):
        caution = ledger.cautions[position]
        if caution.id == data["caution"] and not caution.answered_at:
            ledger.cautions[position] = replace(
                caution, answered_at=line.time, said=data["said"], answer=data["answer"]
            )
            return ledger
    return ledger


def _found(ledger: Ledger, line: Line) -> Ledger:
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


def _condition(ledger: Ledger, line: Line) -> Ledger:
    ledger.conditions[str(line.data["name"])] = str(line.data["value"])
    return ledger


def _noted(ledger: Ledger, line: Line) -> Ledger:
    ledger.notes.append(str(line.data["text"]))
    return ledger


def _scratched(ledger: Ledger, line: Line) -> Ledger:
    """Take back an answer; that a caution was said stays, its answer does not."""
    data: Any = line.data
    number = data["answer"]
    ledger.scratched += 1
    ledger.values = [one for one in ledger.values if one.answer < number]
    ledger.forgotten = [one for one in ledger.forgotten if one[0] < number]
    ledger.findings = [one for one in ledger.findings if one.answer < number]
    ledger.answers = [one for one in ledger.answers if one.answer < number]
    ledger.cautions = [
        replace(one, answered_at="", said="", answer=0) if one.answer >= number else one
        for one in ledger.cautions
    ]
    return ledger


def _sent_on(ledger: Ledger, line: Line) -> Ledger:
    ledger.sent_to = str(line.data["flow"])
    return ledger


def _ended(ledger: Ledger, line: Line) -> Ledger:
    ledger.has_ended = True
    ledger.outcome, ledger.why = str(line.data["outcome"]), str(line.data["why"])
    return ledger


REDUCERS: dict[str, Reducer[Ledger]] = {
    "began": _began,
    "sent_on": _sent_on,
    "heard": _heard,
    "took": _took,
    "judged": _judged,
    "forgot": _forgot,
    "answered": _answered,
    "skipped": _skipped,
    "caution_given": _caution_given,
    "caution_answered": _caution_answered,
    "found": _found,
    "condition": _condition,
    "noted": _noted,
    "scratched": _scratched,
    "ended": _ended,
}
"""One function a kind of event; each fills the ledger."""
