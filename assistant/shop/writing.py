"""Rows put into an index: several writers at once, each batch wholly or not at all.

Of several copies of one session that with the greatest claim stands in the index, whichever comes
first. After each batch the sessions that it touched are looked at: where another copy now has the
greater claim, or none has this one, the session leaves and its copies are to be read again.
"""

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar
from uuid import uuid4

from sqlalchemy import (
    Connection,
    MetaData,
    Table,
    and_,
    delete,
    exists,
    insert,
    or_,
    select,
    update,
)
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from assistant.shop.index import POSTGRESQL, Index, shop_error
from assistant.shop.tables import PARTS, SESSIONS, SOURCES, STALE, names_of
from assistant.shop.telling import Row, Told

_TRIES = 6
_FIRST_REST = 0.05
_Result = TypeVar("_Result")


@dataclass(frozen=True, slots=True)
class Copy:
    """One folder as it was read.

    Args:
        machine: the machine's name.
        folder: the folder's path on it.
        stamp: sizes and times of its files before it was read.
        told: its rows; None where it could not be read.
        trouble: why not, one sentence.
    """

    machine: str
    folder: str
    stamp: str
    told: Told | None
    trouble: str = ""


def write(index: Index, copies: Sequence[Copy]) -> None:
    """Put what was read into the index; what another copy says better stays as it is.

    Raises:
        ShopError: when the database fails, and fails again.
    """
    if copies:
        again(index, lambda connection: _write(connection, copies))


def forget(index: Index, machine: str, folders: Sequence[str]) -> None:
    """Take folders out of the index that are sessions no longer.

    Raises:
        ShopError: when the database fails, and fails again.
    """

    def take_out(connection: Connection) -> None:
        mine = and_(SOURCES.c.machine == machine, SOURCES.c.folder.in_(folders))
        keys = set(connection.scalars(select(SOURCES.c.session).where(mine)))
        connection.execute(delete(SOURCES).where(mine))
        _mend(connection, keys, set())

    if folders:
        again(index, take_out)


def again(index: Index, act: Callable[[Connection], _Result]) -> _Result:
    """Do something in one go; once more where another writer was in the way.

    Args:
        index: where.
        act: what; it must be the same when it is done again.

    Raises:
        ShopError: when the database fails, and fails again.
    """
    for number in range(_TRIES):
        try:
            with index.writing() as connection:
                return act(connection)
        except DBAPIError as error:
            is_in_the_way = isinstance(error, OperationalError | IntegrityError)
            if number == _TRIES - 1 or not is_in_the_way:
                raise shop_error(index.engine.url, error) from error
            time.sleep(_FIRST_REST * 2**number)
    raise AssertionError


def insert_or(connection: Connection, table: Table) -> Any:  # noqa: ANN401 - one of two kinds
    """Give an insert that knows what to do where a row is there already."""
    if connection.dialect.name == POSTGRESQL:
        return postgresql.insert(table)
    return sqlite.insert(table)


def upsert(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Put rows in, in place of those with the same key."""
    if not rows:
        return
    names = names_of(table)
    statement = insert_or(connection, table)
    keys = [column.name for column in table.primary_key]
    new = {name: statement.excluded[name] for name in names if name not in keys}
    statement = (
        statement.on_conflict_do_update(index_elements=keys, set_=new)
        if new
        else statement.on_conflict_do_nothing(index_elements=keys)
    )
    connection.execute(statement, [dict(zip(names, row, strict=True)) for row in rows])


def _write(connection: Connection, copies: Sequence[Copy]) -> None:
    best: dict[int, Told] = {}
    for copy in copies:
        told = copy.told
        if told is not None and (told.key not in best or best[told.key].claim < told.claim):
            best[told.key] = told
    written = _claim(connection, [best[key] for key in sorted(best)])
    _clear(connection, written)
    chosen = [best[key] for key in sorted(written)]
    for table in PARTS:
        add(connection, table, [row for told in chosen for row in told.parts[table.name]])
    touched = set(best) | _note_sources(connection, copies)
    _mend(connection, touched, {told.month for told in chosen})


def _claim(connection: Connection, tolds: Sequence[Told]) -> set[int]:
    """Put the sessions' own rows in and give the keys of those that were written."""
    if not tolds:
        return set()
    names = names_of(SESSIONS)
    statement = insert_or(connection, SESSIONS)
    rows = [told.session for told in tolds]
    is_server = connection.dialect.name == POSTGRESQL
    if is_server:  # a statement with thousands of values takes longer than all the rest
        staged = _stage(connection, rows)
        statement = statement.from_select(names, select(staged).order_by(staged.c.session))
    new = statement.excluded
    is_same = and_(
        new.machine == SESSIONS.c.machine,
        new.folder == SESSIONS.c.folder,
        new.claim != SESSIONS.c.claim,
    )
    statement = statement.on_conflict_do_update(
        index_elements=[SESSIONS.c.session],
        set_={name: new[name] for name in names if name != SESSIONS.c.session.name},
        where=or_(new.claim > SESSIONS.c.claim, is_same),
    ).returning(SESSIONS.c.session)
    if is_server:
        return set(connection.scalars(statement))
    return set(connection.scalars(statement, [dict(zip(names, row, strict=True)) for row in rows]))


def _stage(connection: Connection, rows: Sequence[Row]) -> Table:
    """Put rows of sessions into a table that is gone when the batch stands."""
    staged = SESSIONS.to_metadata(MetaData(), name="staged_sessions")
    connection.exec_driver_sql(
        f"CREATE TEMPORARY TABLE {staged.name} (LIKE {SESSIONS.name}) ON COMMIT DROP"
    )
    _copy(connection, staged, rows)
    return staged


def _clear(connection: Connection, keys: Iterable[int]) -> None:
    """Take out what belongs to sessions."""
    listed = list(keys)
    for table in PARTS:
        connection.execute(delete(table).where(table.c.session.in_(listed)))


def add(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Put rows in that are not there, as fast as the database takes them."""
    if not rows:
        return
    if connection.dialect.name == POSTGRESQL:
        _copy(connection, table, rows)
        return
    marks = ", ".join("?" * len(table.columns))
    connection.exec_driver_sql(f"INSERT INTO {table.name} VALUES ({marks})", list(rows))  # noqa: S608


def _copy(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Put rows in by PostgreSQL's own way; its errors come as those of other statements do."""
    from psycopg import Error

    driver: Any = connection.connection.driver_connection
    command = f"COPY {table.name} ({', '.join(names_of(table))}) FROM STDIN"
    try:
        with driver.cursor() as cursor, cursor.copy(command) as copy:
            for row in rows:
                copy.write_row(row)
    except Error as error:
        raise OperationalError(command, None, error) from error


def _note_sources(connection: Connection, copies: Sequence[Copy]) -> set[int]:
    """Write down how the folders were read; give the sessions that they held before."""
    ordered = sorted(copies, key=lambda copy: (copy.machine, copy.folder))
    folders = [copy.folder for copy in ordered]
    known = select(SOURCES.c.session).where(
        SOURCES.c.machine == ordered[0].machine, SOURCES.c.folder.in_(folders)
    )
    before = set(connection.scalars(known))
    upsert(connection, SOURCES, [_source_row(copy) for copy in ordered])
    return before


def _source_row(copy: Copy) -> Row:
    told = copy.told
    claim, key = ("", 0) if told is None else (told.claim, told.key)
    return (copy.machine, copy.folder, copy.stamp, claim, copy.trouble, key)


def _mend(connection: Connection, keys: Iterable[int], months: set[str]) -> None:
    """Take out sessions whose copy is no longer the best one, and say which months changed."""
    listed = list(keys)
    mine = SOURCES.c.session == SESSIONS.c.session
    is_held = exists().where(mine, SOURCES.c.claim == SESSIONS.c.claim)
    is_beaten = exists().where(mine, SOURCES.c.claim > SESSIONS.c.claim)
    wrong = select(SESSIONS.c.session, SESSIONS.c.month).where(
        SESSIONS.c.session.in_(listed), or_(~is_held, is_beaten)
    )
    found = connection.execute(wrong).all()
    if found:
        bad = [key for key, _ in found]
        _clear(connection, bad)
        connection.execute(delete(SESSIONS).where(SESSIONS.c.session.in_(bad)))
        connection.execute(update(SOURCES).where(SOURCES.c.session.in_(bad)).values(stamp=""))
    mark = uuid4().hex
    rows = [{"month": month, "mark": mark} for month in sorted({m for _, m in found} | months)]
    if rows:
        connection.execute(insert(STALE), rows)
