"""Which parts of an account a report shows, and what they come to when counted.

An account keeps all that happened; a report has each finding once and each caution as it was last
said, and sets readings apart from what was read off a label.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from assistant.flow.judging import VerdictKind
from assistant.journal.account import (
    Account,
    GivenCaution,
    MadeFinding,
    NamedAnswer,
    TakenValue,
)
from assistant.journal.repairing import repair_answer

ASKED = "asked"
"""The origin of a value that was read off a label."""
WORKED_OUT = "worked_out"
"""The origin of a value that a formula gave."""
SKIPPED = "skipped"
"""The choice under which an account keeps a skipped step."""
COMPLAINT = "complaint"
"""The name of the step that asks what is wrong."""


@dataclass(frozen=True, slots=True)
class SaidCaution:
    """A caution as it stands.

    Args:
        caution: when it was last said, and its answer.
        times: how often it was said at its step; more than once where an answer was taken back.
    """

    caution: GivenCaution
    times: int = 1

    @property
    def is_answered(self) -> bool:
        """Whether it was answered after it was last said."""
        return bool(self.caution.answered_at)

    @property
    def seconds(self) -> float | None:
        """Give how long the answer took; None where there is none or the clock was set back."""
        if not self.caution.answered_at or not self.caution.given_at:
            return None
        given, answered = (
            datetime.fromisoformat(time)
            for time in (self.caution.given_at, self.caution.answered_at)
        )
        seconds = (answered - given).total_seconds()
        return seconds if seconds >= 0 else None


def is_reading(value: TakenValue) -> bool:
    """Say whether a value belongs with the readings: not off a label, or judged all the same."""
    return value.origin != ASKED or bool(value.verdict)


def readings(account: Account) -> tuple[TakenValue, ...]:
    """Give what was measured, worked out or judged, as it stands at the end."""
    return tuple(value for value in account.values if is_reading(value))


def all_readings(account: Account) -> tuple[TakenValue, ...]:
    """Give the readings with those that were taken again later, in the order of taking."""
    taken = [value for value in (*account.earlier, *account.values) if is_reading(value)]
    return tuple(sorted(taken, key=lambda value: value.answer))


def nameplate(account: Account) -> tuple[TakenValue, ...]:
    """Give what was read off labels."""
    return tuple(value for value in account.values if value.origin == ASKED)


def findings(account: Account) -> tuple[MadeFinding, ...]:
    """Give each finding once, in order; the same one told twice is one."""
    told: dict[tuple[object, ...], MadeFinding] = {}
    for made in account.findings:
        told.setdefault((made.id, made.part, made.reason, made.evidence), made)
    return tuple(told.values())


def cautions(account: Account) -> tuple[SaidCaution, ...]:
    """Give the cautions as they stand.

    A caution whose answer was taken back is said again at the same step; it then counts as one,
    said twice, and only its last answer counts.
    """
    standing: list[SaidCaution] = []
    for given in account.cautions:
        again = next(
            (
                said
                for said in standing
                if not said.is_answered
                and (said.caution.id, said.caution.step) == (given.id, given.step)
            ),
            None,
        )
        if again is not None:
            standing.remove(again)
        standing.append(SaidCaution(given, again.times + 1 if again else 1))
    return tuple(standing)


def skipped_steps(account: Account) -> tuple[NamedAnswer, ...]:
    """Give the steps that were skipped, with the reason said."""
    return tuple(answer for answer in account.answers if answer.choice == SKIPPED)


def named_answers(account: Account) -> tuple[NamedAnswer, ...]:
    """Give the answers that are no numbers, hold points among them, without skipped steps."""
    return tuple(answer for answer in account.answers if answer.choice != SKIPPED)


def complaint(account: Account) -> str:
    """Give what the complaint was; empty where none was asked for."""
    told = [one.meaning for one in account.answers if one.step.rpartition("/")[2] == COMPLAINT]
    return told[-1] if told else ""


def is_after_repair(account: Account, answer: int) -> bool:
    """Say whether an answer was given after the last repair."""
    repaired = repair_answer(account)
    return repaired is not None and answer > repaired


def count_verdicts(values: Iterable[TakenValue]) -> dict[str, int]:
    """Count readings by verdict, in the order of the verdicts; "" counts those not judged."""
    counted = Counter(value.verdict for value in values)
    known = [*(kind.value for kind in VerdictKind), ""]
    order = [*known, *(verdict for verdict in counted if verdict not in known)]
    return {verdict: counted[verdict] for verdict in order if counted[verdict]}


def is_trusted(account: Account) -> bool:
    """Say whether the record is sealed and nothing in it was changed or lost."""
    return account.is_sealed and not account.problems
