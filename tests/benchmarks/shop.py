"""How fast and how flat the shop's index is: ingest against a bare bulk insert of the same rows.

    python tests/benchmarks/shop.py [COUNT…] [--folder FOLDER] [--no-postgres]

Default: 1000 10000 100000; the last needs 10 GB of disk and most of an hour on a busy machine. Each
count of sessions is made (walked on the bench, varied, chained and sealed for real; kept in FOLDER
where one is named), read into an index by a process of its own, asked all questions, and its rows
are put bare into other databases with the same tables and indexes, batch by batch as the ingest
does. Times are on the clock; what belongs together is measured in one run.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing
from datetime import date
from functools import partial
from pathlib import Path
from time import perf_counter
from typing import Any

from sqlalchemy import Connection, Table, insert, select

from assistant.shop.gathering import BATCH, batches, gather, read_batch
from assistant.shop.index import Index
from assistant.shop.places import session_folders
from assistant.shop.questions import QUESTIONS
from assistant.shop.settling import settle
from assistant.shop.tables import METADATA, PARTS, SESSIONS, SOURCES, names_of
from assistant.shop.wanted import Wanted
from assistant.shop.writing import add, write
from assistant.shop.yardsticks import keep_yardsticks

sys.path.insert(0, str(Path(__file__).parents[1] / "tools"))
from postgres_server import NoServer, running_server
from shop_sessions import write_shop

MACHINE = "bench"
RANGES = {
    "all": Wanted(),
    "a year from the middle of a month": Wanted(date(2024, 3, 15), date(2025, 3, 20)),
    "one technician": Wanted(technicians=("AQ",)),
}
BARE = (SESSIONS, SOURCES, *PARTS)
Rows = dict[str, list[tuple[Any, ...]]]


def timed(work: Callable[[], object]) -> float:
    """Give the seconds that something takes."""
    start = perf_counter()
    work()
    return perf_counter() - start


def ingest_alone(folder: Path, address: str) -> None:
    """Read a folder into an empty index and print the seconds and the peak of memory."""
    with Index.open(address, is_any=True) as index:
        index.make_anew()
        keep_yardsticks(index)
        seconds = timed(lambda: gather(index, [folder], MACHINE))
        again = timed(lambda: gather(index, [folder], MACHINE))
    here, readers = (
        resource.getrusage(who).ru_maxrss // 1024
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    print(json.dumps({"seconds": seconds, "again": again, "here": here, "readers": readers}))


def in_a_process(folder: Path, address: str) -> dict[str, float]:
    """Ingest in a process of its own, so that its memory is its own."""
    command = [sys.executable, __file__, "--ingest", str(folder), address]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def from_records(folder: Path, index: Index) -> float:
    """Ingest what was read before: the seconds of writing and settling alone."""
    seconds = 0.0
    index.make_anew()
    for names in batches(session_folders(folder), BATCH):
        copies = read_batch(MACHINE, [(name, "stamp") for name in names])
        seconds += timed(partial(write, index, copies))
    return seconds + timed(lambda: settle(index))


def batches_of(index: Index) -> Iterator[Rows]:
    """Give an index's rows, so many sessions at a time."""
    with index.reading() as connection:
        keys = list(connection.scalars(select(SESSIONS.c.session).order_by(SESSIONS.c.session)))
        for some in batches(keys, BATCH):
            yield {
                table.name: [
                    tuple(row)
                    for row in connection.execute(select(table).where(table.c.session.in_(some)))
                ]
                for table in BARE
            }


def by_core(connection: Connection, table: Table, rows: Sequence[tuple[Any, ...]]) -> None:
    """Put rows in as SQLAlchemy's bulk insert does."""
    names = names_of(table)
    connection.execute(insert(table), [dict(zip(names, row, strict=True)) for row in rows])


def bare(source: Index, target: Index, put: Callable[..., None]) -> tuple[float, int]:
    """Put the same rows into empty tables with the same indexes; give seconds and rows."""
    with target.writing() as connection:
        METADATA.drop_all(connection)
        METADATA.create_all(connection)
    seconds, count = 0.0, 0
    for rows in batches_of(source):

        def work(rows: Rows = rows) -> None:
            with target.writing() as connection:
                for table in BARE:
                    put(connection, table, rows[table.name])

        seconds += timed(work)
        count += sum(map(len, rows.values()))
    return seconds, count


def ask_all(index: Index) -> None:
    """Print the slowest of three tries of each question, and which range it was."""
    for name, question in QUESTIONS.items():
        worst, where = 0.0, ""
        for words, wanted in RANGES.items():
            for _ in range(3):
                with index.reading() as connection:
                    seconds = timed(partial(question.ask, connection, wanted))
                if seconds > worst:
                    worst, where = seconds, words
        print(f"    {name}: {worst * 1000:.0f} ms at worst ({where})")


def measure(folder: Path, count: int, kind: str, address: str, other: str) -> None:
    """Measure one count of sessions on one database."""
    figures = in_a_process(folder, address)
    seconds = figures["seconds"]
    print(
        f"  {kind}, {count:,} sessions: {seconds:.1f} s, {count / seconds:,.0f} a second; again"
        f" with nothing changed {figures['again']:.1f} s; peak {figures['here']:.0f} MB here,"
        f" {figures['readers']:.0f} MB in the largest reader"
    )
    with closing(Index.open(address)) as index, closing(Index.open(other)) as target:
        core, rows = bare(index, target, by_core)
        driver, _ = bare(index, target, add)
        written = from_records(folder, target)
        print(
            f"    bare insert of the same {rows:,} rows: {core:.1f} s by SQLAlchemy,"
            f" {driver:.1f} s by the driver alone ({'COPY' if kind != 'sqlite' else 'tuples'})"
        )
        print(
            f"    rate over the bare one: {core / seconds:.2f} (SQLAlchemy), {driver / seconds:.2f}"
            f" (driver); from records read before: {core / written:.2f}, {driver / written:.2f}"
        )
        ask_all(index)


def measure_count(folder: Path, count: int, server: str | None) -> None:
    """Measure one count of sessions on each database."""
    if not folder.is_dir():
        write_shop(folder, count)
    size = sum(file.stat().st_size for file in folder.glob("*/journal.jsonl"))
    print(f"{count:,} sessions of {size / count / 1000:.0f} kB each")
    with tempfile.TemporaryDirectory() as place:
        measure(folder, count, "sqlite", f"{place}/shop.sqlite", f"{place}/bare.sqlite")
    if server is not None:
        other = server.replace("/postgres?", "/template1?")
        measure(folder, count, "postgresql", server, other)


def main() -> None:
    """Measure what the command line asks for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("counts", nargs="*", type=int, default=[1_000, 10_000, 100_000])
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--no-postgres", action="store_true")
    parser.add_argument("--ingest", nargs=2)
    asked = parser.parse_args()
    if asked.ingest:
        ingest_alone(Path(asked.ingest[0]), asked.ingest[1])
        return
    with ExitStack() as stack:
        folder = asked.folder or Path(stack.enter_context(tempfile.TemporaryDirectory()))
        server = None
        if not asked.no_postgres:
            try:
                server = stack.enter_context(running_server(is_synced=True))
            except NoServer as why:
                print(why)
        for count in asked.counts:
            measure_count(folder / str(count), count, server)


if __name__ == "__main__":
    main()
