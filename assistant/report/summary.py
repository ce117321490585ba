"""What a walk came to, in 5 to 15 lines of plain text, for the end of a walk."""

from collections.abc import Iterator
from pathlib import Path

from assistant.flow.judging import VerdictKind
from assistant.journal.account import Account, MadeFinding, TakenValue
from assistant.journal.repairing import find_unproven
from assistant.report import labels, selection
from assistant.report.labels import counted
from assistant.report.plain_text import make_harmless, shorten
from assistant.report.view import count_cautions, count_words, tell_integrity

MOST_LINES = 15
_LINE_LENGTH = 300
_FINDINGS_SHOWN = 2
_READINGS_SHOWN = 6
_FIRST = 0
_URGENCY = (VerdictKind.FAIL, VerdictKind.CANNOT_TELL, VerdictKind.MARGINAL, VerdictKind.PASS)


def tell(account: Account, record: Path | None = None) -> str:
    """Tell what a walk came to.

    Args:
        account: what the session came to.
        record: the session's folder, where it is kept on the disk.

    Returns:
        5 to 15 lines without a line break at the end. Only a path is given in full; other long
        texts are cut, as the record has them whole.
    """
    top = [*_opening(account), *_findings(account), *_unproven(account)]
    end = [
        f"Cautions: {count_cautions(account)}.",
        f"Record: {make_harmless(str(record)) if record is not None else 'not kept on the disk'}",
        tell_integrity(account),
    ]
    room = MOST_LINES - len(top) - len(end) - 1
    lines = [*top, *_readings(account, min(room, _READINGS_SHOWN + 1)), *end]
    return "\n".join(line if line in end else shorten(line, _LINE_LENGTH) for line in lines)


def _opening(account: Account) -> Iterator[str]:
    """Say the outcome, in the words of the reports, and why where the walk did not end well."""
    on = f" on {make_harmless(account.unit)}" if account.unit else ""
    title = make_harmless(account.title or account.flow or "Walk")
    yield f"{title}{on}: {make_harmless(labels.outcome_words(account.outcome))}."
    if account.outcome == "stopped" and account.why:
        yield f"Why: {make_harmless(account.why)}"


def _findings(account: Account) -> Iterator[str]:
    made = selection.findings(account)
    for finding in made[:_FINDINGS_SHOWN]:
        yield from _finding(finding)
    if len(made) > _FINDINGS_SHOWN:
        yield f"And {counted(len(made) - _FINDINGS_SHOWN, 'more finding')} in the record."


def _finding(finding: MadeFinding) -> Iterator[str]:
    licensed = " A licensed person must take over." if finding.licensed else ""
    yield f"Finding: {make_harmless(finding.part)}. {make_harmless(finding.reason)}{licensed}"
    yield f"  Repair: {make_harmless(finding.repair)}"
    if finding.replacement:
        yield f"  Replacement: {make_harmless(finding.replacement)}"


def _unproven(account: Account) -> Iterator[str]:
    against = find_unproven(account)
    if against is not None:
        yield make_harmless(against.words)


def _readings(account: Account, room: int) -> Iterator[str]:
    """Count the readings, then show those that matter most, and how many more there are.

    What the findings rest on and what failed comes first, each part in the order of taking.
    """
    taken = selection.readings(account)
    yield make_harmless(count_words(taken))
    judged = [one for one in selection.all_readings(account) if one.verdict]
    is_cut = len(judged) > max(room, 0)
    most = max(room - is_cut, 0)
    ranked = sorted(judged, key=lambda one: (_rank(account, one), -one.answer))[:most]
    for value in sorted(ranked, key=lambda one: (_rank(account, one) > _FIRST, one.answer)):
        yield _reading(value, is_replaced=any(value is one for one in account.earlier))
    if is_cut and room > 0:
        yield f"  {'and ' if ranked else ''}{len(judged) - len(ranked)} more in the record"


def _reading(value: TakenValue, *, is_replaced: bool) -> str:
    expected = f" (expected {value.expected})" if value.expected else ""
    word = labels.verdict_word(value.verdict)
    after = "; taken again" if is_replaced else ""
    told = f"{labels.spaced(value.id)}: {labels.shown_value(value)}, {word}{expected}{after}"
    return f"  {make_harmless(told)}"


def _rank(account: Account, value: TakenValue) -> int:
    """Say how much a reading matters: 0 the most; what passed before a repair the least."""
    if value.verdict not in _URGENCY or value.verdict == VerdictKind.FAIL:
        return _FIRST
    told = f"{labels.spaced(value.id)}: "
    if any(line.startswith(told) for made in account.findings for line in made.evidence):
        return _FIRST
    rank = _URGENCY.index(VerdictKind(value.verdict))
    return rank + (not selection.is_after_repair(account, value.answer))
