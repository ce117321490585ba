"""What happens in a walk, one frozen record an event; the journal keeps them in this form.

Every accepted answer has a number, counted from 1. What follows from it (readings, verdicts,
conditions, findings) carries the same number, so that `Scratched` can take all of it back and a
report can be folded from events without the flow.
"""

from typing import Annotated, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter


class Event(BaseModel):
    """Common to all events."""

    model_config = ConfigDict(frozen=True, extra="allow")


class Began(Event):
    """A walk began: by which flow, by whom, on what."""

    kind: Literal["began"] = "began"
    flow: str
    title: str
    edition: str
    digest: str
    technician: str = ""
    unit: str = ""
    program: str = ""


class Said(Event):
    """Something was said, or shown."""

    kind: Literal["said"] = "said"
    step: str
    role: str
    text: str
    shown: str = ""


class HeardWords(Event):
    """Something was heard, or nothing was: `words` empty and `is_silence` true."""

    kind: Literal["heard"] = "heard"
    step: str
    phase: str
    words: str
    alternatives: tuple[str, ...] = ()
    source: str = ""
    clip: str = ""
    doubt: str = ""
    is_silence: bool = False


class NotTaken(Event):
    """What was heard is no answer here: which trouble, the how-manyeth time at this step."""

    kind: Literal["not_taken"] = "not_taken"
    step: str
    trouble: str
    count: int
    why: str


class AskedBack(Event):
    """A number is asked back before it is believed.

    Args:
        reading: the number as heard.
        neighbours: what it could be mistaken for and would change the verdict or the branch.
        why: the reason, one sentence.
    """

    kind: Literal["asked_back"] = "asked_back"
    step: str
    reading: str
    neighbours: tuple[str, ...] = ()
    why: str = ""


class Took(Event):
    """A value was believed.

    Args:
        name: the value's name in the flow.
        origin: `measured`, `asked` or `worked_out`.
        said: the words it was heard as.
        value: its digits; empty when over limit.
        unit: its unit.
        retaken: whether the value had been taken before in this walk.
        confirmed: whether it was asked back and confirmed.
        quantity: what was measured, as `resistance`; empty where nothing was.
        first: the place of the first probe.
        second: the place of the second probe.
    """

    kind: Literal["took"] = "took"
    answer: int
    step: str
    name: str
    origin: str
    said: str
    value: str
    unit: str
    over_limit: bool = False
    retaken: bool = False
    confirmed: bool = False
    quantity: str = ""
    first: str = ""
    second: str = ""


class Judged(Event):
    """A rule judged a value; `decides` marks the verdict that the branch rests on."""

    kind: Literal["judged"] = "judged"
    answer: int
    step: str
    name: str
    rule: str
    verdict: str
    outcome: str
    measured: str
    expected: str
    reason: str
    low: str = ""
    high: str = ""
    decides: bool = False


class Forgot(Event):
    """A value no longer stands: its step was answered otherwise, or it cannot be worked out."""

    kind: Literal["forgot"] = "forgot"
    answer: int
    step: str
    name: str


class Answered(Event):
    """A named choice was taken as the answer; `meaning` is its first phrase."""

    kind: Literal["answered"] = "answered"
    answer: int
    step: str
    choice: str
    meaning: str
    said: str
    is_hold: bool = False


class CautionGiven(Event):
    """A caution is said in full."""

    kind: Literal["caution_given"] = "caution_given"
    step: str
    caution: str
    text: str


class CautionAnswered(Event):
    """A caution was answered by its phrase."""

    kind: Literal["caution_answered"] = "caution_answered"
    answer: int
    step: str
    caution: str
    said: str


class Skipped(Event):
    """A step was skipped, with the reason said."""

    kind: Literal["skipped"] = "skipped"
    answer: int
    step: str
    reason: str


class ConditionSet(Event):
    """A condition took a value."""

    kind: Literal["condition"] = "condition"
    answer: int
    step: str
    name: str
    value: str


class Moved(Event):
    """The walk left a step by an outcome."""

    kind: Literal["moved"] = "moved"
    answer: int
    step: str
    outcome: str
    target: str


class Found(Event):
    """A finding was made."""

    kind: Literal["found"] = "found"
    answer: int
    step: str
    finding: str
    part: str
    reason: str
    evidence: tuple[str, ...]
    repair: str
    replacement: str
    faults: tuple[str, ...] = ()
    licensed: bool = False


class Blocked(Event):
    """A step could not be reached because something it needs is not proven."""

    kind: Literal["blocked"] = "blocked"
    step: str
    lacking: tuple[str, ...]
    instead: str


class Commanded(Event):
    """A standing command was obeyed."""

    kind: Literal["commanded"] = "commanded"
    step: str
    command: str
    detail: str = ""


class Noted(Event):
    """A note was made, in the technician's own words."""

    kind: Literal["noted"] = "noted"
    step: str
    text: str


class Scratched(Event):
    """An answer was taken back, with all that followed from it.

    What hands did meanwhile is not undone: the conditions that are no longer believed follow, with
    the number of the answer before.
    """

    kind: Literal["scratched"] = "scratched"
    answer: int
    step: str


class Resumed(Event):
    """The walk goes on after a break, at this step; what was proven before it is gone."""

    kind: Literal["resumed"] = "resumed"
    step: str


class SentOn(Event):
    """The walk ends here and goes on with another flow."""

    kind: Literal["sent_on"] = "sent_on"
    step: str
    flow: str


class Ended(Event):
    """The walk ended: `found`, `no_fault`, `stopped` or `sent`, and why."""

    kind: Literal["ended"] = "ended"
    step: str
    outcome: Literal["found", "no_fault", "stopped", "sent"]
    why: str


AnyEvent: TypeAlias = Annotated[
    Began
    | Said
    | HeardWords
    | NotTaken
    | AskedBack
    | Took
    | Judged
    | Forgot
    | Answered
    | CautionGiven
    | CautionAnswered
    | Skipped
    | ConditionSet
    | Moved
    | Found
    | Resumed
    | SentOn
    | Blocked
    | Commanded
    | Noted
    | Scratched
    | Ended,
    Field(discriminator="kind"),
]

EVENT: TypeAdapter[AnyEvent] = TypeAdapter(AnyEvent)
"""Reads an event back from a journal's data."""

KNOWN_KINDS = frozenset(str(one.model_fields["kind"].default) for one in Event.__subclasses__())
"""The kinds this edition of Rungside writes; others are kept and passed over."""
