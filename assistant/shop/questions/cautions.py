"""Cautions that were answered before they can have been heard or read."""

from sqlalchemy import Connection, func, select

from assistant.journal.flag_finders import FASTEST_WORDS_A_MINUTE
from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.settling import WARNED
from assistant.shop.totals import totals
from assistant.shop.wanted import Wanted

_COLUMNS = (
    Column("flow", "flow"),
    Column("caution", "caution"),
    Column("given", "said", Kind.COUNT),
    Column("answered", "answered", Kind.COUNT),
    Column("fast", "too fast", Kind.COUNT),
    Column("fast_share", "share too fast", Kind.SHARE),
    Column("seconds", "mean time to the answer", Kind.SECONDS),
    Column("needed", "saying it takes", Kind.SECONDS),
)


def ask_cautions(connection: Connection, wanted: Wanted) -> Answer:
    """Count cautions answered too fast, the most first."""
    summed = totals(WARNED, wanted).c
    counts = (summed.given, summed.answered, summed.fast, summed.took_ms, summed.needed_ms)
    query = select(summed.flow, summed.caution, *(func.sum(count) for count in counts)).group_by(
        summed.flow, summed.caution
    )
    rows = []
    for flow, caution, *found in connection.execute(query):
        given, answered, fast = (int(count) for count in found[:3])
        share = fast / answered if answered else None
        means = (float(sum_) / answered / 1000 if answered else None for sum_ in found[3:])
        rows.append((flow, caution, given, answered, fast, share, *means))
    rows.sort(key=lambda row: (-row[4], row[:2]))
    return Answer(
        "cautions",
        "Cautions answered too fast",
        _COLUMNS,
        tuple(rows),
        (
            (
                f"Too fast is sooner than its words take at {FASTEST_WORDS_A_MINUTE} a minute, as"
                " the flag 'fast caution' of a review."
            ),
        ),
        Bars(("flow", "caution"), "fast", "Cautions answered too fast, the most first"),
    )
