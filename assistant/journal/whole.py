"""A journal that is plainly whole, known quickly; all others are read thoroughly.

The quick way looks at what makes a journal whole: the form in which every line is written, the
numbers in a row, each hash that of the line before, the times never falling, a sound seal at the
end. It names no trouble: where anything is not so, it gives None, and `reading` says what. What it
gives is what `reading.read_content` gives, with two differences: lines of kinds that nobody asked
for are left out, and the inside of their data is not looked at; so a journal that somebody chained
and sealed anew in a spelling of his own may pass here, and not there.
"""

import hashlib
import re
from collections.abc import Collection, Sequence
from itertools import count
from operator import eq
from typing import TypeAlias

import orjson

from assistant.journal.line import NO_LINE, SCHEMA, Line, has_line_time
from assistant.journal.reading import Record
from assistant.journal.seal import SEALED, is_sound_seal

_Tail: TypeAlias = tuple[str, str, str, str]
"""A line's kind, the hash it gives, its number and its time."""

_HEAD = b'{"data":'
_JOINT = b"}\n" + _HEAD + b"{"
_FORM = '}},"kind":"{}","prev":"{}","schema":{},"seq":{},"time":"{}"}}'
_TAIL = re.compile(
    re.escape(_FORM.format("@1", "@2", SCHEMA, "@3", "@4"))
    .replace("@1", r'([^"\\\n]+)')
    .replace("@2", "([0-9a-f]{64})")
    .replace("@3", "([1-9][0-9]{0,8})")
    .replace("@4", "([0-9TZ.:-]{24})")
    + "\n"
)
"""How every line ends: keys are sorted, so the data stands first."""
_REST = len(_FORM.format("", "0" * 64, SCHEMA, "", "T" * 24)) - 1
"""So long is what follows a line's data, but for its kind and number."""


def read_whole(content: bytes, kinds: Collection[str]) -> Record | None:
    """Read a sealed journal in which nothing is wrong; None where that is not plain.

    Args:
        content: a journal's bytes.
        kinds: the kinds of lines that are wanted; the seal is always given.
    """
    raws = content.split(b"\n")
    if raws.pop() or not content.startswith(_HEAD) or b"\0" in content:
        return None
    try:
        tails: list[_Tail] = _TAIL.findall(content.decode())
        if len(tails) != len(raws) or content.count(_JOINT) != len(raws) - 1:
            return None
        if not (_is_chained(raws, tails) and _is_in_time(tails)):
            return None
        lines = _lines(raws, tails, frozenset((*kinds, SEALED)))
    except ValueError:
        return None
    return _sealed(lines, len(raws))


def _is_chained(raws: Sequence[bytes], tails: Sequence[_Tail]) -> bool:
    hashes = [hashlib.sha256(raw).hexdigest() for raw in raws]
    _, given, numbers, _ = zip(*tails, strict=True)
    is_counted = all(map(eq, map(int, numbers), count(1)))
    return given[0] == NO_LINE and list(given[1:]) == hashes[:-1] and is_counted


def _is_in_time(tails: Sequence[_Tail]) -> bool:
    """Say whether all times are such, and none is earlier than the one before it."""
    times = [tail[3] for tail in tails]
    return times == sorted(times) and all(map(has_line_time, set(times)))


def _lines(raws: Sequence[bytes], tails: Sequence[_Tail], wanted: frozenset[str]) -> list[Line]:
    """Read the lines that are wanted.

    Raises:
        ValueError: when one is no JSON.
    """
    start, load = len(_HEAD), orjson.loads
    return [
        Line(
            place,
            time,
            SCHEMA,
            before,
            kind,
            load(raws[place - 1][start : -(_REST + len(kind.encode()) + len(number))]),
        )
        for place, (kind, before, number, time) in enumerate(tails, start=1)
        if kind in wanted
    ]


def _sealed(lines: Sequence[Line], number: int) -> Record | None:
    """Give the record of lines that end in the one sound seal among them."""
    seals = [line for line in lines if line.kind == SEALED]
    if len(seals) != 1 or seals[0].seq != number or not is_sound_seal(seals[0]):
        return None
    return Record(tuple(lines), (), is_sealed=True, torn=b"")
