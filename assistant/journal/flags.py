"""What a lead cares about in a session: every kind of flag in one table, with why it is there."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

from assistant.journal import flag_finders as finders
from assistant.journal.flag_finders import Flag
from assistant.journal.reading import Record

__all__ = ["FLAG_KINDS", "Flag", "FlagKind", "find_flags", "flag_words"]

Finder: TypeAlias = Callable[[Record], Iterator[Flag]]


@dataclass(frozen=True, slots=True)
class FlagKind:
    """A kind of flag.

    Args:
        name: its name.
        words: the same for people, two or three words.
        why: why a lead looks there, one sentence.
        find: gives the flags of this kind in a record.
    """

    name: str
    words: str
    why: str
    find: Finder


def find_flags(record: Record) -> tuple[Flag, ...]:
    """Find everything a lead should look at, in the order of the lines."""
    found = [flag for kind in FLAG_KINDS.values() for flag in kind.find(record)]
    return tuple(sorted(found, key=lambda flag: flag.line))


FLAG_KINDS: Mapping[str, FlagKind] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            FlagKind(
                "damaged",
                "damaged",
                "What was recorded was changed or lost, so the record cannot be relied on.",
                finders.find_damaged,
            ),
            FlagKind(
                "unsealed",
                "unsealed",
                "A walk without its end may have left a unit open, locked or live.",
                finders.find_unsealed,
            ),
            FlagKind(
                "unproven_repair",
                "repair not proven",
                "A unit that is not repaired, or not proven to be, may be taken for mended.",
                finders.find_unproven_repairs,
            ),
            FlagKind(
                "fast_caution",
                "fast caution",
                "A caution answered before it can have been heard was not taken in.",
                finders.find_fast_cautions,
            ),
            FlagKind(
                "out_of_order",
                "out of order",
                "A step was wanted before what makes it safe was proven.",
                finders.find_out_of_order,
            ),
            FlagKind(
                "skipped",
                "step skipped",
                "A step left out may be the one that would have told.",
                finders.find_skipped,
            ),
            FlagKind(
                "retaken",
                "reading retaken",
                "A reading that changes when it is taken again has a reason.",
                finders.find_retaken,
            ),
            FlagKind(
                "taken_back",
                "answer taken back",
                "What was said first may have been right, or the step unclear.",
                finders.find_taken_back,
            ),
            FlagKind(
                "asked_back",
                "asked back twice",
                "Words that are not understood twice may be believed wrongly the third time.",
                finders.find_asked_back,
            ),
            FlagKind(
                "near_limit",
                "near a limit",
                "A value this close to a limit could fall on its other side with another meter.",
                finders.find_near_limit,
            ),
            FlagKind(
                "hold",
                "on hold",
                "Something else needed the technician, and the unit may have changed meanwhile.",
                finders.find_holds,
            ),
            FlagKind(
                "long_pause",
                "long pause",
                "What was proven before a long pause may no longer hold after it.",
                finders.find_pauses,
            ),
        )
    }
)
"""Every kind of flag by its name, the gravest first."""


def flag_words(name: str) -> str:
    """Give a kind of flag in words; one that this edition does not know as it stands."""
    kind = FLAG_KINDS.get(name)
    return name.replace("_", " ") if kind is None else kind.words
