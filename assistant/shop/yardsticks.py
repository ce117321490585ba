"""What the shop is held against: the flows' estimates and the catalogue's weights, kept beside.

Reading the flows takes seconds, so it is done when they changed, and not for each question.
"""

import hashlib
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, delete, select

from assistant import __version__
from assistant.bench.faults import FAULTS, shipped_catalogue
from assistant.flow.library import flow_names, open_flow, shipped
from assistant.flow.model import SpokenStep
from assistant.shop.index import Index, take_turns
from assistant.shop.tables import ESTIMATES, FACTS, WEIGHTS
from assistant.shop.telling import Row
from assistant.shop.writing import add, again, upsert

_FACT = "yardsticks"
_KEEPING = 7264003
"""The turn of keeping yardsticks."""


def keep_yardsticks(index: Index) -> bool:
    """Keep estimates and weights as they are now; false where they are kept already.

    Raises:
        FlowError: when a shipped flow is broken.
        ShopError: when the database fails.
    """
    edition = _edition()
    kept = select(FACTS.c.value).where(FACTS.c.name == _FACT)
    with index.reading() as connection:
        if connection.scalar(kept) == edition:
            return False
    estimates, weights = list(_estimates()), list(_weights())

    def keep(connection: Connection) -> None:
        take_turns(connection, _KEEPING)
        if connection.scalar(kept) == edition:
            return
        for table, rows in ((ESTIMATES, estimates), (WEIGHTS, weights)):
            connection.execute(delete(table))
            add(connection, table, rows)
        upsert(connection, FACTS, [(_FACT, edition)])

    again(index, keep)
    return True


def _edition() -> str:
    """Give a hash of all that the yardsticks are made from."""
    files = [*_sorted(shipped("flows")), *_sorted(FAULTS)]
    whole = hashlib.sha256(__version__.encode())
    for file in files:
        whole.update(file.read_bytes())
    return whole.hexdigest()


def _sorted(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.yaml"))


def _estimates() -> Iterator[Row]:
    for name in flow_names():
        flow = open_flow(name)
        for step, one in flow.steps.items():
            if isinstance(one, SpokenStep):
                yield (name, step, flow.edition, float(one.minutes) * 60)


def _weights() -> Iterator[Row]:
    catalogue = shipped_catalogue()
    for name, fault in catalogue.faults.items():
        yield (fault.kind, name, fault.fault, float(catalogue.weight(name)))
