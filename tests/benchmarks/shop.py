"""How fast and how flat the shop's index is: ingest against a bare bulk insert of the same rows.

    python tests/benchmarks/shop.py [COUNT…] [--folder FOLDER] [--most COUNT] [--no-postgres]

Default: 1000 10000 100000; the last needs 10 GB of disk and most of an hour on a busy machine.

From folders: sessions are made (walked on the bench, varied, chained and sealed for real; kept in
FOLDER where one is named; none where there are more than --most) and read into an index by a
process of its own. From records: rows of 200 such sessions, read before, are varied to so many
sessions and put in, so that reading has no part in it. Each time the same rows are put bare into
another database with the same tables and indexes, batch by batch as the ingest does. Times are on
the clock.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from datetime import date, timedelta
from functools import partial
from itertools import islice
from pathlib import Path
from random import Random
from time import perf_counter
from typing import Any

from sqlalchemy import Connection, Table, insert, select

from assistant.journal.line import stamp
from assistant.shop.gathering import BATCH, batches, gather, read_batch
from assistant.shop.index import Index
from assistant.shop.keys import session_key
from assistant.shop.places import session_folders
from assistant.shop.questions import QUESTIONS
from assistant.shop.settling import settle
from assistant.shop.tables import METADATA, PARTS, SESSIONS, SOURCES, names_of
from assistant.shop.telling import Told
from assistant.shop.wanted import Wanted
from assistant.shop.writing import Copy, add, write
from assistant.shop.yardsticks import keep_yardsticks

sys.path.insert(0, str(Path(__file__).parents[1] / "tools"))
from postgres_server import NoServer, running_server
from shop_sessions import SPAN_DAYS, START, TECHNICIANS, write_shop

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
    uses = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    here, readers = (use.ru_maxrss // 1024 for use in uses)
    processor = sum(use.ru_utime + use.ru_stime for use in uses)
    figures = {"seconds": seconds, "again": again, "processor": processor}
    print(json.dumps({**figures, "here": here, "readers": readers}))


def in_a_process(folder: Path, address: str) -> dict[str, float]:
    """Ingest in a process of its own, so that its memory is its own."""
    command = [sys.executable, __file__, "--ingest", str(folder), address]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def records(folder: Path) -> list[Told]:
    """Read sessions to make others from."""
    names = list(islice(session_folders(folder), 200))
    copies = read_batch(MACHINE, [(name, "stamp") for name in names])
    return [copy.told for copy in copies if copy.told is not None]


def varied(models: Sequence[Told], count: int) -> Iterator[Copy]:
    """Make so many sessions' rows from those of a few: other times, names, units, technicians."""
    chance = Random(7)  # noqa: S311 - no secret
    step = timedelta(days=SPAN_DAYS) / count
    names = names_of(SESSIONS)
    for number in range(count):
        told = chance.choice(models)
        started = stamp(START + step * number)
        name, unit = f"made-{number:06d}", f"RTU-{chance.randrange(max(3, count // 25))}"
        key, folder = session_key(name, started), f"/made/{name}"
        technician = TECHNICIANS[int(chance.random() ** 1.5 * len(TECHNICIANS))]
        row = dict(zip(names, told.session, strict=True))
        row |= {"session": key, "name": name, "folder": folder, "claim": name, "unit": unit}
        row |= {"started": started, "month": started[:7], "technician": technician}
        parts = {
            table: tuple((key, *one[1:]) for one in rows) for table, rows in told.parts.items()
        }
        made = Told(key, started[:7], name, tuple(row.values()), parts)
        yield Copy(MACHINE, folder, "stamp", made)


def from_records(index: Index, models: Sequence[Told], count: int) -> float:
    """Put sessions in that were read before; give the seconds of writing and settling alone."""
    seconds = 0.0
    index.make_anew()
    keep_yardsticks(index)
    for copies in batches(varied(models, count), BATCH):
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


def measure_folders(folder: Path, count: int, index: Index, other: Index) -> None:
    """Read sessions from their folders, and put the same rows in bare."""
    figures = in_a_process(folder, str(index.engine.url.render_as_string(hide_password=False)))
    seconds = figures["seconds"]
    print(
        f"  {index.kind}, {count:,} sessions from folders: {seconds:.1f} s, {count / seconds:,.0f}"
        f" a second ({figures['processor'] / count * 1000:.2f} ms of processor each); again with"
        f" nothing changed {figures['again']:.1f} s; peak {figures['here']:.0f} MB here,"
        f" {figures['readers']:.0f} MB in the largest reader"
    )
    tell_bare(seconds, index, other)


def measure_records(models: Sequence[Told], count: int, index: Index, other: Index) -> None:
    """Put sessions in that were read before, the same rows bare, and ask all questions."""
    seconds = from_records(index, models, count)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(
        f"  {index.kind}, {count:,} sessions from records: {seconds:.1f} s,"
        f" {count / seconds:,.0f} a second; peak so far {peak:.0f} MB"
    )
    tell_bare(seconds, index, other)
    ask_all(index)


def tell_bare(seconds: float, index: Index, other: Index) -> None:
    """Print the rate of an ingest over that of a bare insert of its rows."""
    core, rows = bare(index, other, by_core)
    driver, _ = bare(index, other, add)
    print(
        f"    bare insert of the same {rows:,} rows: {core:.1f} s by SQLAlchemy, {driver:.1f} s by"
        f" the driver alone; rate over the bare one: {core / seconds:.2f}, {driver / seconds:.2f}"
    )


def measure_count(folder: Path, count: int, most: int, server: str | None) -> None:
    """Measure one count of sessions on each database; from folders up to so many."""
    if not folder.is_dir():
        write_shop(folder, min(count, most))
    sizes = [file.stat().st_size for file in islice(folder.glob("*/journal.jsonl"), 1000)]
    print(f"{count:,} sessions of {sum(sizes) / len(sizes) / 1000:.0f} kB each")
    models = records(folder)
    with tempfile.TemporaryDirectory() as place:
        pairs = [(f"{place}/shop.sqlite", f"{place}/bare.sqlite")]
        if server is not None:
            pairs.append((server, server.replace("/postgres?", "/template1?")))
        for address, other in pairs:
            with Index.open(address) as index, Index.open(other, is_any=True) as target:
                if count <= most:
                    measure_folders(folder, count, index, target)
                measure_records(models, count, index, target)


def main() -> None:
    """Measure what the command line asks for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("counts", nargs="*", type=int, default=[1_000, 10_000, 100_000])
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--most", type=int, default=100_000)
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
            measure_count(folder / str(count), count, asked.most, server)


if __name__ == "__main__":
    main()
