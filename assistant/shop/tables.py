"""The tables of an index: what a session came to, as rows that a question can count.

A session has a key made from its first line's time and its id, so that it is the same in every
index, sessions of one time stand together, and a month is a range of keys. What belongs to a
session has that key and the number of the journal's line that it comes from.
"""

from collections.abc import Mapping
from types import MappingProxyType

from sqlalchemy import BigInteger, Column, Float, Index, Integer, MetaData, Table, Text

EDITION = "1"
"""Raised whenever rows would come out otherwise; an index of another edition is made anew."""

METADATA = MetaData()


def _key(name: str = "session") -> Column[int]:
    return Column(
        name,
        BigInteger().with_variant(Integer(), "sqlite"),
        primary_key=True,
        autoincrement=False,
    )


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text, nullable=False) for name in names]


def _counts(*names: str) -> list[Column[int]]:
    return [Column(name, Integer, nullable=False) for name in names]


def _figures(*names: str) -> list[Column[float]]:
    return [Column(name, Float) for name in names]


def _labels(*names: str) -> list[Column[str]]:
    return [Column(name, Text, primary_key=True) for name in names]


def _line() -> Column[int]:
    return Column("line", Integer, primary_key=True, autoincrement=False)


FACTS = Table("facts", METADATA, *_labels("name"), *_texts("value"))
"""What the index says of itself: its edition, and what its yardsticks were made from."""

ROOTS = Table("roots", METADATA, *_labels("machine", "folder"))
"""The folders that were named to be read, so that the index can be made anew from them."""

SOURCES = Table(
    "sources",
    METADATA,
    *_labels("machine", "folder"),
    *_texts("stamp", "claim", "trouble"),
    Column("session", BigInteger, nullable=False, index=True),
)
"""Every folder of a session that was read: when it was as it is, and what it claims.

`stamp` has sizes and times of its files; empty, it is to be read again. Of several copies of one
session, the greatest `claim` is the one in the index. `trouble` is why it could not be read.
"""

SESSIONS = Table(
    "sessions",
    METADATA,
    _key(),
    *_texts("name", "claim", "machine", "folder", "started", "month", "technician", "unit"),
    *_texts("flow", "edition", "outcome", "sent_to", "after", "seal_code", "damage"),
    *_figures("seconds"),
    *_counts("lines", "damage_line", "is_sealed", "turns", "answers", "scratched", "asked_back"),
    *_counts("not_taken", "silences", "helped", "skipped", "blocked", "retaken", "held"),
    *_counts("cautions", "fast_cautions", "readings", "near"),
    Index("sessions_by_unit", "unit"),
    Index("sessions_by_technician", "technician"),
)
"""One row a session. `damage_line` is 0 where nothing is wrong with the record."""

FINDINGS = Table(
    "findings",
    METADATA,
    _key(),
    _line(),
    *_texts("finding", "part", "step", "faults", "repair", "replacement"),
    *_counts("is_licensed"),
    sqlite_with_rowid=False,
)
"""One row a finding that stands; `faults` are ids of the catalogue, joined by `+`."""

READINGS = Table(
    "readings",
    METADATA,
    _key(),
    _line(),
    *_texts("name", "step", "origin", "quantity", "place", "unit", "shown", "verdict"),
    *_figures("value", "low", "high", "rated"),
    *_counts("is_retaken", "is_confirmed", "is_near"),
    sqlite_with_rowid=False,
)
"""One row a value that stands; `value` is null where the meter showed over limit.

`rated` is what is printed on the part, where a capacitance was judged by it.
"""
_IS_CAPACITANCE = READINGS.c.quantity == "capacitance"
Index(
    "readings_of_capacitance",
    *(READINGS.c[name] for name in ("quantity", "session", "line", "name", "verdict")),
    *(READINGS.c[name] for name in ("value", "low", "rated")),
    sqlite_where=_IS_CAPACITANCE,
    postgresql_where=_IS_CAPACITANCE,
)

CAUTIONS = Table(
    "cautions",
    METADATA,
    _key(),
    _line(),
    *_texts("caution", "step"),
    Column("took_ms", Integer),
    *_counts("needed_ms", "is_fast"),
    sqlite_with_rowid=False,
)
"""One row a time that a caution was said; `took_ms` until its answer, null where none came.

Times are whole milliseconds, so that a sum of them is the same in whatever order.
"""

VISITS = Table(
    "visits",
    METADATA,
    _key(),
    _line(),
    *_texts("step"),
    *_counts(
        "took_ms", "pace", "heard", "silences", "not_taken", "asked_back", "helped", "is_timed"
    ),
    sqlite_with_rowid=False,
)
"""One row a stay at a step; `pace` is the class of its time, for medians."""

PARTS: tuple[Table, ...] = (FINDINGS, READINGS, CAUTIONS, VISITS)
"""What belongs to a session."""

STALE = Table("stale", METADATA, *_labels("month", "mark"))
"""Months whose sums no longer fit their sessions; a mark is written in one go with the rows."""

STEP_SUMS = Table(
    "step_sums",
    METADATA,
    *_labels("month", "flow", "step"),
    Column("pace", Integer, primary_key=True, autoincrement=False),
    *_counts("visits", "timed", "heard", "silences", "not_taken", "asked_back", "helped"),
    *_counts("troubled"),
    Column("took_ms", BigInteger, nullable=False),
)
READING_SUMS = Table(
    "reading_sums",
    METADATA,
    *_labels("month", "flow", "name", "unit"),
    *_counts("taken", "near", "marginal", "failed", "unclear", "retaken"),
)
CAUTION_SUMS = Table(
    "caution_sums",
    METADATA,
    *_labels("month", "flow", "caution"),
    *_counts("given", "answered", "fast"),
    Column("took_ms", BigInteger, nullable=False),
    Column("needed_ms", BigInteger, nullable=False),
)

ESTIMATES = Table(
    "estimates",
    METADATA,
    *_labels("flow", "step"),
    *_texts("edition"),
    *_figures("seconds"),
)
"""How long a step usually takes, as its flow says."""

WEIGHTS = Table(
    "weights",
    METADATA,
    *_labels("kind", "fault"),
    *_texts("words"),
    *_figures("weight"),
)
"""How often a fault is met next to the others of its kind of unit, as the catalogue says."""


def names_of(table: Table) -> tuple[str, ...]:
    """Give a table's columns in order."""
    return tuple(column.name for column in table.columns)


BY_NAME: Mapping[str, Table] = MappingProxyType(dict(METADATA.tables))
