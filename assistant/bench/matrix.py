"""The matrix of a flow: each fault on each unit, and what it all comes to."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from math import isfinite

from assistant.bench.ground import Ground
from assistant.bench.isolation import (
    Figures,
    Mark,
    ambiguity_groups,
    fault_cases,
    figures,
    healthy_cases,
    mark_walk,
    weight_of,
)
from assistant.bench.robustness import Misheard
from assistant.bench.running import Share, run_all
from assistant.bench.walking import Walked

NOISE_SEEDS, HEALTHY_SEEDS = 1, 36
"""Noisy walks of each case, and of each sound unit, where nothing else is asked."""


@dataclass(frozen=True, slots=True)
class Matrix:
    """What a flow is worth.

    Args:
        ground: flow, units and faults.
        exact: marks of the walks with exact meters.
        noisy: marks of the walks with noise.
        healthy: walks on sound units, with noise.
        misheard: what mishearing came to.
        shares: minutes against the best possible.
    """

    ground: Ground
    exact: tuple[Mark, ...]
    noisy: tuple[Mark, ...]
    healthy: tuple[Walked, ...]
    misheard: Misheard
    shares: tuple[Share, ...]

    @property
    def false_alarms(self) -> tuple[Walked, ...]:
        """Give the walks on sound units that found something, or were sent on to look for it."""
        return tuple(walked for walked in self.healthy if walked.findings or walked.sent_to)

    @property
    def minutes(self) -> tuple[float, float]:
        """Give the expected minutes to the finding, and the least possible.

        A complaint whose faults no order of the flow's tests tells apart has no least; it is left
        out of both, and stands in the record with none.
        """
        shares = [share for share in self.shares if isfinite(share.least)]
        whole = sum(share.weight for share in shares)
        if not whole:
            return 0.0, 0.0
        flow = sum(share.weight * share.minutes for share in shares) / whole
        return flow, sum(share.weight * share.least for share in shares) / whole

    @property
    def gap(self) -> float | None:
        """Give how much longer the flow takes than the best order; None where there is no best."""
        flow, least = self.minutes
        return flow / least - 1 if least else None


def measure(
    ground: Ground,
    *,
    seed: int = 0,
    noise_seeds: int = NOISE_SEEDS,
    healthy_seeds: int = HEALTHY_SEEDS,
    workers: int | None = None,
    step: Callable[[int, int], None] | None = None,
) -> Matrix:
    """Walk every covered fault on every unit, and sound units, and sum it up.

    Args:
        ground: flow, units and faults.
        seed: the first seed of the noise.
        noise_seeds: how many noisy walks each case gets.
        healthy_seeds: how many noisy walks each sound unit gets.
        workers: processes; all cores where none are given.
        step: told the progress.
    """
    exact = list(fault_cases(ground, [None]))
    seeds = range(seed, seed + noise_seeds)
    noisy = list(fault_cases(ground, list(seeds)))
    healthy = list(healthy_cases(ground, range(seed, seed + healthy_seeds)))
    studies, walked = run_all(ground, exact, [*noisy, *healthy], workers=workers, step=step)

    def marked(walks: Sequence[Walked], count: int) -> tuple[Mark, ...]:
        return tuple(mark_walk(ground, one, weight_of(ground, one.case, count)) for one in walks)

    return Matrix(
        ground=ground,
        exact=marked([one for study in studies for one in study.walked], 1),
        noisy=marked(walked[: len(noisy)], noise_seeds),
        healthy=walked[len(noisy) :],
        misheard=sum((study.misheard for study in studies), Misheard()),
        shares=tuple(share for study in studies for share in study.shares),
    )


def _share(share: Share) -> dict[str, object]:
    """Give a complaint's minutes as JSON can hold them: no least is null."""
    least = share.least if isfinite(share.least) else None
    return asdict(share) | {"least": least}


def as_record(matrix: Matrix) -> dict[str, object]:
    """Give the matrix as `rungside isolate --json` prints it."""
    ground = matrix.ground
    flow, least = matrix.minutes
    exact = None if not matrix.exact else figures(matrix.exact)
    noisy = None if not matrix.noisy else figures(matrix.noisy)
    return {
        "flow": ground.flow.id,
        "edition": ground.flow.edition,
        "units": list(ground.units),
        "faults": [name for name in ground.faults if ground.is_covered(name)],
        "not_covered": list(ground.not_covered),
        **_flat(exact),
        "without_noise": None if exact is None else asdict(exact),
        "with_noise": None if noisy is None else asdict(noisy),
        "wrong_isolation": None if exact is None else exact.wrong,
        "wrong_isolation_noise": None if noisy is None else noisy.wrong,
        "false_alarm": len(matrix.false_alarms) / len(matrix.healthy) if matrix.healthy else 0.0,
        "healthy_walks": len(matrix.healthy),
        "ambiguity_groups": [list(group) for group in ambiguity_groups(ground, matrix.exact)],
        "declared_ambiguous": [list(group) for group in ground.flow.ambiguous],
        "expected_minutes": round(flow, 4),
        "optimum_minutes": round(least, 4),
        "gap": None if matrix.gap is None else round(matrix.gap, 4),
        "optimum": [_share(share) for share in matrix.shares],
        "misheard": asdict(matrix.misheard),
        "matrix": _rows(matrix),
    }


def _flat(found: Figures | None) -> dict[str, object]:
    if found is None:
        return {}
    keys = ("detected", "isolated_to_one", "isolated_to_two", "worst_minutes")
    return {key: getattr(found, key) for key in (*keys, "expected_steps", "worst_steps")}


def _rows(matrix: Matrix) -> dict[str, dict[str, str]]:
    """Give each fault's mark on each unit: the worst of its walks."""
    rows: dict[str, dict[str, str]] = {}
    for mark in (*matrix.exact, *matrix.noisy):
        case = mark.walked.case
        row = rows.setdefault(case.fault, {})
        row[case.unit] = max(row.get(case.unit, "yes"), mark.word, key=_badness)
    return rows


def _badness(word: str) -> int:
    order = ("yes", "of", "seen", "no", "stuck", "wrong")
    return order.index(word.partition(" ")[0])


def lines(matrix: Matrix) -> Iterator[str]:
    """Give the matrix as a reader sees it."""
    ground, rows = matrix.ground, _rows(matrix)
    units = list(ground.units)
    width = max([len(name) for name in rows] or [5])
    yield f"{'':{width}}  " + "  ".join(units)
    for name in ground.faults:
        if name in rows:
            cells = (f"{rows[name].get(unit, '-'):{len(unit)}}" for unit in units)
            yield f"{name:{width}}  " + "  ".join(cells).rstrip()
    yield ""
    yield "yes: one repair is left. of 2: two are. seen: found, not named. -: not possible here."
    yield ""
    for title, marks in (("exact meters", matrix.exact), ("with noise", matrix.noisy)):
        if marks:
            yield from _figure_lines(title, figures(marks))
    yield from _summary_lines(matrix)


def _figure_lines(title: str, found: Figures) -> Iterator[str]:
    yield (
        f"{title}: {found.walks} walks, detected {found.detected:.2%}, "
        f"to one repair {found.isolated_to_one:.2%}, to two {found.isolated_to_two:.2%}, "
        f"wrong {found.wrong:.2%}"
    )
    yield (
        f"  minutes to the finding {found.expected_minutes:.1f} expected, "
        f"{found.worst_minutes:.1f} worst; steps of the walk {found.expected_steps:.0f} expected, "
        f"{found.worst_steps} worst; asked back {found.expected_asked_back:.1f} times"
    )


def _summary_lines(matrix: Matrix) -> Iterator[str]:
    ground, misheard = matrix.ground, matrix.misheard
    flow, least = matrix.minutes
    yield f"sound units: {len(matrix.healthy)} walks, {len(matrix.false_alarms)} false alarms"
    if matrix.gap is None:
        yield "best possible in the flow's own safety order: there is none to compare with"
    else:
        yield (
            f"best possible in the flow's own safety order: {least:.2f} minutes; the flow "
            f"{flow:.2f}, {matrix.gap:.1%} longer"
        )
    yield (
        f"misheard: {misheard.tried} readings, {misheard.asked_back} asked back, "
        f"{misheard.harmless} harmless, {len(misheard.slips)} ended wrong"
    )
    for slip in misheard.slips[:10]:
        yield f"  {slip.unit}, {slip.fault}, {slip.step}: {slip.shown} heard as {slip.heard}"
    for group in ambiguity_groups(ground, matrix.exact):
        yield f"cannot be told apart: {', '.join(group)}"
    for group in ground.flow.ambiguous:
        yield f"declared as not told apart: {', '.join(group)}"
    if ground.not_covered:
        yield f"not covered by this flow: {', '.join(ground.not_covered)}"
