"""A session in plain words, for someone who owns the unit and does not know the trade."""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.flow.judging import VerdictKind
from assistant.journal.account import Account, MadeFinding, TakenValue
from assistant.journal.repairing import find_unproven, repair_answer
from assistant.report import labels, selection
from assistant.report.glossary import explain, spell_out
from assistant.report.labels import counted

_OUTCOMES = {
    "no_fault": (
        "The checks were carried to their end and found no fault. A fault that comes and goes may"
        " not have shown itself today."
    ),
    "found": "The checks were carried to their end.",
}

_PLAIN_VERDICTS = {
    VerdictKind.PASS.value: ("as it should be", "as they should be"),
    VerdictKind.MARGINAL.value: ("close to the limit", "close to their limits"),
    VerdictKind.FAIL.value: ("not as it should be", "not as they should be"),
    VerdictKind.CANNOT_TELL.value: ("not clear enough to tell", "not clear enough to tell"),
}
"""Each verdict in plain words, for one reading and for more."""

_PANELS = (
    "Leave covers and panels of the unit closed; the parts behind them can hurt even when the unit"
    " is switched off."
)


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault in plain words.

    Args:
        part: what is at fault.
        reason: how that was known.
        repair: what to do; empty where nothing is said.
        replacement: what may be put in; empty where no part is replaced.
        is_licensed: whether only a licensed person may do it.
    """

    part: str
    reason: str
    repair: str
    replacement: str
    is_licensed: bool


@dataclass(frozen=True, slots=True)
class PlainWords:
    """A session in plain words.

    Args:
        wrong: what was wrong.
        faults: the faults that were found.
        done: what was done.
        watch: what to watch from now on.
        meanings: words of the trade in all this, with what they mean.
    """

    wrong: tuple[str, ...]
    faults: tuple[Fault, ...]
    done: tuple[str, ...]
    watch: tuple[str, ...]
    meanings: tuple[tuple[str, str], ...]


def tell_customer(account: Account) -> PlainWords:
    """Tell a session to who owns the unit."""
    faults = tuple(_fault(made) for made in selection.findings(account))
    wrong, done, watch = (
        tuple(spell_out(text) for text in texts if text)
        for texts in (_wrong(account), _done(account), _watch(account))
    )
    told = [text for fault in faults for text in (fault.part, fault.reason, fault.repair)]
    told += [fault.replacement for fault in faults]
    return PlainWords(wrong, faults, done, watch, explain(told))


def _fault(made: MadeFinding) -> Fault:
    part, reason, repair, replacement = (
        spell_out(text) for text in (made.part, made.reason, made.repair, made.replacement)
    )
    return Fault(part, reason, repair, replacement, made.licensed)


def _wrong(account: Account) -> Iterator[str]:
    told = selection.complaint(account)
    yield f"The complaint: {told}." if told else ""
    found = selection.findings(account)
    parts = [f"{counted(len(found), 'fault')} {_was(len(found))} found."] if found else []
    if account.outcome == "stopped":
        parts.append(f"The checks were stopped before their end. {account.why}".strip())
    elif account.outcome == "sent":
        parts.append("These checks led on to other checks, which have a record of their own.")
    elif not (found and account.outcome == "no_fault"):
        parts.append(_OUTCOMES.get(account.outcome, labels.outcome_words(account.outcome)))
    yield " ".join(parts)


def _done(account: Account) -> Iterator[str]:
    if account.findings:
        yield _repair(account)
    yield _readings(account)
    yield _after_repair(account)
    yield _safety(account)


def _repair(account: Account) -> str:
    if repair_answer(account) is None:
        return "No repair was recorded during this visit."
    against = find_unproven(account)
    if against is None:
        return "The technician recorded that the repair was made."
    return f"The technician recorded a repair. {against.words}"


def _watch(account: Account) -> Iterator[str]:
    found = selection.findings(account)
    is_repaired = repair_answer(account) is not None and find_unproven(account) is None
    if any(one.licensed for one in found):
        yield "A licensed person must take over."
    elif found and not is_repaired:
        yield "What was found is not put right yet; the trouble may go on or get worse until it is."
    if account.outcome == "stopped":
        yield "What was not checked is not cleared by this report."
    skipped = len(selection.skipped_steps(account))
    if skipped:
        yield f"{counted(skipped, 'check')} {_was(skipped)} left out; the technical half says why."
    yield from (_watched(account, verdict) for verdict in _WATCHED)
    if found or account.outcome == "no_fault":
        yield (
            "If the trouble comes back, or there is a new noise, smell or heat: switch the unit off"
            " and have it looked at, and show this record."
        )
    yield _PANELS


_WATCHED = {
    VerdictKind.FAIL.value: "What is behind that is still to be found.",
    VerdictKind.MARGINAL.value: "That is still allowed; have it measured again at the next visit.",
    VerdictKind.CANNOT_TELL.value: "Have it measured again.",
}
"""What follows from readings that stand so at the end."""


def _watched(account: Account, verdict: str) -> str:
    """Say what readings of a verdict mean from now on; after a repair those taken then count.

    A reading that condemned a part says nothing of the one that was put in; and where it condemned
    one that is still there, the finding has said what to do.
    """
    is_repaired = repair_answer(account) is not None
    standing = [one for one in selection.readings(account) if one.verdict == verdict]
    if is_repaired:
        against = find_unproven(account)  # what speaks against the repair is told with it
        standing = [
            one
            for one in standing
            if selection.is_after_repair(account, one.answer)
            and not (against is not None and one is against.value)
        ]
    is_told = verdict == VerdictKind.FAIL and bool(account.findings) and not is_repaired
    if not standing or is_told:
        return ""
    number = len(standing)
    said = f"{counted(number, 'reading')} {_was(number)} {_plain_verdict(verdict, number)}"
    return f"{said} at the end. {_WATCHED[verdict]}"


def _readings(account: Account) -> str:
    taken = [one for one in selection.all_readings(account) if one.verdict]
    repaired = repair_answer(account)
    if not taken:
        return "No reading was judged."
    if repaired is None:
        judged = [one for one in selection.readings(account) if one.verdict]
        was = _was(len(judged))
        return (
            f"{counted(len(judged), 'reading')} {was} judged; at the end: {_plain_counts(judged)}."
        )
    before = [one for one in taken if one.answer < repaired]
    if not before:
        return ""
    return f"Before the repair: {counted(len(before), 'reading')}, {_plain_counts(before)}."


def _after_repair(account: Account) -> str:
    judged = [
        one
        for one in selection.readings(account)
        if one.verdict and selection.is_after_repair(account, one.answer)
    ]
    if repair_answer(account) is None:
        return ""
    if not judged:
        return "No reading was judged after the repair."
    return f"After the repair: {counted(len(judged), 'reading')}, {_plain_counts(judged)}."


def _plain_counts(values: list[TakenValue]) -> str:
    return ", ".join(
        f"{number} {_plain_verdict(verdict, number)}"
        for verdict, number in selection.count_verdicts(values).items()
    )


def _plain_verdict(verdict: str, number: int) -> str:
    word = labels.verdict_word(verdict)
    one, many = _PLAIN_VERDICTS.get(verdict, (word, word))
    return one if number == 1 else many


def _safety(account: Account) -> str:
    said = selection.cautions(account)
    if not said:
        return ""
    unanswered = sum(not one.is_answered for one in said)
    answered = "it was answered" if len(said) == 1 else "each was answered"
    ending = f"{unanswered} without an answer" if unanswered else answered
    was = _was(len(said))
    return f"{counted(len(said), 'safety caution')} {was} read aloud to the technician; {ending}."


def _was(number: int) -> str:
    return "was" if number == 1 else "were"
