"""Walking many cases on all cores: the same cases give the same marks in the same order."""

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import groupby
from multiprocessing import get_context
from typing import Any, TypeAlias

from assistant.bench.errors import BenchError
from assistant.bench.ground import Ground
from assistant.bench.optimum import least_minutes
from assistant.bench.robustness import Misheard, Mishearing
from assistant.bench.technician import Technician
from assistant.bench.trials import Table, Trace, Tracer, own_order
from assistant.bench.walking import Case, Walked, walk_case
from assistant.walk.state import State
from assistant.walk.walk import Result, Walk

Step = Callable[[int, int], None]
"""Is told how many pieces of work are done, of how many."""
_Hands: TypeAlias = Callable[[Callable[[Any], Any], Sequence[Any]], Iterator[Any]]
PIECE = 40
"""Cases that go to a worker at once."""


@dataclass(frozen=True, slots=True)
class Share:
    """What the walks of one complaint on one unit cost, and could have cost.

    Args:
        unit: the unit.
        complaint: what the customer says.
        weight: of its faults together.
        minutes: expected to the finding, as the flow walks.
        least: the same in the best order.
    """

    unit: str
    complaint: str
    weight: float
    minutes: float
    least: float


@dataclass(frozen=True, slots=True)
class Studied:
    """What one unit with exact meters came to.

    Args:
        walked: its walks.
        misheard: what mishearing came to.
        shares: minutes against the best possible, a complaint each.
    """

    walked: tuple[Walked, ...]
    misheard: Misheard
    shares: tuple[Share, ...]


class Runner:
    """Walks cases in this process.

    Args:
        ground: flow, units and faults.
    """

    def __init__(self, ground: Ground) -> None:
        self.ground, self.walk = ground, Walk(ground.flow)

    def run(self, cases: Sequence[Case]) -> tuple[Walked, ...]:
        """Walk cases one after another."""
        ground = self.ground
        return tuple(
            walk_case(self.walk, ground.units[case.unit], case, ground.catalogue) for case in cases
        )

    def trace(self, cases: Sequence[Case]) -> list[Trace]:
        """Walk one unit's cases up to their first right findings; leave out what is not found."""
        traces = []
        for case in cases:
            tracer, unit = Tracer(self.ground, case), self.ground.units[case.unit]
            walk_case(self.walk, unit, case, self.ground.catalogue, tracer.watch)
            if tracer.trace is not None:
                traces.append(tracer.trace)
        return traces

    def study(self, cases: Sequence[Case]) -> Studied:
        """Walk one unit's cases with exact meters; mishear each reading; find the best order."""
        mishearing = Mishearing(self.ground, self.walk)
        walked, misheard, traces = [], Misheard(), []
        for case in cases:
            tracer, heard = Tracer(self.ground, case), [misheard]

            def watch(
                state: State,
                technician: Technician,
                result: Result,
                case: Case = case,
                tracer: Tracer = tracer,
                heard: list[Misheard] = heard,
            ) -> None:
                tracer.watch(state, technician, result)
                heard[0] += mishearing.listen(case, state, technician, result)

            unit = self.ground.units[case.unit]
            walked.append(walk_case(self.walk, unit, case, self.ground.catalogue, watch))
            misheard = heard[0]
            if tracer.trace is not None:
                traces.append(tracer.trace)
        return Studied(tuple(walked), misheard, tuple(shares(self.ground, traces)))


def shares(ground: Ground, traces: Sequence[Trace], only: str | None = None) -> Iterator[Share]:
    """Give the flow's minutes against the best order, for each complaint on one unit.

    Args:
        ground: flow and faults.
        traces: walks on that unit up to their findings.
        only: the one complaint that is asked for.
    """
    if not traces:
        return
    order = own_order(ground.flow, traces)
    begun = sum(float(ground.flow.steps[name].minutes) for name in order.beginning)

    def complaint(trace: Trace) -> str:
        return trace.case.complaint

    for said, group in groupby(sorted(traces, key=complaint), key=complaint):
        members = tuple(group)
        if only not in {None, said}:
            continue
        search = Table(ground, members, order).search()
        weight = sum(search.weights)
        pairs = zip(members, search.weights, strict=True)
        yield Share(
            unit=members[0].case.unit,
            complaint=said,
            weight=weight,
            minutes=sum(part * trace.minutes for trace, part in pairs) / weight,
            least=begun + least_minutes(search),
        )


_runner: list[Runner] = []
"""The worker's own runner, made once a process."""


def _begin(ground: Ground) -> None:
    _runner[:] = [Runner(ground)]


def _begin_worker(ground: Ground) -> None:
    """Begin a worker; an interrupt ends it without a word, the parent has the word."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    _begin(ground)


def _run(cases: Sequence[Case]) -> tuple[Walked, ...]:
    return _runner[0].run(cases)


def _study(cases: Sequence[Case]) -> Studied:
    return _runner[0].study(cases)


def run_all(
    ground: Ground,
    exact: Sequence[Case],
    noisy: Sequence[Case],
    *,
    workers: int | None = None,
    step: Step | None = None,
) -> tuple[tuple[Studied, ...], tuple[Walked, ...]]:
    """Study each unit with exact meters and walk the noisy cases, on all cores.

    Args:
        ground: flow, units and faults.
        exact: cases with exact meters, unit after unit.
        noisy: cases with noise.
        workers: processes; all cores where none are given; 1 stays in this process.
        step: told the progress.

    Returns:
        One study a unit, and the noisy walks in the order of their cases.
    """
    units = [tuple(group) for _, group in groupby(exact, key=lambda case: case.unit)]
    pieces = [tuple(noisy[at : at + PIECE]) for at in range(0, len(noisy), PIECE)]
    whole, tell = len(units) + len(pieces), step or _quiet
    studied: list[Studied] = []
    walked: list[Walked] = []
    with _hands(ground, workers or cores()) as hands:
        studies, runs = hands(_study, units), hands(_run, pieces)
        for done, study in enumerate(studies, 1):
            studied.append(study)
            tell(done, whole)
        for done, walks in enumerate(runs, len(units) + 1):
            walked.extend(walks)
            tell(done, whole)
    return tuple(studied), tuple(walked)


def cores() -> int:
    """Give how many cores this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed is not None else os.cpu_count() or 1


@contextmanager
def _hands(ground: Ground, workers: int) -> Iterator[_Hands]:
    """Give what does pieces of work in order: this process, or several that end with it."""
    if workers == 1:
        _begin(ground)
        yield map
        return
    context = get_context("spawn")
    with ProcessPoolExecutor(workers, context, _begin_worker, (ground,)) as pool:
        try:
            yield pool.map
        except BrokenProcessPool as error:
            raise BenchError(
                "A process that walks cases was ended from outside.", "Try it again."
            ) from error
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _quiet(done: int, whole: int) -> None:
    del done, whole
