"""Technicians to coach: for the lead's eyes, and no claim from a few sessions."""

from typing import Any

from sqlalchemy import Connection, func, select

from assistant.shop.answer import Answer, Column, Kind, listed
from assistant.shop.intervals import shared_deviations, wilson
from assistant.shop.tables import SESSIONS
from assistant.shop.wanted import Wanted

FEWEST = 20
"""Of a technician with fewer sessions nothing is said: common practice, no source."""

_COUNTED = (
    ("fast_cautions", "cautions", "cautions answered too fast"),
    ("asked_back", "answers", "answers asked back"),
    ("not_taken", "turns", "words that were no answer"),
    ("helped", "turns", "help wanted"),
    ("skipped", "answers", "steps skipped"),
    ("blocked", "turns", "steps wanted before they were safe"),
    ("scratched", "answers", "answers taken back"),
)
"""What is counted, out of what, and in words."""


def ask_coach(connection: Connection, wanted: Wanted) -> Answer:
    """Compare technicians with the shop as a whole, those with most to talk about first."""
    names = sorted({name for pair in _COUNTED for name in pair[:2]})
    query = (
        select(
            SESSIONS.c.technician,
            func.count(),
            *(func.sum(SESSIONS.c[name]).label(name) for name in names),
        )
        .where(SESSIONS.c.technician != "", *wanted.conditions())
        .group_by(SESSIONS.c.technician)
    )
    found = [
        (name, count, dict(zip(names, map(int, sums), strict=True)))
        for name, count, *sums in connection.execute(query)
    ]
    shop = {name: sum(sums[name] for _, _, sums in found) for name in names}
    enough = [one for one in found if one[1] >= FEWEST]
    deviations = shared_deviations(len(enough) * len(_COUNTED))
    rows = [_row(name, count, sums, shop, deviations) for name, count, sums in enough]
    rows.sort(key=lambda row: (-row[-2], row[0]))
    left = len(found) - len(enough)
    return Answer("coach", "Technicians to coach", _COLUMNS, tuple(rows), _notes(left))


_COLUMNS = (
    Column("technician", "technician"),
    Column("sessions", "sessions", Kind.COUNT),
    *(Column(hits, words, Kind.SHARE) for hits, _, words in _COUNTED),
    Column("points", "points to talk about", Kind.COUNT),
    Column("about", "about"),
)


def _row(
    name: str, count: int, sums: dict[str, int], shop: dict[str, int], deviations: float
) -> tuple[Any, ...]:
    """Give a technician's shares, and those that are surely above the shop's."""
    shares = [sums[hits] / sums[out_of] if sums[out_of] else None for hits, out_of, _ in _COUNTED]
    above = [
        words
        for hits, out_of, words in _COUNTED
        if shop[out_of]
        and wilson(sums[hits], sums[out_of], deviations)[0] > shop[hits] / shop[out_of]
    ]
    return (name, count, *shares, len(above), listed(above))


def _notes(left: int) -> tuple[str, ...]:
    return (
        (
            "A share is a point to talk about only where it is surely above the shop's own (95 %"
            " over all comparisons together, Wilson and Bonferroni)."
        ),
        "It says where to look, not who is careless: units, meters and microphones differ.",
        f"Technicians with fewer than {FEWEST} sessions are left out: {left}.",
    )
