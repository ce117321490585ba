"""Whether rows are of the shape that their tables ask for: an index believes no record's types."""

from sqlalchemy import Float, Integer, Table

from assistant.shop.tables import PARTS, SESSIONS
from assistant.shop.telling import Row, Told

_WHOLE = 1 << 63
_known: dict[tuple[str, tuple[type, ...]], bool] = {}
"""Shapes that were looked at before: there are few, and rows by the million."""


def has_shape(told: Told) -> bool:
    """Say whether every cell of a session's rows is of its column's type."""
    return _is_all(SESSIONS, (told.session,)) and all(
        _is_all(table, told.parts[table.name]) for table in PARTS
    )


def _is_all(table: Table, rows: tuple[Row, ...]) -> bool:
    return all(_is_shape(table, tuple(map(type, row))) for row in rows) and all(
        -_WHOLE <= cell < _WHOLE for row in rows[:1] for cell in row if isinstance(cell, int)
    )


def _is_shape(table: Table, types: tuple[type, ...]) -> bool:
    key = table.name, types
    if key not in _known:
        pairs = zip(table.columns, types, strict=True)
        _known[key] = all(kind in _allowed(column.type, column.nullable) for column, kind in pairs)
    return _known[key]


def _allowed(wanted: object, is_nullable: bool | None) -> frozenset[type]:
    kinds = {float, int} if isinstance(wanted, Float) else set[type]()
    if isinstance(wanted, Integer):
        kinds = {int}
    return frozenset(kinds or {str}) | ({type(None)} if is_nullable else frozenset())
