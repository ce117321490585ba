"""An index made anew from the folders that it was made from."""

from collections.abc import Iterable
from pathlib import Path

from sqlalchemy import select

from assistant.shop.errors import ShopError
from assistant.shop.gathering import BATCH, Gathered, gather
from assistant.shop.index import Index
from assistant.shop.places import look_at
from assistant.shop.tables import ROOTS, SOURCES
from assistant.shop.writing import forget


def rebuild(
    index: Index, roots: Iterable[Path], machine: str, workers: int | None = None
) -> Gathered:
    """Take out what this machine's folders put in, and read them again.

    An index that only this machine fills, or of another edition, is emptied as a whole; in one that
    others fill as well their rows stay.

    Args:
        index: the index, of any edition.
        roots: the folders; those that were read before where none are given.
        machine: the name that these folders' machine goes by.
        workers: how many processes read.

    Raises:
        ShopError: when no folder is known or one is not there (then nothing goes), or the database
            fails.
    """
    folders = list(roots) or known_roots(index, machine)
    if not folders:
        raise ShopError(
            f"The index knows no folders of the machine '{machine}'.",
            "Name the folders that hold the sessions.",
        )
    for folder in folders:
        look_at(folder)
    if _is_shared(index, machine) and index.is_of_this_edition:
        _forget_all(index, machine)
    else:
        index.make_anew()
    return gather(index, folders, machine, workers)


def known_roots(index: Index, machine: str) -> list[Path]:
    """Give the folders of a machine that were read before, in order."""
    mine = select(ROOTS.c.folder).where(ROOTS.c.machine == machine).order_by(ROOTS.c.folder)
    with index.reading() as connection:
        return [Path(folder) for folder in connection.scalars(mine)]


def _is_shared(index: Index, machine: str) -> bool:
    with index.reading() as connection:
        others = select(ROOTS.c.machine).where(ROOTS.c.machine != machine).limit(1)
        return connection.scalar(others) is not None


def _forget_all(index: Index, machine: str) -> None:
    some = select(SOURCES.c.folder).where(SOURCES.c.machine == machine).limit(BATCH)
    while True:
        with index.reading() as connection:
            folders = list(connection.scalars(some))
        if not folders:
            return
        forget(index, machine, folders)
