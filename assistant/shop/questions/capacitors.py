"""Capacitors against their rating, by age as far as the record knows it.

No flow asks for a date of making. What the index knows is when a session measured a new part on the
same unit: from then on that part has an age. Of all others it is not known, and that is said.
"""

from typing import Any

from sqlalchemy import CTE, ColumnElement, Connection, and_, case, func, literal, select

from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.settling import one_if
from assistant.shop.tables import READINGS, SESSIONS
from assistant.shop.telling import CAPACITANCE
from assistant.shop.wanted import Wanted

NEW = "new_"
"""How the names of readings of a part begin that was just fitted, in the shipped flows."""
_MS_BITS = 1 << 22
"""A session's key holds its milliseconds above these bits."""
_YEAR_MS = 365.25 * 24 * 3600 * 1000
UNKNOWN, FITTED = "not known", "new, as fitted"
_CLASSES = (
    (1, "under 1 year"),
    (2, "1 to 2 years"),
    (5, "2 to 5 years"),
    (10_000, "5 years and more"),
)
_ORDER = (FITTED, *(words for _, words in _CLASSES), UNKNOWN)


def ask_capacitors(connection: Connection, wanted: Wanted) -> Answer:
    """Compare measured with printed microfarads, by age and rating."""
    seen = _measured()
    age = _age_words(seen)
    share = seen.c.value / seen.c.rated
    low = and_(seen.c.verdict == "fail", seen.c.value < seen.c.low)
    query = (
        select(
            age,
            seen.c.rated,
            func.count(),
            func.avg(share),
            func.min(share),
            func.max(share),
            func.sum(one_if(low)),
        )
        .select_from(seen.join(SESSIONS, SESSIONS.c.session == seen.c.session))
        .where(*wanted.conditions())
        .group_by(age, seen.c.rated)
    )
    rows = [_row(tuple(row)) for row in connection.execute(query)]
    rows.sort(key=lambda row: (_ORDER.index(row[0]), row[1] is None, row[1] or 0.0))
    return Answer(
        "capacitors",
        "Capacitors by age against rating",
        _COLUMNS,
        tuple(rows),
        _NOTES,
        Bars(("age", "rated"), "mean", "Measured share of the printed microfarads, by age"),
    )


_COLUMNS = (
    Column("age", "age"),
    Column("rated", "printed \u00b5F", Kind.FIGURE),
    Column("measured", "measured", Kind.COUNT),
    Column("mean", "mean of printed", Kind.SHARE),
    Column("least", "least", Kind.SHARE),
    Column("most", "most", Kind.SHARE),
    Column("too_low", "too low", Kind.COUNT),
    Column("too_low_share", "share too low", Kind.SHARE),
)
_NOTES = (
    (
        "Age is counted from the session that measured the part as new on the same unit; no flow"
        f" asks when a part was made, so without such a session the age is '{UNKNOWN}'."
    ),
    "A part that was changed without a session is taken for the one before it.",
    "Without printed microfarads inside the limits that judged the reading, there is no share.",
)


def _row(found: tuple[Any, ...]) -> tuple[Any, ...]:
    age, rated, count, mean, least, most, too_low = found
    return (age, rated, count, mean, least, most, int(too_low), int(too_low) / count)


def _measured() -> CTE:
    """Give each capacitance with the key of the session that last fitted a new part before it."""
    is_new = READINGS.c.name.like(NEW.replace("_", "\\_") + "%", escape="\\")
    section = case((is_new, func.substr(READINGS.c.name, len(NEW) + 1)), else_=READINGS.c.name)
    is_fitted = and_(is_new, READINGS.c.verdict == "pass", SESSIONS.c.unit != "")
    before = func.max(case((is_fitted, READINGS.c.session), else_=None)).over(
        partition_by=(SESSIONS.c.unit, section),
        order_by=(READINGS.c.session, READINGS.c.line),
        rows=(None, -1),
    )
    return (
        select(
            READINGS.c.session,
            READINGS.c.value,
            READINGS.c.rated,
            READINGS.c.low,
            READINGS.c.verdict,
            one_if(is_new).label("is_new"),
            case((SESSIONS.c.unit != "", before), else_=None).label("fitted"),
        )
        .select_from(READINGS.join(SESSIONS, SESSIONS.c.session == READINGS.c.session))
        .where(READINGS.c.quantity == CAPACITANCE, READINGS.c.value.is_not(None))
        .where(READINGS.c.session > 0)
        .cte("measured")
    )


def _age_words(seen: CTE) -> ColumnElement[str]:
    years = (seen.c.session - seen.c.fitted) / literal(float(_MS_BITS)) / _YEAR_MS
    return case(
        (seen.c.is_new == 1, FITTED),
        (seen.c.fitted.is_(None), UNKNOWN),
        *((years < most, words) for most, words in _CLASSES),
        else_=_CLASSES[-1][1],
    ).label("age")
