"""What a turn may be answered with, and what an answer was understood to mean.

An `Expectation` is made by the walk for one turn; the parser, every recogniser's grammar and the
checks are all derived from it. A `Meaning` is what words came to under one expectation.
"""

from collections.abc import Hashable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import TypeAlias

from assistant.quantity import Current, Quantity, Reading, Unit


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that is not a number.

    Args:
        id: its name in the flow, as `turns_free`.
        phrases: the words that mean it, lower case, without punctuation; the first is the one
            that Rungside says itself.
    """

    id: str
    phrases: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NumberForm:
    """What kind of number a turn can take.

    Args:
        units: units that may be said; the first is the one meant when none is said.
        takes_over_limit: whether OL is a possible answer.
        plausible: lowest and highest value in `units[0]` that is possible here; None: not stated.
            Values outside are still understood: the walk asks them back.
        allowed: where not empty, the only values that can be printed (nameplate ratings), in
            `units[0]`; "two twenty" is then asked: is it 230 or 240?
        is_dual: whether two numbers are expected, as on a dual capacitor ("forty-five five").
        takes_negative: whether "minus" may be said.
        current: what the meter must be set to, where that matters; a reading that is said to be of
            the other is refused.
        typical: the rating or other value that this reading should be near, in `units[0]`; used
            only to put the likelier reading of an ambiguous phrase first, never to decide.
    """

    units: tuple[Unit, ...]
    takes_over_limit: bool = False
    plausible: tuple[Decimal, Decimal] | None = None
    allowed: tuple[Decimal, ...] = ()
    is_dual: bool = False
    takes_negative: bool = False
    typical: Decimal | None = None
    current: Current | None = None


@dataclass(frozen=True, slots=True)
class Expectation:
    """All that one turn can be answered with, besides the standing commands.

    Args:
        number: the number expected, if one is.
        choices: the named choices, in the order in which they are numbered.
        takes_yes_no: whether "yes" and "no" are answers here.
        takes_numbered_choice: whether "the second one" picks a choice (never at a caution or a
            hold point, where the state must be named).
        digits_only: after repeated failure, numbers are taken only one digit at a time.
        is_held: the walk is on hold; only "go ahead" and "stop" mean anything.
    """

    number: NumberForm | None = None
    choices: tuple[Choice, ...] = ()
    takes_yes_no: bool = False
    takes_numbered_choice: bool = True
    digits_only: bool = False
    is_held: bool = False

    @property
    def is_yes_or_no(self) -> bool:
        """Whether yes or no is all that is asked."""
        return self.takes_yes_no and self.number is None and not self.choices


class CommandKind(StrEnum):
    """The standing commands; each may be said at any turn."""

    REPEAT = "repeat"
    BACK = "back"
    HELP = "help"
    WHY = "why"
    HOLD = "hold"
    GO_AHEAD = "go_ahead"
    SCRATCH = "scratch"
    SKIP = "skip"
    NOTE = "note"
    WHERE = "where"
    SLOWER = "slower"
    FASTER = "faster"
    LOUDER = "louder"
    QUIETER = "quieter"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Value:
    """A number, a dual rating or OL was said.

    Args:
        reading: the number in the unit that was said (or implied), digits as said.
        second: the second number of a dual rating.
        doubts: why it should be asked back before it is believed, one short sentence each;
            empty when the words can mean only this.
    """

    reading: Reading
    second: Quantity | None = None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Picked:
    """One of the choices was said."""

    choice: str


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no was said."""

    is_yes: bool


@dataclass(frozen=True, slots=True)
class Command:
    """A standing command was said.

    Args:
        kind: which.
        detail: the free words behind it: a note's text, a skip's reason; may be empty.
    """

    kind: CommandKind
    detail: str = ""


class Trouble(StrEnum):
    """Why words have no usable meaning here; each has its own wording and counter."""

    SILENCE = "silence"
    NOT_UNDERSTOOD = "not_understood"
    AMBIGUOUS = "ambiguous"
    UNFINISHED = "unfinished"
    WRONG_UNIT = "wrong_unit"
    OUT_OF_RANGE = "out_of_range"
    DENIED = "denied"


@dataclass(frozen=True, slots=True)
class Unclear:
    """The words have no single meaning here.

    Args:
        trouble: the kind of trouble.
        why: one sentence for the technician, speakable.
        question: what would settle it, speakable, as "Seven point five, or seventy-five?"; may
            be empty.
        candidates: the readings the words could mean, likelier first.
    """

    trouble: Trouble
    why: str
    question: str = ""
    candidates: tuple[Reading, ...] = field(default=())


Meaning: TypeAlias = Value | Picked | YesNo | Command | Unclear


def sense_of(meaning: Meaning) -> Hashable:
    """Give what is equal for words that mean the same: no doubts, digits or free words in it."""
    match meaning:
        case Value():
            return meaning.reading, meaning.second
        case Command():
            return meaning.kind
        case Unclear():
            return None
        case _:
            return meaning
