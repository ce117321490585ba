"""What the Markdown and the HTML report both show, as rows of words ready to be laid out."""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.journal.account import Account, MadeFinding, NamedAnswer, TakenValue
from assistant.journal.left import left_words
from assistant.journal.repairing import find_unproven, repair_answer
from assistant.report import labels, selection
from assistant.report.beside import Beside
from assistant.report.drawing import Drawing, draw_leads
from assistant.report.labels import counted
from assistant.report.plain_words import PlainWords, tell_customer
from assistant.report.proving import checks
from assistant.report.reviewed import Reviewed, count_clips, tell_clips, tell_remarks
from assistant.report.rows import (
    CheckRow,
    ReadingRow,
    answer_row,
    caution_row,
    check_row,
    reading_row,
)


@dataclass(frozen=True, slots=True)
class View:
    """A report as words.

    Args:
        title: what was walked.
        head: what stands at the top: name and words.
        outcome: the outcome as words.
        why: why the walk ended.
        left: how the unit was left; empty where nothing was done to it.
        unproven: what speaks against the repair that was recorded; empty where nothing does.
        is_finished: whether the walk came to its end.
        plain: all of it for someone who does not know the trade.
        findings: the findings.
        readings: the readings in the order of taking, those taken again later among them.
        counts: how many readings came to which verdict, in words.
        drawings: where the readings were taken.
        repair: whether a repair was recorded, in words; empty where there was nothing to repair.
        checks: what was read after the repair, beside what was read before.
        checked_answers: what was answered after the repair, without the hold points.
        nameplate: what was read off labels: name and words.
        holds: hold points: the step, what it was answered with, the words heard.
        answers: the other named answers, likewise.
        cautions: cautions: what was said, when, how it was answered.
        cautions_by_text: each text once, with when it was said and how it was answered.
        cautions_answered: "5 of 5 answered".
        notes: the technician's own words.
        skipped: skipped steps with their reasons.
        reviewed: what a lead said of it.
        clips: sounds of answers: when, words, hash, what became of it.
        clips_counted: how many there are, in words; empty where nobody asked for them.
        integrity: whether the record can be relied on, one sentence each.
        is_trusted: whether it is sealed and whole.
        problems: what is wrong with it, by line.
        deference: what comes before this tool.
    """

    title: str
    head: tuple[tuple[str, str], ...]
    outcome: str
    why: str
    left: str
    unproven: str
    is_finished: bool
    plain: PlainWords
    findings: tuple[MadeFinding, ...]
    readings: tuple[ReadingRow, ...]
    counts: str
    drawings: tuple[Drawing, ...]
    repair: str
    checks: tuple[CheckRow, ...]
    checked_answers: tuple[tuple[str, str, str], ...]
    nameplate: tuple[tuple[str, str, str], ...]
    holds: tuple[tuple[str, str, str], ...]
    answers: tuple[tuple[str, str, str], ...]
    cautions: tuple[tuple[str, str, str], ...]
    cautions_by_text: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    cautions_answered: str
    notes: tuple[str, ...]
    skipped: tuple[tuple[str, str], ...]
    reviewed: Reviewed
    clips: tuple[tuple[str, str, str, str], ...]
    clips_counted: str
    integrity: str
    is_trusted: bool
    problems: tuple[str, ...]
    deference: str = labels.DEFERENCE


def view(account: Account, beside: Beside | None = None) -> View:
    """Lay an account out as words, with what stands beside the journal."""
    beside = beside or Beside()
    answers = selection.named_answers(account)
    taken = selection.all_readings(account)
    cautions = tuple(caution_row(one, account.started) for one in selection.cautions(account))
    return View(
        title=account.title or account.flow or "Walk without a title",
        head=_head(account, beside),
        outcome=labels.outcome_words(account.outcome),
        why=account.why,
        left=left_words(account),
        unproven=_unproven(account),
        is_finished=account.outcome != "stopped",
        plain=tell_customer(account),
        findings=selection.findings(account),
        readings=tuple(reading_row(one, account, beside.places) for one in taken),
        counts=count_words(selection.readings(account)),
        drawings=draw_leads(taken, beside.places),
        repair=_repair(account),
        checks=tuple(check_row(one) for one in checks(account)),
        checked_answers=tuple(answer_row(one) for one in _answers_after(answers, account)),
        nameplate=tuple(_plate(one) for one in selection.nameplate(account)),
        holds=tuple(answer_row(one) for one in answers if one.is_hold),
        answers=tuple(answer_row(one) for one in answers if not one.is_hold),
        cautions=cautions,
        cautions_by_text=_by_text(cautions),
        cautions_answered=count_cautions(account),
        notes=account.notes,
        skipped=tuple(
            (labels.spaced(one.step), one.meaning) for one in selection.skipped_steps(account)
        ),
        reviewed=tell_remarks(beside.remarks, account.technician),
        clips=tell_clips(beside.clips or ()),
        clips_counted=count_clips(beside.clips),
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


def _head(account: Account, beside: Beside) -> tuple[tuple[str, str], ...]:
    edition = f", edition {account.edition}" if account.edition else ""
    went_on = f", session {beside.next_session}" if beside.next_session else ""
    rows = (
        ("Unit", account.unit or "not given"),
        ("Technician", account.technician or "not given"),
        ("Date", labels.moment_words(account.started) or "not known"),
        ("Duration", labels.duration_words(account.seconds)),
        ("Flow", f"{account.flow or 'not known'}{edition}"),
        ("Complaint", selection.complaint(account)),
        ("Session", account.session),
        ("Follows", f"session {account.after}" if account.after else ""),
        ("Sign-off", tell_remarks(beside.remarks, account.technician).standing),
        ("Sent on to", f"{labels.spaced(account.sent_to)}{went_on}" if account.sent_to else ""),
    )
    return tuple((name, words) for name, words in rows if words)


def _answers_after(answers: Sequence[NamedAnswer], account: Account) -> tuple[NamedAnswer, ...]:
    after = (one for one in answers if selection.is_after_repair(account, one.answer))
    return tuple(one for one in after if not one.is_hold)


def _by_text(
    cautions: Sequence[tuple[str, str, str]],
) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Put cautions of the same text together, for paper."""
    texts: dict[str, list[tuple[str, str]]] = {}
    for text, given, answer in cautions:
        texts.setdefault(text, []).append((given, answer))
    return tuple((text, tuple(said)) for text, said in texts.items())


def _plate(value: TakenValue) -> tuple[str, str, str]:
    return (labels.spaced(value.id), labels.shown_value(value), labels.remarks(value))


def _unproven(account: Account) -> str:
    against = find_unproven(account)
    return against.words if against is not None else ""


def _repair(account: Account) -> str:
    if unproven := _unproven(account):
        return f"A repair was recorded. {unproven} What was checked after it stands here."
    if repair_answer(account) is not None:
        return "The repair was said to be made. What was checked after it stands here."
    return "No repair was recorded in this session." if account.findings else ""
