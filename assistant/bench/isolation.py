"""How well a flow finds faults: each walk judged against what was really wrong."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from assistant.bench.faults import HEALTHY
from assistant.bench.ground import Ground
from assistant.bench.walking import STUCK, Case, Walked


@dataclass(frozen=True, slots=True)
class Mark:
    """What a walk is worth.

    Args:
        walked: the walk.
        weight: how often it is met, next to the others.
        left: repairs that the first right finding leaves open; 0: no finding named the fault. A
            walk that is sent on to the flow that finds the fault counts as one.
        minutes: until that finding, or of the whole walk where there was none.
        steps: interactive steps of the whole walk.
        is_detected: any finding was made.
        is_wrong: a finding named a repair that does not belong to what was wrong, or the walk was
            sent on to a flow that does not find it.
    """

    walked: Walked
    weight: float
    left: int
    minutes: float
    steps: int
    is_detected: bool
    is_wrong: bool

    @property
    def word(self) -> str:
        """Give the mark in one word, as the matrix prints it."""
        if self.is_wrong:
            return "wrong"
        if self.walked.outcome == STUCK:
            return STUCK
        if self.left:
            return "yes" if self.left == 1 else f"of {self.left}"
        return "seen" if self.is_detected else "no"


def mark_walk(ground: Ground, walked: Walked, weight: float) -> Mark:
    """Judge a walk by what was wrong with the unit.

    Args:
        ground: the flow and the catalogue.
        walked: the walk.
        weight: how often its case is met.
    """
    fault, flow = walked.case.fault, walked.sent_to
    wanted = ground.repairs(fault)
    named = [ground.groups(finding) for finding in walked.findings]
    right = [at for at, groups in enumerate(named) if groups & wanted]
    first = right[0] if right else None
    is_sent = first is None and bool(flow)
    is_sent_right = is_sent and ground.is_sent_right(fault, flow)
    return Mark(
        walked=walked,
        weight=weight,
        left=int(is_sent_right) if first is None else len(named[first]),
        minutes=walked.minutes if first is None else walked.found_at[first],
        steps=len(walked.steps),
        is_detected=bool(walked.findings) or is_sent_right,
        is_wrong=any(groups and not groups & wanted for groups in named)
        or (is_sent and not is_sent_right),
    )


def complaints_of(ground: Ground, fault: str) -> tuple[str, ...]:
    """Give what may be said of a fault and the flow takes as an answer."""
    said = [one for part in ground.catalogue.parts(fault) for one in part.complaints]
    known = [one for one in dict.fromkeys(said) if one in ground.flow.complaints]
    return tuple(known or dict.fromkeys(said))


def fault_cases(
    ground: Ground, seeds: Sequence[int | None], faults: Iterable[str] | None = None
) -> Iterator[Case]:
    """Give each fault on each unit it is possible on, by each complaint and seed.

    Args:
        ground: units and faults.
        seeds: of the meters' noise; None: exact meters.
        faults: the faults; those that the flow covers where none are given.
    """
    chosen = [f for f in ground.faults if ground.is_covered(f)] if faults is None else list(faults)
    for unit in ground.units:
        for fault in chosen:
            if ground.fits(unit, fault):
                for complaint in complaints_of(ground, fault):
                    yield from (Case(unit, fault, complaint, seed) for seed in seeds)


def healthy_cases(ground: Ground, seeds: Iterable[int]) -> Iterator[Case]:
    """Give sound units, each complaint in turn; every other customer says once: still there."""
    complaints = ground.flow.complaints
    for unit in ground.units:
        for seed in seeds:
            complaint = complaints[seed % len(complaints)]
            is_insistent = seed // len(complaints) % 2 == 0
            yield Case(unit, HEALTHY, complaint, seed, is_insistent)


def weight_of(ground: Ground, case: Case, seeds: int) -> float:
    """Give how often a case is met: the fault's weight, shared by its complaints and seeds."""
    return ground.catalogue.weight(case.fault) / len(complaints_of(ground, case.fault)) / seeds


@dataclass(frozen=True, slots=True)
class Figures:
    """What many walks come to; shares are weighted by how often each fault is met.

    Args:
        walks: how many.
        detected: share with any finding.
        isolated_to_one: share whose first right finding leaves one repair.
        isolated_to_two: share whose first right finding leaves at most two.
        wrong: share with a wrong finding.
        expected_minutes: to the finding, weighted.
        expected_steps: of the whole walk, weighted.
        worst_minutes: to the finding.
        worst_steps: of the whole walk.
        expected_asked_back: answers asked back, weighted.
    """

    walks: int
    detected: float
    isolated_to_one: float
    isolated_to_two: float
    wrong: float
    expected_minutes: float
    expected_steps: float
    worst_minutes: float
    worst_steps: int
    expected_asked_back: float


def figures(marks: Sequence[Mark]) -> Figures:
    """Sum marks up.

    Args:
        marks: at least one.
    """
    whole = sum(mark.weight for mark in marks)

    def share(values: Iterable[float]) -> float:
        pairs = zip(marks, values, strict=True)
        return round(sum(mark.weight * value for mark, value in pairs) / whole, 6)

    return Figures(
        walks=len(marks),
        detected=share(mark.is_detected for mark in marks),
        isolated_to_one=share(mark.left == 1 and not mark.is_wrong for mark in marks),
        isolated_to_two=share(mark.left in {1, 2} and not mark.is_wrong for mark in marks),
        wrong=share(mark.is_wrong for mark in marks),
        expected_minutes=share(mark.minutes for mark in marks),
        expected_steps=share(mark.steps for mark in marks),
        worst_minutes=round(max(mark.minutes for mark in marks), 6),
        worst_steps=max(mark.steps for mark in marks),
        expected_asked_back=share(mark.walked.asked_back for mark in marks),
    )


def ambiguity_groups(ground: Ground, marks: Iterable[Mark]) -> tuple[tuple[str, ...], ...]:
    """Give the faults that end in the same finding though other work puts them right.

    Returns:
        Each group once, its faults in the catalogue's order.
    """
    by_finding: dict[str, set[str]] = {}
    for mark in marks:
        for finding in mark.walked.findings:
            if ground.groups(finding):
                by_finding.setdefault(finding, set()).add(mark.walked.case.fault)
    groups = [
        tuple(name for name in ground.faults if name in faults)
        for faults in by_finding.values()
        if len({repair for name in faults for repair in ground.repairs(name)}) > 1
    ]
    return tuple(dict.fromkeys(groups))
