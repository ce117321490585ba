"""What the Markdown and the HTML report both show, as rows of words ready to be laid out."""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.journal.account import Account, MadeFinding, NamedAnswer, TakenValue
from assistant.report import labels, selection
from assistant.report.band import Band, lay_out
from assistant.report.labels import counted
from assistant.report.selection import SaidCaution


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading as words.

    Args:
        label: its name.
        place: where it was taken.
        shown: the reading, for the eye.
        expected: the limits; empty where none were judged by.
        verdict: the verdict as a word.
        reason: why.
        remarks: its words, whether it was asked back, whether it was taken again.
        band: its picture, where it has limits.
    """

    label: str
    place: str
    shown: str
    expected: str
    verdict: str
    reason: str
    remarks: str
    band: Band | None


@dataclass(frozen=True, slots=True)
class View:
    """A report as words.

    Args:
        title: what was walked.
        head: what stands at the top: name and words.
        outcome: the outcome as words.
        why: why the walk ended.
        is_finished: whether the walk came to its end.
        findings: the findings.
        readings: the readings in the order of taking, those taken again later among them.
        counts: how many readings came to which verdict, in words.
        repair: whether a repair was recorded, in words; empty where there was nothing to repair.
        checks: what was read after the repair.
        checked_answers: what was answered after the repair.
        nameplate: what was read off labels: name and words.
        answers: named answers: the step, what it was answered with, the words heard.
        cautions: cautions: what was said, when, how it was answered.
        cautions_answered: "5 of 5 answered".
        notes: the technician's own words.
        skipped: skipped steps with their reasons.
        integrity: whether the record can be relied on, one sentence each.
        is_trusted: whether it is sealed and whole.
        problems: what is wrong with it, by line.
        deference: what comes before this tool.
    """

    title: str
    head: tuple[tuple[str, str], ...]
    outcome: str
    why: str
    is_finished: bool
    findings: tuple[MadeFinding, ...]
    readings: tuple[ReadingRow, ...]
    counts: str
    repair: str
    checks: tuple[ReadingRow, ...]
    checked_answers: tuple[tuple[str, str, str], ...]
    nameplate: tuple[tuple[str, str, str], ...]
    answers: tuple[tuple[str, str, str], ...]
    cautions: tuple[tuple[str, str, str], ...]
    cautions_answered: str
    notes: tuple[str, ...]
    skipped: tuple[tuple[str, str], ...]
    integrity: str
    is_trusted: bool
    problems: tuple[str, ...]
    deference: str = labels.DEFERENCE


def view(account: Account) -> View:
    """Lay an account out as words."""
    answers = selection.named_answers(account)
    after = [one for one in answers if selection.is_after_repair(account, one.answer)]
    judged = selection.readings(account)
    return View(
        title=account.title or account.flow or "Walk without a title",
        head=_head(account),
        outcome=labels.outcome_words(account.outcome),
        why=account.why,
        is_finished=account.outcome != "stopped",
        findings=selection.findings(account),
        readings=tuple(_row(one, account) for one in selection.all_readings(account)),
        counts=count_words(judged),
        repair=_repair(account),
        checks=tuple(
            _row(one, account) for one in judged if selection.is_after_repair(account, one.answer)
        ),
        checked_answers=tuple(_answer(one) for one in after),
        nameplate=tuple(
            (labels.spaced(one.id), labels.shown_value(one), labels.remarks(one))
            for one in selection.nameplate(account)
        ),
        answers=tuple(_answer(one) for one in answers),
        cautions=tuple(_caution(one) for one in selection.cautions(account)),
        cautions_answered=count_cautions(account),
        notes=account.notes,
        skipped=tuple(
            (labels.spaced(one.step), one.meaning) for one in selection.skipped_steps(account)
        ),
        integrity=tell_integrity(account),
        is_trusted=selection.is_trusted(account),
        problems=account.problems,
    )


def count_words(values: Sequence[TakenValue]) -> str:
    """Count readings by verdict: "7 readings as they stand: 5 pass, 1 FAIL, 1 not judged"."""
    if not values:
        return "No reading was taken."
    by_verdict = ", ".join(
        f"{number} {labels.verdict_word(verdict)}"
        for verdict, number in selection.count_verdicts(values).items()
    )
    standing = "as it stands" if len(values) == 1 else "as they stand"
    return f"{counted(len(values), 'reading')} {standing}: {by_verdict}."


def count_cautions(account: Account) -> str:
    """Count cautions: "5 of 5 answered"."""
    said = selection.cautions(account)
    if not said:
        return "none was said"
    return f"{sum(one.is_answered for one in said)} of {len(said)} answered"


def tell_integrity(account: Account) -> str:
    """Say in one sentence whether the record can be relied on."""
    if account.problems:
        places = counted(len(account.problems), "place")
        return f"This record was changed or damaged in {places}; do not rely on it as it stands."
    if not account.is_sealed:
        return "This record is not sealed: the walk is open or was interrupted."
    return f"This record is sealed and whole. Its code is {account.seal_code}."


def _head(account: Account) -> tuple[tuple[str, str], ...]:
    edition = f", edition {account.edition}" if account.edition else ""
    rows = (
        ("Unit", account.unit or "not given"),
        ("Technician", account.technician or "not given"),
        ("Date", labels.moment_words(account.started) or "not known"),
        ("Duration", labels.duration_words(account.seconds)),
        ("Flow", f"{account.flow or 'not known'}{edition}"),
        ("Complaint", selection.complaint(account)),
        ("Session", account.session),
    )
    return tuple((name, words) for name, words in rows if words)


def _row(value: TakenValue, account: Account) -> ReadingRow:
    is_replaced = any(value is one for one in account.earlier)
    return ReadingRow(
        label=labels.spaced(value.id),
        place=labels.place_words(value),
        shown=labels.shown_value(value),
        expected=value.expected,
        verdict=labels.verdict_word(value.verdict),
        reason=value.reason,
        remarks=labels.remarks(value, is_replaced=is_replaced),
        band=lay_out(value),
    )


def _repair(account: Account) -> str:
    if selection.repair_answer(account) is not None:
        return "The repair was said to be made. What was checked after it stands here."
    return "No repair was recorded in this session." if account.findings else ""


def _answer(answer: NamedAnswer) -> tuple[str, str, str]:
    hold = " (hold point)" if answer.is_hold else ""
    return (f"{labels.spaced(answer.step)}{hold}", answer.meaning, answer.said)


def _caution(said: SaidCaution) -> tuple[str, str, str]:
    caution = said.caution
    given = labels.moment_words(caution.given_at)
    if said.times > 1:
        given += f" (said {said.times} times)"
    if not said.is_answered:
        return (caution.text, given, "NOT ANSWERED")
    after = "" if said.seconds is None else f" after {labels.duration_words(said.seconds)}"
    return (caution.text, given, f'answered "{caution.said}"{after}')
