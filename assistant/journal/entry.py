"""A journal's bytes cut into lines, readable or not, and what is left torn at the end."""

from dataclasses import dataclass

from assistant.journal.errors import JournalError
from assistant.journal.line import Line, decode, digest, encode


@dataclass(frozen=True, slots=True)
class Entry:
    """One whole line of the file.

    Args:
        number: its place in the file, counted from 1.
        raw: its bytes, without the newline.
        digest: their SHA-256 in hex.
        line: what it says; None when it is no line of a journal.
        why: why it is none; empty when it is one.
        is_canonical: whether it is written as a journal writes it, byte for byte.
    """

    number: int
    raw: bytes
    digest: str
    line: Line | None
    why: str
    is_canonical: bool


def split(content: bytes) -> tuple[tuple[Entry, ...], bytes]:
    """Cut a journal's bytes into its whole lines and the torn bytes behind them.

    Torn is what has no newline, with the whole lines just before it that hold a zero byte: blocks
    that a power cut left unwritten. A journal itself never writes a zero byte.
    """
    *pieces, torn = content.split(b"\n")
    while pieces and b"\0" in pieces[-1]:
        torn = pieces.pop() + b"\n" + torn
    return tuple(_entry(number, raw) for number, raw in enumerate(pieces, start=1)), torn


def _entry(number: int, raw: bytes) -> Entry:
    try:
        line = decode(raw)
        is_canonical = encode(line) == raw
    except ValueError as error:
        return Entry(number, raw, digest(raw), None, str(error), is_canonical=False)
    except JournalError:
        return Entry(number, raw, digest(raw), None, "holds no finite JSON", is_canonical=False)
    return Entry(number, raw, digest(raw), line, "", is_canonical)
