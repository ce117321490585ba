"""Where a walk stands: frozen, so taking an answer back is going back to the state before it."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal, TypeAlias

from assistant.quantity import Quantity, Reading
from assistant.rules.verdict import Verdict
from assistant.spoken.meaning import Picked, Trouble, Value, sense_of
from assistant.walk.ends import Utterance

Outcome: TypeAlias = Literal["found", "no_fault", "stopped", "sent"]


class Turn(StrEnum):
    """What the present turn asks for."""

    CAUTION = "caution"
    CONDITION = "condition"
    ANSWER = "answer"
    CONFIRM = "confirm"
    SKIP_REASON = "skip_reason"
    STOP = "stop"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class Taken:
    """A value the walk believes.

    Args:
        reading: in the unit of its step.
        verdict: the verdict that decided, if rules judged it.
        said: the words it was heard as.
    """

    reading: Reading
    verdict: Verdict | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Pending:
    """An answer that was asked back and not yet confirmed.

    Args:
        said: the words.
        reading: the number as heard, in the unit that was said; None when a choice was heard.
        second: the second number of a dual rating.
        choice: the choice heard; empty when a number was.
        why: why it was asked back.
    """

    said: str
    reading: Reading | None = None
    second: Quantity | None = None
    choice: str = ""
    why: str = ""

    @property
    def sense(self) -> Hashable:
        """What it means, as `sense_of` gives it."""
        if self.reading is None:
            return sense_of(Picked(self.choice))
        return sense_of(Value(self.reading, self.second))


@dataclass(frozen=True, slots=True)
class State:
    """A walk between two turns.

    Args:
        step: the step it stands at.
        turn: what the present turn asks for.
        subject: which caution (CAUTION) or condition (CONDITION) the turn is about.
        conditions: what the hands have made true.
        values: the values believed, by name.
        answers: the answer of each step that was answered by a choice; `skipped` included.
        taken_names: every value name ever believed, scratched ones too.
        findings: the findings made, in order.
        answer: how many answers were accepted.
        troubles: how often each trouble came at this step.
        pending: the answer being asked back.
        cautions_left: cautions of this step still to be said and answered.
        resume_at: the steps to go back to once the unit is proven dead or live, innermost last.
        is_digits_only: numbers are taken one digit at a time at this step.
        denied: what answers that were asked back and denied at this step mean, as `sense_of` gives
            it; none of them is believed again unasked.
        is_held: the walk is on hold.
        said: the last prompt, for "repeat".
        before: the state before the last accepted answer; not compared, since the chain of them
            is as long as the walk.
        interrupted: the state to go back to when "stop" or "skip" is not carried out.
        outcome: how the walk ended; None while it goes on.
    """

    step: str
    turn: Turn
    conditions: Mapping[str, str]
    subject: str = ""
    values: Mapping[str, Taken] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    taken_names: frozenset[str] = frozenset()
    findings: tuple[str, ...] = ()
    answer: int = 0
    troubles: Mapping[Trouble, int] = field(default_factory=dict)
    pending: Pending | None = None
    cautions_left: tuple[str, ...] = ()
    resume_at: tuple[str, ...] = ()
    is_digits_only: bool = False
    denied: frozenset[Hashable] = frozenset()
    is_held: bool = False
    said: tuple[Utterance, ...] = ()
    before: "State | None" = field(default=None, compare=False, repr=False)
    interrupted: "State | None" = None
    outcome: Outcome | None = None

    @property
    def is_over(self) -> bool:
        """Whether the walk has ended."""
        return self.turn is Turn.OVER
