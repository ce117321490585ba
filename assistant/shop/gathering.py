"""Sessions read into an index: only what changed, by several processes, in batches.

What is kept in memory is a few batches and the names of one folder's sessions, however many
sessions there are.
"""

import gc
import os
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from types import TracebackType
from typing import Self, TypeAlias, TypeVar

from sqlalchemy import ColumnElement, and_, func, or_, select

from assistant.journal.catalogue import stamp_of
from assistant.shop.index import Index
from assistant.shop.places import is_gone, session_folders
from assistant.shop.reading import Unread, read_folder
from assistant.shop.settling import settle
from assistant.shop.tables import ROOTS, SOURCES
from assistant.shop.telling import Source
from assistant.shop.writing import Copy, again, forget, upsert, write
from assistant.shop.yardsticks import keep_yardsticks

BATCH = 192
"""So many sessions are read by one process and written in one go."""
_FEW = 48
"""So few sessions are read here, since starting a process takes longer."""
_AHEAD = 2
"""So many batches a process are read before they are written."""
_ROUNDS = 3
"""So often copies are looked at again after a better copy went."""

Due: TypeAlias = tuple[str, str]
"""A folder that is to be read, and the stamp of its files."""
_Item = TypeVar("_Item")


@dataclass(frozen=True, slots=True)
class Gathered:
    """What an ingest came to.

    Args:
        seen: folders of sessions that are there.
        read: those that were read, since they were new or changed.
        gone: those that the index knew and that are no sessions any more.
    """

    seen: int = 0
    read: int = 0
    gone: int = 0


def gather(
    index: Index, roots: Iterable[Path], machine: str, workers: int | None = None
) -> Gathered:
    """Bring an index up to date with folders of sessions.

    Args:
        index: the index.
        roots: folders that hold sessions, or are above those that do.
        machine: the name that these folders' machine goes by.
        workers: how many processes read; one a processor where not given.

    Raises:
        ShopError: when a folder is not there, or the database fails.
    """
    done = Gathered()
    for root in dict.fromkeys(Path(os.path.abspath(root)) for root in roots):  # noqa: PTH100
        with Readers(machine, max(1, workers or os.cpu_count() or 1)) as readers:
            one = _gather_root(index, root, machine, readers)
        done = Gathered(done.seen + one.seen, done.read + one.read, done.gone + one.gone)
    keep_yardsticks(index)
    settle(index)
    return done


def _gather_root(index: Index, root: Path, machine: str, readers: "Readers") -> Gathered:
    counted = _Counted(session_folders(root))
    folders = iter(counted)
    first = list(islice(folders, 1))  # a folder that cannot be read is told before anything goes
    again(index, lambda connection: upsert(connection, ROOTS, [(machine, str(root))]))
    gone = _forget_gone(index, root, machine)
    read = 0
    changed = _changed(index, machine, _chained(first, folders))
    for copies in readers.read(changed):
        write(index, copies)
        read += len(copies)
    for _ in range(_ROUNDS):
        waiting = _waiting(index, root, machine)
        for copies in readers.read(iter(waiting)):
            write(index, copies)
            read += len(copies)
        if not waiting:
            break
    return Gathered(counted.count, read, gone)


class _Counted:
    """Folders, counted as they go by."""

    def __init__(self, folders: Iterable[str]) -> None:
        self._folders, self.count = folders, 0

    def __iter__(self) -> Iterator[str]:
        for folder in self._folders:
            self.count += 1
            yield folder


def _chained(first: Iterable[str], rest: Iterable[str]) -> Iterator[str]:
    yield from first
    yield from rest


def batches(items: Iterable[_Item], size: int) -> Iterator[list[_Item]]:
    """Give items in lists of a size; the last may be shorter."""
    rest = iter(items)
    while batch := list(islice(rest, size)):
        yield batch


def _changed(index: Index, machine: str, folders: Iterable[str]) -> Iterator[Due]:
    """Give the folders whose files are not as the index knows them."""
    for some in batches(folders, BATCH):
        with index.reading() as connection:
            mine = and_(SOURCES.c.machine == machine, SOURCES.c.folder.in_(some))
            rows = connection.execute(select(SOURCES.c.folder, SOURCES.c.stamp).where(mine)).all()
        known = {row.folder: row.stamp for row in rows}
        for folder in some:
            stamp = stamp_of(Path(folder))
            if known.get(folder) != stamp:
                yield folder, stamp


def under(root: Path, machine: str) -> ColumnElement[bool]:
    """Give what is true of a source that is a folder or stands under it."""
    start = os.path.join(root, "")  # noqa: PTH118 - with the separator at its end
    is_below = func.substr(SOURCES.c.folder, 1, len(start)) == start
    return and_(SOURCES.c.machine == machine, or_(SOURCES.c.folder == str(root), is_below))


def _waiting(index: Index, root: Path, machine: str) -> list[Due]:
    """Give the copies of sessions whose better copy went."""
    with index.reading() as connection:
        mine = select(SOURCES.c.folder).where(under(root, machine), SOURCES.c.stamp == "")
        return [(folder, stamp_of(Path(folder))) for folder in connection.scalars(mine)]


def _forget_gone(index: Index, root: Path, machine: str) -> int:
    """Take out of the index what is no session any more: moved, deleted, or purged."""
    gone, last = 0, ""
    while True:
        with index.reading() as connection:
            some = select(SOURCES.c.folder).where(under(root, machine), SOURCES.c.folder > last)
            folders = list(connection.scalars(some.order_by(SOURCES.c.folder).limit(BATCH * 8)))
        if not folders:
            return gone
        lost = [folder for folder in folders if is_gone(folder)]
        for batch in batches(lost, BATCH):
            forget(index, machine, batch)
        gone, last = gone + len(lost), folders[-1]


class Readers:
    """Processes that read sessions; none is started for a few.

    Args:
        machine: the name of this machine.
        workers: how many processes.
    """

    def __init__(self, machine: str, workers: int) -> None:
        self._machine, self._workers = machine, workers
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Self:
        """Give the readers themselves."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the processes."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)

    def read(self, due: Iterable[Due]) -> Iterator[list[Copy]]:
        """Read folders, some batches ahead of what is taken; in their order."""
        waiting: deque[Future[list[Copy]]] = deque()
        for batch in batches(due, BATCH):
            if self._workers == 1 or (self._pool is None and len(batch) < _FEW):
                yield read_batch(self._machine, batch)
                continue
            if self._pool is None:
                self._pool = ProcessPoolExecutor(self._workers, initializer=_quieten)
            waiting.append(self._pool.submit(read_batch, self._machine, batch))
            if len(waiting) > _AHEAD * self._workers:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


def _quieten() -> None:
    """Look for rings of objects seldom; rows have none."""
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)


def read_batch(machine: str, due: Sequence[Due]) -> list[Copy]:
    """Read some folders."""
    return [_read_one(machine, folder, stamp) for folder, stamp in due]


def _read_one(machine: str, folder: str, stamp: str) -> Copy:
    told = read_folder(Path(folder), Source(machine, folder))
    if isinstance(told, Unread):
        return Copy(machine, folder, stamp, None, told.why)
    return Copy(machine, folder, stamp, told)
