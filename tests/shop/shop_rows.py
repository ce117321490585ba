"""All rows of an index, as tests compare them."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import select

from assistant.journal.reading import JOURNAL
from assistant.shop.index import Index
from assistant.shop.tables import METADATA, STALE

MACHINE = "van-7"


def all_rows(index: Index) -> dict[str, list[tuple[Any, ...]]]:
    """Give every row of every table, in order; marks of stale months are no part of it.

    Times are whole milliseconds, so all sums are equal to the last digit on any database.
    """
    with index.reading() as connection:
        return {
            table.name: sorted((tuple(row) for row in connection.execute(select(table))), key=repr)
            for table in METADATA.sorted_tables
            if table is not STALE
        }


def events(folder: Path) -> list[dict[str, Any]]:
    """Read a journal as plain JSON, without any code of ours: kind, seq, time and data together."""
    raws = (folder / JOURNAL).read_text(encoding="utf-8").splitlines()
    rows = [json.loads(raw) for raw in raws]
    return [{"kind": r["kind"], "seq": r["seq"], "time": r["time"], **r["data"]} for r in rows]


def names(folders: Sequence[Path]) -> list[str]:
    """Give the names of folders, in order."""
    return sorted(folder.name for folder in folders)
