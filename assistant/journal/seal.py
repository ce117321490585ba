"""The seal: how many lines there are, the hash of the last, and a code to compare by phone.

The code shows change; twelve marks are 48 bits, so it is no proof against someone who can compute
for days: compare the whole hash for that.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import replace

from assistant.journal.line import JSON, Line, encode

SEALED = "sealed"
"""The kind of the last line."""

MARKS = "2346789FHKMQRWXY"
"""Sixteen marks that look different in print, and of which few sound alike."""


def seal_line(seq: int, time: str, schema: int, prev: str, extra: Mapping[str, JSON]) -> Line:
    """Make the line that seals what stands before it.

    Args:
        seq: the seal's own number.
        time: the seal's time.
        schema: the schema version.
        prev: the hash of the last line before it: the end of the chain.
        extra: what else the seal is to say, under the code as well.
    """
    data = {**extra, "lines": seq - 1, "chain": prev}
    bare = Line(seq, time, schema, prev, SEALED, data)
    return replace(bare, data={**data, "code": seal_code(bare)})


def seal_code(line: Line) -> str:
    """Give the code of a seal: three groups of four marks, as `7HQ2-94KM-X3RY`.

    It is made from the seal's own bytes without the code, so that it stands for the chain and for
    everything the seal says.
    """
    bare = {key: value for key, value in line.data.items() if key != "code"}
    first = hashlib.sha256(encode(replace(line, data=bare))).digest()[:6]
    marks = "".join(MARKS[nibble] for byte in first for nibble in (byte >> 4, byte & 15))
    return "-".join(marks[start : start + 4] for start in (0, 4, 8))


def seal_fault(line: Line) -> str:
    """Say what is wrong with a seal, as the end of a sentence; empty when it is sound."""
    if line.data.get("chain") != line.prev:
        return "gives another hash than that of the line before it"
    if line.data.get("lines") != line.seq - 1:
        return f"counts {line.data.get('lines')} lines where {line.seq - 1} stand before it"
    if line.data.get("code") != seal_code(line):
        return "has a code that does not fit what it says"
    return ""


def is_sound_seal(line: Line) -> bool:
    """Say whether a line is a seal that fits itself."""
    return line.kind == SEALED and not seal_fault(line)
