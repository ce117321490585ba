"""Readings that came close to a limit."""

from sqlalchemy import Connection, func, select

from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.settling import TAKEN
from assistant.shop.totals import totals
from assistant.shop.wanted import Wanted

_COLUMNS = (
    Column("flow", "flow"),
    Column("reading", "reading"),
    Column("unit", "shown in"),
    Column("taken", "taken", Kind.COUNT),
    Column("near", "near a limit", Kind.COUNT),
    Column("near_share", "share near", Kind.SHARE),
    Column("marginal", "marginal", Kind.COUNT),
    Column("failed", "failed", Kind.COUNT),
    Column("unclear", "cannot tell", Kind.COUNT),
    Column("retaken", "taken again", Kind.COUNT),
)


def ask_near(connection: Connection, wanted: Wanted) -> Answer:
    """Count measured values close to the limit that decided, those most often near first."""
    summed = totals(TAKEN, wanted).c
    counts = (summed.taken, summed.near, summed.marginal, summed.failed)
    query = select(
        *(summed.flow, summed.name, summed.unit),
        *(func.sum(count) for count in (*counts, summed.unclear, summed.retaken)),
    ).group_by(summed.flow, summed.name, summed.unit)
    rows = []
    for flow, name, unit, *found in connection.execute(query):
        taken, near, *others = (int(count) for count in found)
        rows.append((flow, name, unit, taken, near, near / taken, *others))
    rows.sort(key=lambda row: (-row[4] - row[6], row[:3]))
    return Answer(
        "near",
        "Readings near limits",
        _COLUMNS,
        tuple(rows),
        (
            (
                "Near is within 5 % of the band between the limits (of the limit, where there is"
                " one), or within the meter's own error, as the flag 'near a limit' of a review."
            ),
            "Marginal is a verdict of the flow's own rules.",
        ),
        Bars(("flow", "reading"), "near", "Readings near a limit, the most first"),
    )
