"""One line of a journal: its parts, and the one way in which it is written as bytes.

A line is canonical JSON: keys sorted, no spaces, UTF-8, nothing escaped that need not be; so the
same event at the same time after the same line is the same bytes, and its hash means something.
"""

import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, TypeAlias

from assistant.journal.errors import JournalError

JSON: TypeAlias = "str | int | float | bool | Sequence[JSON] | Mapping[str, JSON] | None"

SCHEMA = 1
"""The schema version that new lines are written in."""

NO_LINE = "0" * 64
"""What the first line gives as the hash of the line before it.

It is not made from the session's id, so that a copied or renamed folder still verifies; the id
stands inside the first line and so under the chain.
"""

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Line:
    """One event as it stands in a journal.

    Args:
        seq: its number, counted from 1.
        time: UTC, ISO 8601 with milliseconds, as `2026-02-03T14:05:06.789Z`.
        schema: the schema version of `kind` and `data`.
        prev: SHA-256 in hex of the bytes of the line before, without its newline.
        kind: the kind of event.
        data: what the event says.
    """

    seq: int
    time: str
    schema: int
    prev: str
    kind: str
    data: Mapping[str, JSON]

    @property
    def event(self) -> dict[str, object]:
        """Give the event as it was handed in: its data with its kind."""
        return {**self.data, "kind": self.kind}

    @property
    def moment(self) -> datetime:
        """Give the time as a UTC datetime."""
        return datetime.fromisoformat(self.time)


def digest(raw: bytes) -> str:
    """Give the SHA-256 in hex of a line's bytes, which must not hold its newline."""
    return hashlib.sha256(raw).hexdigest()


def stamp(moment: datetime) -> str:
    """Write a moment as a line's time.

    Raises:
        JournalError: when the moment does not say its time zone.
    """
    if moment.tzinfo is None:
        raise JournalError(
            f"The time {moment.isoformat()} has no time zone.", "Hand in a clock that gives UTC."
        )
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def encode(line: Line) -> bytes:
    """Write a line as canonical JSON, without a newline.

    Half a surrogate pair (what a broken terminal may hand over) has no UTF-8; it is written as
    its JSON escape, so that it survives and the file stays UTF-8.

    Raises:
        JournalError: when the data cannot be JSON.
    """
    record = {
        "seq": line.seq,
        "time": line.time,
        "schema": line.schema,
        "prev": line.prev,
        "kind": line.kind,
        "data": line.data,
    }
    try:
        text = json.dumps(
            record, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
        )
    except (TypeError, ValueError, RecursionError) as error:
        raise JournalError(
            f"The event '{line.kind}' cannot be written as JSON: {error}.",
            "Use texts, finite numbers, lists and mappings.",
        ) from error
    try:
        return text.encode()
    except UnicodeEncodeError:
        joined = text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")
        return joined.encode("utf-8", "backslashreplace")


def decode(raw: bytes) -> Line:
    """Read a line from its bytes, without newline; what is not canonical is still read.

    Raises:
        ValueError: when it is no line of a journal; the text says why, as the end of a sentence.
    """
    try:
        record = json.loads(raw.decode())
    except UnicodeDecodeError as error:
        raise ValueError("is not UTF-8") from error
    except (ValueError, RecursionError) as error:
        raise ValueError("is not JSON") from error
    if not isinstance(record, dict):
        raise ValueError("is not a JSON object")  # noqa: TRY004  one way to say "no line"
    values: list[Any] = [
        record.get(key) for key in ("seq", "time", "schema", "prev", "kind", "data")
    ]
    wrong = [key for key, is_good in _judge(*values) if not is_good]
    if wrong:
        raise ValueError(f"has no usable '{wrong[0]}'")
    return Line(*values)


def _judge(
    seq: object, time: object, schema: object, prev: object, kind: object, data: object
) -> tuple[tuple[str, bool], ...]:
    return (
        ("seq", type(seq) is int and seq > 0),
        ("time", isinstance(time, str) and has_line_time(time)),
        ("schema", type(schema) is int and schema >= 0),
        ("prev", isinstance(prev, str) and _HASH.fullmatch(prev) is not None),
        ("kind", isinstance(kind, str) and kind != ""),
        ("data", isinstance(data, dict)),
    )


def has_line_time(text: str) -> bool:
    """Say whether a text is a time as a line gives it."""
    if _TIME.fullmatch(text) is None:
        return False
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
