"""Sums over the sessions that are wanted: whole months as they are kept, the rest from the rows."""

from datetime import date, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Select, Subquery, and_, select, union_all

from assistant.shop.settling import Sums
from assistant.shop.tables import SESSIONS
from assistant.shop.wanted import Wanted, in_range


def totals(sums: Sums, wanted: Wanted) -> Subquery:
    """Give a table of sums, some rows of which may be of one group; a question adds them up.

    Args:
        sums: what is summed.
        wanted: which sessions count.
    """
    if wanted.is_of_some:
        return sums.select_rows(*wanted.conditions()).subquery()
    first, after = whole_months(wanted.since, wanted.end)
    parts: list[Select[Any]] = []
    for since, end in edges(wanted.since, wanted.end):
        parts.append(_from_rows(sums, since, end, wanted.flow))
    if first is None or after is None or first < after:
        parts.append(_from_sums(sums, first, after, wanted.flow))
    return union_all(*parts).subquery()


def _from_rows(sums: Sums, since: date, end: date, flow: str) -> Select[Any]:
    where = in_range(since, end)
    if flow:
        where.append(SESSIONS.c.flow == flow)
    return sums.select_rows(*where)


def _from_sums(sums: Sums, first: date | None, after: date | None, flow: str) -> Select[Any]:
    table = sums.table.c
    where: list[ColumnElement[bool]] = []
    if first is not None or after is not None:
        where.append(table.month > "")
    if first is not None:
        where.append(table.month >= str(first)[:7])
    if after is not None:
        where.append(table.month < str(after)[:7])
    if flow:
        where.append(table.flow == flow)
    names = [name for name, _ in (*sums.groups, *sums.counts)]
    return select(*(table[name] for name in names)).where(and_(True, *where))


def whole_months(since: date | None, end: date | None) -> tuple[date | None, date | None]:
    """Give the first day of the first whole month in a range, and the day after the last one."""
    first = since if since is None or since.day == 1 else _next_month(since)
    after = end if end is None else end.replace(day=1)
    return first, after


def edges(since: date | None, end: date | None) -> list[tuple[date, date]]:
    """Give the days at both ends of a range that make no whole month."""
    first, after = whole_months(since, end)
    if since and end and first and after and first >= after:
        return [(since, end)]
    found = []
    if since is not None and first is not None and since < first:
        found.append((since, first))
    if end is not None and after is not None and after < end:
        found.append((after, end))
    return found


def _next_month(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=31)).replace(day=1)
