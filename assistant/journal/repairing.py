"""Whether a repair was recorded, and what speaks against it: a part refused, a failing reading."""

from dataclasses import dataclass

from assistant.flow.judging import VerdictKind
from assistant.journal.account import Account, TakenValue
from assistant.journal.line import Line

REPAIRED = "repaired"
"""The vocabulary's word for a repair that was made."""
PRINTED = "asked"
"""Where a value comes from that was read off a label: behind a repair, off the new part's."""


@dataclass(frozen=True, slots=True)
class Unproven:
    """What speaks against a repair that was said to be made.

    Args:
        value: the reading after it.
        is_refused: whether it refuses the new part itself, by what is printed on it.
    """

    value: TakenValue
    is_refused: bool

    @property
    def why(self) -> str:
        """Say what was read, what was wanted, and the rule's own reason."""
        value = self.value
        shown = value.measured or f"{value.value} {value.unit}".strip()
        wanted = f" (expected {value.expected})" if value.expected else ""
        name = value.id.replace("_", " ")
        return f"{name} reads {shown}{wanted}. {value.reason}".strip()

    @property
    def words(self) -> str:
        """Say in sentences that the unit is not repaired, or not proven to be, and why."""
        if self.is_refused:
            return f"The unit is not repaired. The new part was refused: {self.why}"
        return f"The repair is not proven. After it {self.why}"


def repair_answer(account: Account) -> int | None:
    """Give the number of the last answer that said a repair was made; None where none did."""
    numbers = [one.answer for one in account.answers if one.choice == REPAIRED]
    return max(numbers) if numbers else None


def find_unproven(account: Account) -> Unproven | None:
    """Give what speaks against the last repair; None where nothing does, or none was recorded.

    A new part whose print a rule refused and that was not read again; or a last reading that
    fails. What led to a finding of its own speaks of another fault, not of the repair.
    """
    repaired = repair_answer(account)
    if repaired is None:
        return None
    after = [one for one in account.values if one.verdict and one.answer > repaired]
    told = max((made.answer for made in account.findings), default=0)
    against = [one for one in after if one.verdict == VerdictKind.FAIL and one.answer > told]
    refused = [one for one in against if one.origin == PRINTED]
    if refused:
        return Unproven(refused[-1], is_refused=True)
    if against and against[-1] is after[-1]:
        return Unproven(against[-1], is_refused=False)
    return None


def may_be_unproven(lines: tuple[Line, ...]) -> bool:
    """Say at a glance whether a record has a repair with a failed reading after it."""
    is_repaired = False
    for line in lines:
        if line.kind == "answered":
            is_repaired = is_repaired or line.data.get("choice") == REPAIRED
        elif line.kind == "judged" and is_repaired and line.data.get("verdict") == VerdictKind.FAIL:
            return True
    return False
