"""Sums by month kept beside the rows, so that a question over all years need not count them all.

A batch of rows marks its months as stale in the same go; a month is summed again from its rows,
under a lock, and the marks that were seen are taken away. So sums are right however many write, and
whoever stops in between: a question settles what is stale before it counts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeAlias

from sqlalchemy import (
    ColumnElement,
    Connection,
    FromClause,
    Integer,
    Select,
    Table,
    case,
    delete,
    func,
    insert,
    literal,
    select,
)

from assistant.shop.index import Index, take_turns
from assistant.shop.keys import month_keys
from assistant.shop.tables import (
    CAUTION_SUMS,
    CAUTIONS,
    READING_SUMS,
    READINGS,
    SESSIONS,
    STALE,
    STEP_SUMS,
    VISITS,
)
from assistant.shop.writing import again

Expression: TypeAlias = ColumnElement[Any]
_SUMMING = 7264002
"""The turn of summing a month."""
UNTIMED = -1
"""The class of time of stays whose time says nothing."""


@dataclass(frozen=True, slots=True)
class Sums:
    """How rows are summed.

    Args:
        table: where the sums by month stand.
        rows: what is summed.
        groups: what each sum is of, by the name of its column.
        counts: what is summed, by the name of its column.
        only: which rows count; all where None.
    """

    table: Table
    rows: Table
    groups: tuple[tuple[str, Expression], ...]
    counts: tuple[tuple[str, Expression], ...]
    only: ColumnElement[bool] | None = None

    @property
    def joined(self) -> FromClause:
        """Give the rows with their sessions."""
        return self.rows.join(SESSIONS, SESSIONS.c.session == self.rows.c.session)

    def select_rows(
        self, *where: ColumnElement[bool], month: str | None = None
    ) -> Select[*tuple[Any, ...]]:
        """Sum rows anew.

        Args:
            where: which rows.
            month: the month that the sums are of, as a column before the others.
        """
        groups = [column.label(name) for name, column in self.groups]
        counts = [func.sum(column).label(name) for name, column in self.counts]
        first = [] if month is None else [literal(month).label("month")]
        only = where if self.only is None else (*where, self.only)
        grouped = [column for _, column in self.groups]
        return (
            select(*first, *groups, *counts)
            .select_from(self.joined)
            .where(*only)
            .group_by(*grouped)
        )


def one_if(condition: ColumnElement[bool]) -> ColumnElement[int]:
    """Give 1 where something is so, else 0."""
    return case((condition, 1), else_=0)


def _step_sums() -> Sums:
    is_timed = VISITS.c.is_timed == 1
    trouble = VISITS.c.silences + VISITS.c.not_taken + VISITS.c.asked_back + VISITS.c.helped
    return Sums(
        STEP_SUMS,
        VISITS,
        (
            ("flow", SESSIONS.c.flow),
            ("step", VISITS.c.step),
            ("pace", case((is_timed, VISITS.c.pace), else_=UNTIMED)),
        ),
        (
            ("visits", literal(1, Integer)),
            ("timed", VISITS.c.is_timed),
            ("heard", VISITS.c.heard),
            ("silences", VISITS.c.silences),
            ("not_taken", VISITS.c.not_taken),
            ("asked_back", VISITS.c.asked_back),
            ("helped", VISITS.c.helped),
            ("troubled", one_if(trouble > 0)),
            ("took_ms", case((is_timed, VISITS.c.took_ms), else_=0)),
        ),
    )


def _reading_sums() -> Sums:
    verdict = READINGS.c.verdict
    return Sums(
        READING_SUMS,
        READINGS,
        (("flow", SESSIONS.c.flow), ("name", READINGS.c.name), ("unit", READINGS.c.unit)),
        (
            ("taken", literal(1, Integer)),
            ("near", READINGS.c.is_near),
            ("marginal", one_if(verdict == "marginal")),
            ("failed", one_if(verdict == "fail")),
            ("unclear", one_if(verdict == "cannot_tell")),
            ("retaken", READINGS.c.is_retaken),
        ),
        READINGS.c.origin == "measured",
    )


def _caution_sums() -> Sums:
    is_answered = CAUTIONS.c.took_ms.is_not(None)
    return Sums(
        CAUTION_SUMS,
        CAUTIONS,
        (("flow", SESSIONS.c.flow), ("caution", CAUTIONS.c.caution)),
        (
            ("given", literal(1, Integer)),
            ("answered", one_if(is_answered)),
            ("fast", CAUTIONS.c.is_fast),
            ("took_ms", func.coalesce(CAUTIONS.c.took_ms, 0)),
            ("needed_ms", case((is_answered, CAUTIONS.c.needed_ms), else_=0)),
        ),
    )


STEPS, TAKEN, WARNED = _step_sums(), _reading_sums(), _caution_sums()
ALL_SUMS: tuple[Sums, ...] = (STEPS, TAKEN, WARNED)


def settle(index: Index) -> int:
    """Sum the months again whose rows changed; give how many.

    Raises:
        ShopError: when the database fails.
    """
    with index.reading() as connection:
        months = list(connection.scalars(select(STALE.c.month).distinct().order_by(STALE.c.month)))
    for month in months:
        again(index, partial(_sum_again, month=month))
    return len(months)


def _sum_again(connection: Connection, month: str) -> None:
    # Whoever waited sees all that was written before it, so the last one sees everything.
    take_turns(connection, _SUMMING, month)
    marks = list(connection.scalars(select(STALE.c.mark).where(STALE.c.month == month)))
    for some in _some(marks):
        seen = (STALE.c.month == month) & STALE.c.mark.in_(some)
        connection.execute(delete(STALE).where(seen))
    low, high = month_keys(month)
    for sums in ALL_SUMS:
        connection.execute(delete(sums.table).where(sums.table.c.month == month))
        of_month = (sums.rows.c.session >= low, sums.rows.c.session < high)
        names = [column.name for column in sums.table.columns]
        rows = sums.select_rows(*of_month, month=month)
        connection.execute(insert(sums.table).from_select(names, rows))


def _some(marks: Sequence[str]) -> list[Sequence[str]]:
    return [marks[start : start + 500] for start in range(0, len(marks), 500)]
