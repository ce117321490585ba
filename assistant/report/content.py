"""A session as the JSON that scripts and work-order systems read.

Keys are added, never renamed. Values of readings are strings with the digits as they were said;
texts are as they were given, with nothing made harmless: JSON escapes what it must.
"""

from typing import Any

from assistant.journal.account import Account, MadeFinding, NamedAnswer, TakenValue
from assistant.report import selection
from assistant.report.labels import shown_value
from assistant.report.selection import SaidCaution


def content(account: Account) -> dict[str, Any]:
    """Give an account as JSON data.

    `sealed` is true only when the seal is sound and nothing before it was changed or lost;
    `problems` says what was.
    """
    return {
        "session": account.session,
        "flow": account.flow,
        "title": account.title,
        "edition": account.edition,
        "digest": account.digest,
        "technician": account.technician,
        "unit": account.unit,
        "started": account.started,
        "outcome": account.outcome,
        "sent_to": account.sent_to,
        "after": account.after,
        "why": account.why,
        "complaint": selection.complaint(account) or None,
        "findings": [_finding(one) for one in selection.findings(account)],
        "readings": [_reading(account, one) for one in selection.readings(account)],
        "earlier_readings": [
            _reading(account, one) for one in account.earlier if selection.is_reading(one)
        ],
        "cautions": [_caution(one) for one in selection.cautions(account)],
        "nameplate": {
            one.id: {"value": one.value or None, "unit": one.unit, "said": one.said}
            for one in selection.nameplate(account)
        },
        "answers": [_answer(one) for one in selection.named_answers(account)],
        "skipped": [
            {"step": one.step, "reason": one.meaning} for one in selection.skipped_steps(account)
        ],
        "notes": list(account.notes),
        "turns": account.turns,
        "scratched": account.scratched,
        "seconds": account.seconds,
        "sealed": selection.is_trusted(account),
        "seal_code": account.seal_code or None,
        "problems": list(account.problems),
    }


def _finding(made: MadeFinding) -> dict[str, Any]:
    return {
        "id": made.id,
        "part": made.part,
        "reason": made.reason,
        "evidence": list(made.evidence),
        "repair": made.repair,
        "replacement": made.replacement,
        "licensed": made.licensed,
        "faults": list(made.faults),
        "step": made.step,
    }


def _reading(account: Account, value: TakenValue) -> dict[str, Any]:
    is_judged = bool(value.verdict)
    quantity, first, second = value.places
    return {
        "id": value.id,
        "said": value.said,
        "value": None if value.over_limit else value.value,
        "unit": value.unit,
        "over_limit": value.over_limit,
        "verdict": value.verdict or None,
        "measured": value.measured or shown_value(value),
        "expected": value.expected if is_judged else None,
        "reason": value.reason if is_judged else None,
        "retaken": value.retaken,
        "low": value.low or None,
        "high": value.high or None,
        "confirmed": value.confirmed,
        "origin": value.origin,
        "step": value.step,
        "quantity": quantity or None,
        "from": first or None,
        "to": second or None,
        "after_repair": selection.is_after_repair(account, value.answer),
    }


def _caution(said: SaidCaution) -> dict[str, Any]:
    caution = said.caution
    return {
        "id": caution.id,
        "given": bool(caution.given_at),
        "answered": said.is_answered,
        "given_at": caution.given_at or None,
        "answered_at": caution.answered_at or None,
        "said": caution.said or None,
        "seconds_to_answer": said.seconds,
        "times_given": said.times,
        "step": caution.step,
        "text": caution.text,
    }


def _answer(answer: NamedAnswer) -> dict[str, Any]:
    return {
        "step": answer.step,
        "choice": answer.choice,
        "meaning": answer.meaning,
        "said": answer.said,
        "is_hold": answer.is_hold,
    }
