"""What a decision may ask of what is known: answers, verdicts, outcomes, values, findings."""

from typing import Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

from assistant.flow.judging import Operand

Asked: TypeAlias = tuple[Literal["answer", "value", "found"], str]
"""What a clause asks of: the answer to a step, a value or a finding, by its name."""


class Record(BaseModel):
    """A frozen record of a flow file; unknown keys are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class AnswerIs(Record):
    """True when a step was answered with one of these; `skipped` counts as an answer."""

    answer: str
    is_: tuple[str, ...] = Field(alias="is")

    @property
    def asked(self) -> Asked:
        """Give the step whose answer it asks of."""
        return "answer", self.answer


class VerdictIs(Record):
    """True when a value's verdict is one of these; `not_taken` when it was never taken."""

    verdict: str
    is_: tuple[str, ...] = Field(alias="is")

    @property
    def asked(self) -> Asked:
        """Give the value that it asks of."""
        return "value", self.verdict


class OutcomeIs(Record):
    """True when a value's deciding outcome is one of these; `not_taken` when never taken."""

    outcome: str
    is_: tuple[str, ...] = Field(alias="is")

    @property
    def asked(self) -> Asked:
        """Give the value that it asks of."""
        return "value", self.outcome


class Compare(Record):
    """True when a value lies at or above, or below, a number; false when it was not taken."""

    value: str
    at_least: Operand | None = None
    below: Operand | None = None

    @property
    def asked(self) -> Asked:
        """Give the value that it compares."""
        return "value", self.value


class FoundIs(Record):
    """True when a finding was already made."""

    found: str

    @property
    def asked(self) -> Asked:
        """Give the finding that it asks of."""
        return "found", self.found


Clause = AnswerIs | VerdictIs | OutcomeIs | Compare | FoundIs


class Case(Record):
    """One branch of a decision: all its tests hold."""

    when: tuple[Clause, ...]
    next: str
