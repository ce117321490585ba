"""Sessions whose record is damaged, and folders that could not be read."""

from sqlalchemy import Connection, select

from assistant.shop.answer import Answer, Column, Kind
from assistant.shop.tables import SESSIONS, SOURCES
from assistant.shop.wanted import Wanted

_COLUMNS = (
    Column("machine", "machine"),
    Column("folder", "folder"),
    Column("technician", "technician"),
    Column("line", "line", Kind.COUNT),
    Column("what", "what is wrong"),
)


def ask_damaged(connection: Connection, wanted: Wanted) -> Answer:
    """List damaged records by line, and what could not be read at all."""
    session = SESSIONS.c
    damaged = (
        select(
            *(session.machine, session.folder, session.technician),
            *(session.damage_line, session.damage),
        )
        .where(session.damage_line > 0, *wanted.conditions())
        .order_by(session.machine, session.folder)
    )
    rows = [tuple(row) for row in connection.execute(damaged)]
    unread = (
        select(SOURCES.c.machine, SOURCES.c.folder, SOURCES.c.trouble)
        .where(SOURCES.c.trouble != "")
        .order_by(SOURCES.c.machine, SOURCES.c.folder)
    )
    rows += [
        (machine, folder, "", None, why) for machine, folder, why in connection.execute(unread)
    ]
    return Answer(
        "damaged",
        "Damaged records",
        _COLUMNS,
        tuple(rows),
        ("A damaged record is in the index up to the line before the one that is named.",),
    )
