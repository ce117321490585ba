"""The questions a lead asks, in one table."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

from sqlalchemy import Connection

from assistant.shop.answer import Answer
from assistant.shop.questions.capacitors import ask_capacitors
from assistant.shop.questions.cautions import ask_cautions
from assistant.shop.questions.coaching import ask_coach
from assistant.shop.questions.damage import ask_damaged
from assistant.shop.questions.findings import ask_findings, ask_months, ask_parts, ask_units
from assistant.shop.questions.limits import ask_near
from assistant.shop.questions.steps import ask_hesitation, ask_times
from assistant.shop.questions.weights import ask_weights
from assistant.shop.wanted import Wanted

Ask: TypeAlias = Callable[[Connection, Wanted], Answer]


@dataclass(frozen=True, slots=True)
class Question:
    """A question.

    Args:
        name: what it is called on the command line.
        ask: gives its answer.
        is_personal: whether it tells of single people's work; then it is for the lead alone.
        is_personal_of_one: whether it does when it is asked of one technician.
    """

    name: str
    ask: Ask
    is_personal: bool = False
    is_personal_of_one: bool = False


QUESTIONS: Mapping[str, Question] = MappingProxyType(
    {
        question.name: question
        for question in (
            Question("findings", ask_findings),
            Question("findings-by-month", ask_months),
            Question("findings-by-unit", ask_units),
            Question("findings-by-part", ask_parts),
            Question("capacitors", ask_capacitors),
            Question("near", ask_near),
            Question("hesitation", ask_hesitation, is_personal_of_one=True),
            Question("cautions", ask_cautions, is_personal_of_one=True),
            Question("times", ask_times, is_personal_of_one=True),
            Question("weights", ask_weights),
            Question("damaged", ask_damaged),
            Question("coach", ask_coach, is_personal=True),
        )
    }
)
"""Every question by its name."""
