"""An index opened by its address: a file of SQLite, private to the user, or a server's database."""

import os
import platform
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from platformdirs import user_data_path
from sqlalchemy import Connection, Engine, create_engine, event, insert, inspect, select
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError, SQLAlchemyError

from assistant.shop.errors import ShopError
from assistant.shop.tables import EDITION, FACTS, METADATA, SOURCES

SQLITE = "sqlite"
POSTGRESQL = "postgresql"
_PATIENCE_MS = 60_000
"""How long one machine waits while another writes into the same file."""
_CACHE_KB = 32_000
"""So much of a file is kept in memory."""
_EDITION_FACT = "edition"
_MAKING = 7264001
"""The turn of making tables."""


def default_index() -> Path:
    """Give this user's own index; it need not be there yet."""
    return user_data_path("rungside", appauthor=False) / "shop.sqlite"


def machine_name() -> str:
    """Give the name that this machine's folders go by in an index."""
    return platform.node() or "this machine"


class Index:
    """An open index; use it in a `with` block.

    Args:
        engine: the database.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    @classmethod
    def open(cls, address: str = "", *, is_any: bool = False) -> Self:
        """Open an index, made where there is none.

        Args:
            address: a database's URL, or a path to a file; the user's own where empty.
            is_any: whatever edition made it; such a one is only good to be made anew.

        Raises:
            ShopError: when it cannot be opened, or was made by another edition of Rungside.
        """
        url = _url(address)
        index = cls(_engine(url))
        try:
            with _told(url):
                _make_tables(index)
                if not is_any:
                    index.check_edition()
        except BaseException:
            index.close()
            raise
        return index

    def __enter__(self) -> Self:
        """Give the index itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Let go of the database."""
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    @property
    def kind(self) -> str:
        """Give the kind of database: `sqlite` or `postgresql`."""
        return self.engine.dialect.name

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one moment of the index.

        Raises:
            ShopError: when the database fails.
        """
        with _told(self.engine.url), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection whose changes stand together or not at all.

        Raises:
            DBAPIError: when the database fails; the writer tries again or tells.
        """
        with self.engine.connect() as connection:
            writer = connection.execution_options(is_writing=True)
            with writer.begin():
                yield writer

    @property
    def is_empty(self) -> bool:
        """Whether no folder was ever read into it, or all are gone."""
        with self.reading() as connection:
            return connection.scalar(select(SOURCES.c.folder).limit(1)) is None

    @property
    def is_of_this_edition(self) -> bool:
        """Whether this edition of Rungside made it."""
        return self._edition() == EDITION

    def check_edition(self) -> None:
        """Refuse an index of another edition.

        Raises:
            ShopError: when it is one.
        """
        edition = self._edition()
        if edition != EDITION:
            raise ShopError(
                f"The index was made by another edition of Rungside ({edition}, here {EDITION}).",
                "Make it anew with `rungside shop rebuild`.",
            )

    def make_anew(self) -> None:
        """Take away all that is in it.

        Raises:
            ShopError: when the database fails.
        """
        with _told(self.engine.url):
            with self.writing() as connection:
                METADATA.drop_all(connection)
            _make_tables(self)

    def _edition(self) -> str:
        of_edition = select(FACTS.c.value).where(FACTS.c.name == _EDITION_FACT)
        with self.reading() as connection:
            return str(connection.scalar(of_edition))


def _make_tables(index: Index) -> None:
    """Make the tables and say their edition; who comes second finds them made."""
    with index.reading() as connection:
        if inspect(connection).has_table(FACTS.name):
            return
    with suppress(IntegrityError), index.writing() as connection:
        take_turns(connection, _MAKING)
        if not inspect(connection).has_table(FACTS.name):
            METADATA.create_all(connection)
            connection.execute(insert(FACTS), {"name": _EDITION_FACT, "value": EDITION})


def take_turns(connection: Connection, what: int, of_what: str = "") -> None:
    """Let one after another do a thing, on a server where several may do it at once.

    Into a file only one writes at a time, so there is nothing to wait for.

    Args:
        connection: of a writer; the turn ends with what it has begun.
        what: a number for the thing.
        of_what: of which one, where there are several.
    """
    if connection.dialect.name == POSTGRESQL:
        command = "SELECT pg_advisory_xact_lock(%(what)s, hashtext(%(of_what)s))"
        connection.exec_driver_sql(command, {"what": what, "of_what": of_what})


def _url(address: str) -> URL:
    if not re.match(r"\w+(\+\w+)?://", address):
        path = Path(address).expanduser() if address else default_index()
        return URL.create(SQLITE, database=str(path.absolute()))
    try:
        url = make_url(address)
    except ArgumentError as error:
        raise ShopError(
            "The index's address cannot be read.", "As: postgresql://user@host/name."
        ) from error
    if url.get_backend_name() == POSTGRESQL:
        return url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() == SQLITE and url.database:
        return url
    raise ShopError(
        f"An index is no {url.get_backend_name()} database.",
        "Name a file, or a server as postgresql://user@host/name.",
    )


def _engine(url: URL) -> Engine:
    if url.get_backend_name() == SQLITE:
        _make_private(Path(str(url.database)))
        engine = create_engine(url)
        event.listen(engine, "connect", _set_up)
        event.listen(engine, "begin", _begin)
        return engine
    try:
        return create_engine(url, pool_pre_ping=True)
    except ModuleNotFoundError as error:
        raise ShopError(
            "PostgreSQL needs psycopg, which is not installed.",
            "Install it: pip install 'rungside[postgres]'.",
        ) from error


def _make_private(file: Path) -> None:
    """Make the file before SQLite does: others may read neither it nor what lies beside it."""
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(file, os.O_RDWR | os.O_CREAT, 0o600))
    except OSError as error:
        raise ShopError(
            f"The index {file} cannot be opened: {error.strerror or error}.",
            "Name another file with --index.",
        ) from error


def _set_up(connection: Any, _: object) -> None:  # noqa: ANN401 - whatever the driver has
    connection.isolation_level = None
    with closing(connection.cursor()) as cursor:
        cursor.execute(f"PRAGMA busy_timeout = {_PATIENCE_MS}")
        with suppress(sqlite3.OperationalError):  # a file that may only be read stays as it is
            cursor.execute("PRAGMA journal_mode = WAL")
        cursor.execute("PRAGMA synchronous = NORMAL")
        cursor.execute(f"PRAGMA cache_size = -{_CACHE_KB}")
        cursor.execute("PRAGMA secure_delete = ON")  # what was purged is not left in free pages


def _begin(connection: Connection) -> None:
    is_writing = connection.get_execution_options().get("is_writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if is_writing else "BEGIN")


@contextmanager
def _told(url: URL) -> Iterator[None]:
    """Turn what the database complains of into one sentence; a password is never in it."""
    try:
        yield
    except SQLAlchemyError as error:
        raise shop_error(url, error) from error


def shop_error(url: URL, error: SQLAlchemyError) -> ShopError:
    """Give the error that says what a database complains of."""
    origin = error.orig if isinstance(error, DBAPIError) else error
    lines = str(origin).strip().splitlines() or [type(origin).__name__]
    return ShopError(
        f"The index {url.render_as_string(hide_password=True)} cannot be used: {lines[0]}.",
        "Look at its address, its rights and its server.",
    )
