"""Whether what was taken is what was meant, and what one trial came to."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.phrasing import ask_back

Record = Mapping[str, object]
"""What `assistant.walk.hearing.weigh_heard` gives: the keys of `rungside hear`."""


class Outcome(StrEnum):
    """What a trial came to."""

    AT_ONCE = "at_once"
    AFTER_ONE = "after_one"
    AFTER_MORE = "after_more"
    REFUSED = "refused"
    WRONG = "wrong"


class Next(StrEnum):
    """What the technician does about a decision."""

    NOTHING = "nothing"
    CONFIRM = "confirm"
    DENY = "deny"
    SAY_AGAIN = "say_again"


def matches(record: Record, truth: Record) -> bool:
    """Whether the record's value, choice or command is the truth's, in the same unit."""
    if truth["command"] or record["command"]:
        return record["command"] == truth["command"]
    if not truth["unit"]:
        return record["unit"] is None and record["value"] == truth["value"]
    if record.get("second") is not None or record["unit"] != truth["unit"]:
        return False
    if truth["over_limit"] or record["over_limit"]:
        return record["over_limit"] == truth["over_limit"]
    value = record["value"]
    return value is not None and Decimal(str(value)) == Decimal(str(truth["value"]))


def reading_of(record: Record) -> Reading | None:
    """Give the reading of a record; None where it has none."""
    if record["unit"] is None:
        return None
    unit = Unit(str(record["unit"]))
    return (
        OverLimit(unit) if record["over_limit"] else Quantity(Decimal(str(record["value"])), unit)
    )


def asks_yes_no(record: Record) -> bool:
    """Whether the question is answered by yes or no; any other is answered by saying it again."""
    reading = reading_of(record)
    if reading is None:
        return record["value"] not in {None, "yes", "no"}
    return record["question"] == ask_back(reading)


def next_move(record: Record, truth: Record) -> Next:
    """Say what a technician who knows the truth answers.

    An answer that was accepted needs nothing more. One that was refused is said again, and so is
    one of which the tool asks which of two it was.
    """
    if record["decision"] == "accept":
        return Next.NOTHING
    if record["decision"] == "ask" and asks_yes_no(record):
        return Next.CONFIRM if matches(record, truth) else Next.DENY
    return Next.SAY_AGAIN


def right_after(questions: int) -> Outcome:
    """Give the outcome of a right answer by how many questions came before it."""
    return (Outcome.AT_ONCE, Outcome.AFTER_ONE, Outcome.AFTER_MORE)[min(questions, 2)]


@dataclass(frozen=True, slots=True)
class Count:
    """How many trials came to what.

    Args:
        trials: how many.
        at_once: right without a question.
        after_one: right after one question.
        after_more: right after more.
        refused: nothing was taken.
        wrong: something wrong was taken.
    """

    trials: int = 0
    at_once: int = 0
    after_one: int = 0
    after_more: int = 0
    refused: int = 0
    wrong: int = 0

    @classmethod
    def of(cls, outcomes: list[str]) -> "Count":
        """Count outcomes by name."""
        return cls(len(outcomes), *(outcomes.count(one.value) for one in Outcome))
