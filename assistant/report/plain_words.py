"""A session in plain words, for someone who owns the unit and does not know the trade."""

from assistant.flow.judging import VerdictKind
from assistant.journal.account import Account, TakenValue
from assistant.report import labels, selection
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


def tell_customer(account: Account) -> tuple[str, ...]:
    """Tell a session in a few short paragraphs."""
    paragraphs = (
        _complaint(account),
        _outcome(account),
        _repair(account),
        _readings(account),
        _after_repair(account),
        _safety(account),
    )
    return tuple(paragraph for paragraph in paragraphs if paragraph)


def _complaint(account: Account) -> str:
    told = selection.complaint(account)
    return f"The complaint: {told}." if told else ""


def _outcome(account: Account) -> str:
    found = selection.findings(account)
    parts = [f"{counted(len(found), 'fault')} {_was(len(found))} found."] if found else []
    if account.outcome == "stopped":
        parts.append(f"The checks were stopped before their end. {account.why}".strip())
        parts.append("What was not checked is not cleared by this report.")
    elif not (found and account.outcome == "no_fault"):
        parts.append(_OUTCOMES.get(account.outcome, labels.outcome_words(account.outcome)))
    if any(one.licensed for one in found):
        parts.append("A licensed person must take over.")
    return " ".join(parts)


def _repair(account: Account) -> str:
    if not account.findings:
        return ""
    if selection.repair_answer(account) is None:
        return "No repair was recorded during this visit."
    return "The technician recorded that the repair was made."


def _readings(account: Account) -> str:
    judged = [one for one in selection.readings(account) if one.verdict]
    if not judged:
        return "No reading was judged."
    was = _was(len(judged))
    return f"{counted(len(judged), 'reading')} {was} judged; at the end: {_plain_counts(judged)}."


def _after_repair(account: Account) -> str:
    judged = [
        one
        for one in selection.readings(account)
        if one.verdict and selection.is_after_repair(account, one.answer)
    ]
    if selection.repair_answer(account) is None:
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
    ending = f"{unanswered} without an answer" if unanswered else "each was answered"
    was = _was(len(said))
    return f"{counted(len(said), 'safety caution')} {was} read aloud to the technician; {ending}."


def _was(number: int) -> str:
    return "was" if number == 1 else "were"
