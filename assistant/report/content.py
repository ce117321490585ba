"""A session as the JSON that scripts and work-order systems read.

Keys are added, never renamed. Values of readings are strings with the digits as they were said;
texts are as they were given, with nothing made harmless: JSON escapes what it must.
"""

from dataclasses import asdict
from typing import Any

from assistant.journal.account import Account, MadeFinding, NamedAnswer, TakenValue
from assistant.journal.clips import Clip
from assistant.journal.left import left_words
from assistant.journal.remarks import Remarks
from assistant.journal.repairing import find_unproven, repair_answer
from assistant.journal.signing import is_same_person
from assistant.report import selection
from assistant.report.beside import Beside
from assistant.report.drawing import draw_leads
from assistant.report.labels import shown_value
from assistant.report.plain_words import tell_customer
from assistant.report.proving import Check, checks
from assistant.report.selection import SaidCaution


def content(account: Account, beside: Beside | None = None) -> dict[str, Any]:
    """Give an account as JSON data, with what stands beside the journal.

    `sealed` is true only when the seal is sound and nothing before it was changed or lost;
    `problems` says what was. `clips` is null where nobody asked for sounds.
    """
    beside = beside or Beside()
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
        "left": left_words(account) or None,
        "conditions": dict(account.conditions),
        "complaint": selection.complaint(account) or None,
        "repair": _repair(account),
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
        "next_session": beside.next_session or None,
        "checks": [_check(one) for one in checks(account)],
        "hold_points": [_answer(one) for one in selection.named_answers(account) if one.is_hold],
        "plain": _plain(account),
        "drawings": [
            {"title": one.title, "measured": list(one.words)}
            for one in draw_leads(selection.all_readings(account), beside.places)
        ],
        **_reviewed(beside.remarks, account.technician),
        "clips": None if beside.clips is None else [_clip(one) for one in beside.clips],
    }


def _repair(account: Account) -> dict[str, Any]:
    """Tell whether a repair was recorded, and what speaks against it."""
    against = find_unproven(account)
    return {
        "recorded": repair_answer(account) is not None,
        "refused": against is not None and against.is_refused,
        "unproven": against.words if against else None,
        "reading": against.value.id if against else None,
    }


def _check(check: Check) -> dict[str, Any]:
    """Tell a check after the repair by the ids under which `readings` has both."""
    before, after = check.before, check.after
    return {
        "id": after.id,
        "after": shown_value(after),
        "verdict": after.verdict or None,
        "before_id": before.id if before else None,
        "before": shown_value(before) if before else None,
        "before_verdict": (before.verdict or None) if before else None,
    }


def _plain(account: Account) -> dict[str, Any]:
    told = tell_customer(account)
    return {
        "wrong": list(told.wrong),
        "faults": [asdict(fault) for fault in told.faults],
        "done": list(told.done),
        "watch": list(told.watch),
        "meanings": dict(told.meanings),
    }


def _reviewed(said: Remarks, technician: str) -> dict[str, Any]:
    return {
        "remarks": [
            {"time": one.time, "author": one.author, "text": one.text, "line": one.line or None}
            for one in said.remarks
        ],
        "sign_offs": [
            {
                "time": one.time,
                "author": one.author,
                "agrees": one.agrees,
                "why": one.why,
                "findings": list(one.findings),
                "stands": one is said.standing,
                "by_technician": is_same_person(one.author, technician),
            }
            for one in said.sign_offs
        ],
        "remarks_problems": [problem.sentence for problem in said.problems],
    }


def _clip(clip: Clip) -> dict[str, Any]:
    return {
        "hash": clip.hash,
        "line": clip.line,
        "time": clip.time,
        "words": clip.words,
        "state": clip.state,
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
