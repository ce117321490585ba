"""Finding sessions in a catalogue as one types: words, words in one field, and filters by key.

quarry capacitor        sessions that have both words anywhere
tech:rk unit:ahu-2      words in one field; also flow:, finding:, note:, flag:, date:
"""

import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from assistant.journal.flags import flag_words
from assistant.journal.gist import Gist

Field = Callable[[Gist], str]

FIELDS: Mapping[str, Field] = MappingProxyType(
    {
        "tech": lambda gist: gist.technician,
        "unit": lambda gist: gist.unit,
        "flow": lambda gist: f"{gist.flow} {gist.title}",
        "finding": lambda gist: " ".join(gist.findings),
        "note": lambda gist: gist.notes,
        "date": lambda gist: gist.started[:10],
        "flag": lambda gist: " ".join(f"{name} {flag_words(name)}" for name, _ in gist.flags),
    }
)
"""What can be searched by itself, by the word before the colon."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for.

    Args:
        words: as typed.
        outcome: only sessions that ended so; empty for all.
        flag: only sessions with this kind of flag; empty for all.
        signed: only sessions signed `agrees`, `disagrees`, or `none`; empty for all.
    """

    words: str = ""
    outcome: str = ""
    flag: str = ""
    signed: str = ""


def folded(text: str) -> str:
    """Give a text as it is compared: capitals, width and accents of letters make no difference."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(mark for mark in apart if not unicodedata.combining(mark))


@dataclass(frozen=True, slots=True)
class Search:
    """Sessions ready to be searched.

    Args:
        gists: the sessions, in the order in which they are given back.
    """

    gists: tuple[Gist, ...]
    _texts: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Fold each session's words once, so that each letter typed costs little."""
        object.__setattr__(self, "_texts", tuple(_all_words(gist) for gist in self.gists))

    def with_changed(self, changed: Iterable[Gist]) -> "Search":
        """Give the same search with other gists in place of those of the same name."""
        by_name = {gist.name: gist for gist in changed}
        gists = tuple(by_name.get(gist.name, gist) for gist in self.gists)
        search = object.__new__(Search)
        object.__setattr__(search, "gists", gists)
        texts = zip(self.gists, self._texts, gists, strict=True)
        kept = tuple(text if old is new else _all_words(new) for old, text, new in texts)
        object.__setattr__(search, "_texts", kept)
        return search

    def find(self, wanted: Wanted) -> tuple[Gist, ...]:
        """Give the sessions that have every word and pass every filter."""
        plain, fields = _parted(wanted.words)
        hits = (
            gist
            for gist, text in zip(self.gists, self._texts, strict=True)
            if all(word in text for word in plain)
        )
        return tuple(gist for gist in hits if _fits(gist, wanted, fields))


def _all_words(gist: Gist) -> str:
    return folded("\n".join([gist.name, *(read(gist) for read in FIELDS.values())]))


def _parted(words: str) -> tuple[Sequence[str], Sequence[tuple[Field, str]]]:
    """Part words from those that name their field."""
    plain, fields = [], []
    for word in folded(words).split():
        name, colon, rest = word.partition(":")
        if colon and rest and name in FIELDS:
            fields.append((FIELDS[name], rest))
        elif not (colon and name in FIELDS):
            plain.append(word)
    return plain, fields


def _fits(gist: Gist, wanted: Wanted, fields: Iterable[tuple[Field, str]]) -> bool:
    return (
        wanted.outcome in {"", gist.outcome}
        and wanted.signed in {"", gist.signed or "none"}
        and (not wanted.flag or has_flag(gist, wanted.flag))
        and all(word in folded(read(gist)) for read, word in fields)
    )


def has_flag(gist: Gist, name: str) -> bool:
    """Say whether a session has a kind of flag, as far as it was looked at."""
    if name == "damaged":
        return bool(gist.damage)
    if name == "unsealed":
        return not gist.is_sealed
    return any(kind == name for kind, _ in gist.flags)
