"""What was found: by unit, by month, by part."""

from typing import Any

from sqlalchemy import ColumnElement, Connection, func, select

from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.tables import FINDINGS, SESSIONS
from assistant.shop.wanted import Wanted

_UNIT, _MONTH = Column("unit", "unit"), Column("month", "month")
_PART, _COUNT = Column("part", "part"), Column("findings", "findings", Kind.COUNT)
_SESSIONS = Column("sessions", "sessions", Kind.COUNT)
_COLUMNS: dict[str, ColumnElement[Any]] = {
    "unit": SESSIONS.c.unit,
    "month": SESSIONS.c.month,
    "part": FINDINGS.c.part,
}
_NO_UNIT = "A session without a unit's name is counted under the empty name."


def ask_findings(connection: Connection, wanted: Wanted) -> Answer:
    """Count findings by unit and month, with the part, the newest month first."""
    rows = _count(connection, wanted, ("unit", "month", "part"))
    rows.sort(key=lambda row: (row[1], row[3], row[0]), reverse=True)
    return Answer(
        "findings",
        "Findings by unit and month",
        (_UNIT, _MONTH, _PART, _COUNT, _SESSIONS),
        tuple(rows),
        (_NO_UNIT, "Months are those of UTC."),
    )


def ask_units(connection: Connection, wanted: Wanted) -> Answer:
    """Count findings by unit, the most first."""
    rows = _count(connection, wanted, ("unit",))
    rows.sort(key=lambda row: (-row[1], row[0]))
    return Answer(
        "findings-by-unit",
        "Findings by unit",
        (_UNIT, _COUNT, _SESSIONS),
        tuple(rows),
        (_NO_UNIT,),
        Bars(("unit",), "findings", "Findings by unit, the most first"),
    )


def ask_months(connection: Connection, wanted: Wanted) -> Answer:
    """Count findings by month, the newest first."""
    rows = sorted(_count(connection, wanted, ("month",)), reverse=True)
    return Answer(
        "findings-by-month",
        "Findings by month",
        (_MONTH, _COUNT, _SESSIONS),
        tuple(rows),
        ("Months are those of UTC.",),
        Bars(("month",), "findings", "Findings by month, the newest first"),
    )


def ask_parts(connection: Connection, wanted: Wanted) -> Answer:
    """Count findings by part, the most first."""
    rows = _count(connection, wanted, ("part",))
    rows.sort(key=lambda row: (-row[1], row[0]))
    return Answer(
        "findings-by-part",
        "Findings by part",
        (_PART, _COUNT, _SESSIONS),
        tuple(rows),
        (),
        Bars(("part",), "findings", "Findings by part, the most first"),
    )


def _count(connection: Connection, wanted: Wanted, by: tuple[str, ...]) -> list[tuple[Any, ...]]:
    groups = [_COLUMNS[name] for name in by]
    session = SESSIONS.c.session
    query = (
        select(*groups, func.count(), func.count(session.distinct()))
        .select_from(FINDINGS.join(SESSIONS, session == FINDINGS.c.session))
        .where(*wanted.conditions())
        .group_by(*groups)
    )
    return [tuple(row) for row in connection.execute(query)]
