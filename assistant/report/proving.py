"""What was read before a repair and after it, side by side."""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.journal.account import Account, TakenValue
from assistant.journal.repairing import repair_answer
from assistant.report import selection

_OF_ITSELF = {"resistance", "capacitance"}


@dataclass(frozen=True, slots=True)
class Check:
    """One reading after the repair.

    Args:
        before: the same reading as it last was before the repair, or what was read at the same
            places; None where nothing was.
        after: the reading as it stands.
    """

    before: TakenValue | None
    after: TakenValue


def checks(account: Account) -> tuple[Check, ...]:
    """Give what was read after the last repair, each beside what was read before it."""
    repaired = repair_answer(account)
    if repaired is None:
        return ()
    taken = selection.all_readings(account)
    before = [value for value in taken if value.answer < repaired]
    return tuple(
        Check(_counterpart(value, before), value)
        for value in selection.readings(account)
        if value.answer > repaired
    )


def _counterpart(value: TakenValue, before: Sequence[TakenValue]) -> TakenValue | None:
    """Give the last reading of the same name, else of the same part, taken at the same places.

    Only of the same unit: two numbers side by side are compared. Only what a part has of itself is
    found by its places: volts between two places are others with the power off and on.
    """
    like = [one for one in before if one.over_limit or value.over_limit or one.unit == value.unit]
    named = [one for one in like if one.id == value.id]
    placed = [one for one in like if value.places[0] in _OF_ITSELF and one.places == value.places]
    return next(reversed(named or placed), None)
