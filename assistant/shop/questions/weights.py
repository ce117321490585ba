"""Which weights of the bench's catalogue of faults differ from what the shop sees.

A finding may name several faults that it cannot tell apart, so faults that some finding names
together are held against the shop as one group; a group's weight is that of its faults together.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.intervals import shared_deviations, wilson
from assistant.shop.tables import FINDINGS, SESSIONS, WEIGHTS
from assistant.shop.wanted import Wanted

FEWEST_EXPECTED = 5
"""Where fewer are expected, nothing is claimed.

Source: W. G. Cochran, "Some methods for strengthening the common chi-square tests", Biometrics 10
(1954) 417-451 (from memory).
"""
MORE, LESS = "seen more often", "seen less often"
SAME, FEW = "no difference shown", "too few to say"


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault of the catalogue: its kind of unit, what it is called, how often it is met."""

    kind: str
    words: str
    weight: float


def ask_weights(connection: Connection, wanted: Wanted) -> Answer:
    """Hold the catalogue's weights against the findings, what differs first."""
    faults = {
        row.fault: Fault(row.kind, row.words, float(row.weight))
        for row in connection.execute(select(WEIGHTS))
    }
    seen = _seen(connection, wanted, faults)
    groups = _groups(seen, faults)
    by_kind: defaultdict[str, list[tuple[str, ...]]] = defaultdict(list)
    for group in groups:
        by_kind[faults[group[0]].kind].append(group)
    rows = [row for kind in sorted(by_kind) for row in _rows(kind, by_kind[kind], seen, faults)]
    rows.sort(key=lambda row: ((MORE, LESS, SAME, FEW).index(row[-1]), row[0], -row[3]))
    return Answer(
        "weights",
        "Fault weights against what the shop sees",
        _COLUMNS,
        tuple(rows),
        _NOTES,
        Bars(
            ("kind", "faults"),
            "seen_share",
            "Share of the findings of a kind of unit",
            mark="weighed_share",
        ),
    )


_COLUMNS = (
    Column("kind", "kind of unit"),
    Column("faults", "faults"),
    Column("words", "in words"),
    Column("seen", "found", Kind.COUNT),
    Column("of", "of findings", Kind.COUNT),
    Column("seen_share", "share", Kind.SHARE),
    Column("least", "at least", Kind.SHARE),
    Column("most", "at most", Kind.SHARE),
    Column("weighed_share", "by its weight", Kind.SHARE),
    Column("says", "what it says"),
)
_NOTES = (
    (
        "The interval is that of Wilson at 95 % over all comparisons of a kind of unit together"
        " (Bonferroni); a group differs where its share by weight lies outside."
    ),
    (
        f"Where the weights let expect fewer than {FEWEST_EXPECTED} findings and fewer were found,"
        " nothing is claimed (the rule of W. G. Cochran, 1954, for counted shares)."
    ),
    (
        "The shop finds what its flows cover and what it is called for, so a difference may lie"
        " there and not in the weight; a group that no finding ever named is not compared."
    ),
)


def _seen(
    connection: Connection, wanted: Wanted, faults: Mapping[str, Fault]
) -> Counter[tuple[str, ...]]:
    """Count findings by the faults that they name and the catalogue knows."""
    query = (
        select(FINDINGS.c.faults, func.count())
        .select_from(FINDINGS.join(SESSIONS, SESSIONS.c.session == FINDINGS.c.session))
        .where(FINDINGS.c.faults != "", *wanted.conditions())
        .group_by(FINDINGS.c.faults)
    )
    seen: Counter[tuple[str, ...]] = Counter()
    for joined, count in connection.execute(query):
        known = tuple(name for name in str(joined).split("+") if name in faults)
        for kind in {faults[name].kind for name in known}:
            seen[tuple(name for name in known if faults[name].kind == kind)] += count
    return seen


def _groups(seen: Iterable[Sequence[str]], faults: Mapping[str, Fault]) -> list[tuple[str, ...]]:
    """Put faults together that some finding names together; each group in the catalogue's order."""
    root: dict[str, str] = {}

    def find(name: str) -> str:
        while root.setdefault(name, name) != name:
            name = root[name]
        return name

    for named in seen:
        for name in named:
            root[find(name)] = find(named[0])
    members: defaultdict[str, list[str]] = defaultdict(list)
    for name in faults:
        if name in root:
            members[find(name)].append(name)
    return [tuple(names) for names in members.values()]


def _rows(
    kind: str,
    groups: Sequence[tuple[str, ...]],
    seen: Mapping[tuple[str, ...], int],
    faults: Mapping[str, Fault],
) -> list[tuple[Any, ...]]:
    counts = [sum(count for named, count in seen.items() if named[0] in group) for group in groups]
    weights = [sum(faults[name].weight for name in group) for group in groups]
    of, whole = sum(counts), sum(weights)
    deviations = shared_deviations(len(groups))
    rows = []
    for group, count, weight in zip(groups, counts, weights, strict=True):
        least, most = wilson(count, of, deviations)
        share = weight / whole
        words = "; ".join(faults[name].words for name in group)
        says = _says(count, of, share, (least, most))
        rows.append((kind, "+".join(group), words, count, of, count / of, least, most, share, says))
    return rows


def _says(count: int, of: int, share: float, interval: tuple[float, float]) -> str:
    if share * of < FEWEST_EXPECTED and count < FEWEST_EXPECTED:
        return FEW
    least, most = interval
    if share < least:
        return MORE
    return LESS if share > most else SAME
