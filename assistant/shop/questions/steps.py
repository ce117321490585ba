"""Steps: where people hesitate or are asked back, and how long they take."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from sqlalchemy import Connection, func, select

from assistant.shop.answer import Answer, Bars, Column, Kind
from assistant.shop.intervals import wilson
from assistant.shop.keys import pace_seconds
from assistant.shop.settling import STEPS
from assistant.shop.tables import ESTIMATES
from assistant.shop.totals import totals
from assistant.shop.wanted import Wanted

FEWEST = 20
"""Of so few stays nothing is said: common practice, no source."""
_FLOW, _STEP = Column("flow", "flow"), Column("step", "step")


def ask_hesitation(connection: Connection, wanted: Wanted) -> Answer:
    """Count stays at steps with trouble; first where trouble is surest to be frequent."""
    summed = totals(STEPS, wanted).c
    counts = (summed.visits, summed.troubled, summed.asked_back, summed.not_taken)
    query = select(
        *(summed.flow, summed.step),
        *(func.sum(count) for count in (*counts, summed.silences, summed.helped)),
    ).group_by(summed.flow, summed.step)
    rows = []
    for flow, step, *found in connection.execute(query):
        visits, troubled, *kinds = (int(count) for count in found)
        if troubled:
            surely = wilson(troubled, visits)[0]
            rows.append((flow, step, visits, troubled, troubled / visits, surely, *kinds))
    rows.sort(key=lambda row: (-row[5], row[:2]))
    return Answer(
        "hesitation",
        "Steps where people hesitate or are asked back",
        _HESITATION,
        tuple(rows),
        (
            (
                "A stay at a step has trouble when nothing was heard, what was heard was no answer,"
                " a number was asked back, or help, the reason or the words again were wanted."
            ),
            (
                "The order is that of the least share the count stands for (95 %, Wilson), so that"
                " a step seldom walked does not stand first by chance."
            ),
        ),
        Bars(("flow", "step"), "share", "Share of stays with trouble, the surest first"),
    )


_HESITATION = (
    _FLOW,
    _STEP,
    Column("visits", "stays", Kind.COUNT),
    Column("troubled", "with trouble", Kind.COUNT),
    Column("share", "share", Kind.SHARE),
    Column("least_share", "at least", Kind.SHARE),
    Column("asked_back", "asked back", Kind.COUNT),
    Column("not_taken", "no answer", Kind.COUNT),
    Column("silences", "nothing heard", Kind.COUNT),
    Column("helped", "help wanted", Kind.COUNT),
)


def ask_times(connection: Connection, wanted: Wanted) -> Answer:
    """Hold the time that steps take against the flows' estimates, the most time lost first."""
    summed = totals(STEPS, wanted).c
    query = (
        select(
            summed.flow, summed.step, summed.pace, func.sum(summed.timed), func.sum(summed.took_ms)
        )
        .where(summed.timed > 0)
        .group_by(summed.flow, summed.step, summed.pace)
    )
    classes: defaultdict[tuple[str, str], list[tuple[int, int, float]]] = defaultdict(list)
    for flow, step, pace, count, took in connection.execute(query):
        classes[flow, step].append((int(pace), int(count), int(took) / 1000))
    estimates = _estimates(connection)
    rows = [
        _time_row(flow, step, found, estimates.get((flow, step)))
        for (flow, step), found in classes.items()
    ]
    rows = [row for row in rows if row[2] >= FEWEST]
    rows.sort(key=lambda row: (-row[7], row[:2]))
    return Answer(
        "times",
        "Time per step against the flow's estimates",
        _TIMES,
        tuple(rows),
        (
            (
                "A stay lasts from what was heard before it to the answer that led on, cautions and"
                " questions back among it; stays on hold or broken off are left out, and steps with"
                f" fewer than {FEWEST} stays."
            ),
            "The median is that of classes of time a quarter of an octave wide, so within 9 %.",
            "The estimate is what the shipped flow of now says; '-' where it has no such step.",
        ),
        Bars(
            ("flow", "step"),
            "median",
            "Median time of the steps that lose most",
            mark="estimate",
        ),
    )


_TIMES = (
    _FLOW,
    _STEP,
    Column("timed", "stays", Kind.COUNT),
    Column("mean", "mean", Kind.SECONDS),
    Column("median", "median", Kind.SECONDS),
    Column("estimate", "estimate", Kind.SECONDS),
    Column("ratio", "median over estimate", Kind.FIGURE),
    Column("lost", "lost in all", Kind.SECONDS),
)


def _estimates(connection: Connection) -> Mapping[tuple[str, str], float]:
    rows = connection.execute(select(ESTIMATES.c.flow, ESTIMATES.c.step, ESTIMATES.c.seconds))
    return {(flow, step): float(seconds) for flow, step, seconds in rows}


def _time_row(
    flow: str, step: str, classes: Iterable[tuple[int, int, float]], estimate: float | None
) -> tuple[str, str, int, float, float, float | None, float | None, float]:
    ordered = sorted(classes)
    count = sum(number for _, number, _ in ordered)
    mean = sum(seconds for *_, seconds in ordered) / count
    median = pace_seconds(_middle(ordered, count))
    ratio = median / estimate if estimate else None
    lost = max(0.0, (mean - estimate) * count) if estimate is not None else 0.0
    return (flow, step, count, mean, median, estimate, ratio, lost)


def _middle(ordered: Iterable[tuple[int, int, float]], count: int) -> int:
    """Give the class that the middle one of all stays is in."""
    before, last = 0, 0
    for pace, number, _ in ordered:
        before, last = before + number, pace
        if 2 * before >= count:
            break
    return last
