"""A journal that is plainly whole, known quickly; all others are read thoroughly.

The quick way looks at what makes a journal whole: every line a JSON object in its place, the
numbers in a row, each hash that of the line before, the times never falling, a sound seal at the
end. It names no trouble: where anything is not so, it gives None, and `reading` says what. What it
gives is what `reading.read_content` gives, with two differences: lines of kinds that nobody asked
for are left out, and how the inside of a line is spelled (spaces, order of keys) is not looked at,
so a journal that somebody chained and sealed anew in a spelling of his own passes here, not there.
"""

import hashlib
from collections.abc import Collection
from typing import Any

import orjson

from assistant.journal.line import NO_LINE, SCHEMA, Line, has_line_time
from assistant.journal.reading import Record
from assistant.journal.seal import SEALED, is_sound_seal

_PARTS = 6
"""So many keys stand in a line: data, kind, prev, schema, seq, time."""
_START, _JOINT = b'{"data":{', b'}\n{"data":{'


def read_whole(content: bytes, kinds: Collection[str]) -> Record | None:
    """Read a sealed journal in which nothing is wrong; None where that is not plain.

    Args:
        content: a journal's bytes.
        kinds: the kinds of lines that are wanted; the seal is always given.
    """
    rows = _rows(content)
    if rows is None:
        return None
    lines: list[Line] = []
    before, moment = NO_LINE, ""
    try:
        for number, (raw, row) in enumerate(rows, start=1):
            time, kind = row["time"], row["kind"]
            if (
                row["prev"] != before
                or row["seq"] != number
                or row["schema"] != SCHEMA
                or time < moment
                or len(row) != _PARTS
            ):
                return None
            if time != moment:
                if not has_line_time(time):
                    return None
                moment = time
            before = hashlib.sha256(raw).hexdigest()
            if kind in kinds or kind == SEALED:
                lines.append(Line(number, time, SCHEMA, row["prev"], kind, row["data"]))
    except (KeyError, TypeError):
        return None
    return _sealed(lines, len(rows))


def _rows(content: bytes) -> list[tuple[bytes, dict[str, Any]]] | None:
    """Give each line's bytes with its JSON; None where a line does not stand for itself."""
    raws = content.split(b"\n")
    if raws.pop() or b"\0" in content or not content.startswith(_START):
        return None
    if content.count(_JOINT) != len(raws) - 1:
        return None
    try:
        rows = orjson.loads(b"[" + b",".join(raws) + b"]")
    except ValueError:
        return None
    return list(zip(raws, rows, strict=True)) if len(rows) == len(raws) else None


def _sealed(lines: list[Line], count: int) -> Record | None:
    """Give the record of lines that end in the one sound seal among them."""
    seals = [line for line in lines if line.kind == SEALED]
    if len(seals) != 1 or seals[0].seq != count or not is_sound_seal(seals[0]):
        return None
    return Record(tuple(lines), (), is_sealed=True, torn=b"")
