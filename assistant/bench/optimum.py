"""The least expected minutes to a finding: exact, by branch and bound over what may still be wrong.

A state is the faults still possible, the state of power, and what was already taken. A trial costs
its minutes and parts the faults by its result. A fault is found when only faults of its finding are
left and the finding's own evidence was taken. Two lower bounds hold a branch back: the evidence
each fault still needs, and the Huffman code of the findings, each letter the cheapest trial.

Source: test sequencing by AND/OR search with Huffman bounds, literature of automatic test
planning; the evidence bound is ours.
"""

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations

Moves = Mapping[tuple[str, str], float]
"""Minutes from one state of power to another, where the flow allows the way."""
NEVER = float("inf")


@dataclass(frozen=True, slots=True)
class Trial:
    """Something that can be taken.

    Args:
        name: the step.
        minutes: what it takes.
        modes: states of power it can be taken in.
        results: what it shows for each fault, by the fault's place.
        before: trials that must be taken first, as bits.
    """

    name: str
    minutes: float
    modes: frozenset[str]
    results: tuple[str, ...]
    before: int = 0


@dataclass(frozen=True, slots=True)
class Search:
    """What is to be found, with what.

    Args:
        weights: of each fault.
        findings: which finding each fault ends in.
        evidence: trials that the finding of each fault rests on, as bits.
        trials: all that can be taken.
        moves: minutes between states of power.
        start: the state of power at the beginning.
        taken: trials taken before, as bits.
    """

    weights: tuple[float, ...]
    findings: tuple[str, ...]
    evidence: tuple[int, ...]
    trials: tuple[Trial, ...]
    moves: Moves
    start: str
    taken: int = 0


def least_minutes(search: Search) -> float:
    """Give the least expected minutes to a finding, over all faults by their weights.

    Args:
        search: at least one fault.
    """
    whole = sum(search.weights)
    everything = (1 << len(search.weights)) - 1
    return _Solver(search).least(everything, search.start, search.taken) / whole


def huffman_minutes(weights: Sequence[float], ways: int, minutes: float) -> float:
    """Give the least weighted minutes to tell findings apart, each trial having some results.

    Args:
        weights: of the findings.
        ways: most results a trial has, at least 2.
        minutes: the cheapest trial.
    """
    heap = list(weights)
    while len(heap) > 1 and (len(heap) - 1) % (ways - 1):
        heap.append(0.0)
    heapq.heapify(heap)
    total = 0.0
    while len(heap) > 1:
        joined = sum(heapq.heappop(heap) for _ in range(ways))
        total += joined
        heapq.heappush(heap, joined)
    return total * minutes


@dataclass(frozen=True, slots=True)
class _Taking:
    """A trial with all that must be taken before it, at once."""

    cost: float
    mode: str
    taken: int
    parts: tuple[int, ...]


class _Solver:
    """One search being solved; each state once."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.known: dict[tuple[int, str, int], float] = {}
        self.bounds: dict[tuple[int, str, int], float] = {}
        modes = {mode for trial in search.trials for mode in trial.modes} | {search.start}
        self.way = shortest_ways(search.moves, modes)
        self.masks = [result_masks(trial.results) for trial in search.trials]
        self.weights: dict[int, float] = {}
        self.mattering: dict[int, int] = {}
        self.closures = [self._closure(number) for number in range(len(search.trials))]
        self.carried = self._carried()

    def _closure(self, number: int) -> int:
        """Give a trial with all that must come before it, as bits."""
        found, ahead = 0, 1 << number
        while ahead & ~found:
            new = ahead & ~found
            found |= new
            for one in _bits(new):
                ahead |= self.search.trials[one].before
        return found

    def _carried(self) -> int:
        """Give the trials that another one needs and that cannot be taken where it is: as bits."""
        trials, bits = self.search.trials, 0
        for number, closure in enumerate(self.closures):
            for one in _bits(closure):
                if not trials[one].modes & trials[number].modes:
                    bits |= 1 << one
        return bits

    def least(self, faults: int, mode: str, taken: int) -> float:
        """Give the least weighted minutes from a state on."""
        taken &= self._matters(faults)
        key = (faults, mode, taken)
        if key not in self.known:
            self.known[key] = self._least(faults, mode, taken)
        return self.known[key]

    def _matters(self, faults: int) -> int:
        """Give the trials that can still save something once taken."""
        if faults in self.mattering:
            return self.mattering[faults]
        bits = 0
        for fault in _bits(faults):
            bits |= self.search.evidence[fault]
        for number in range(len(self.search.trials)):
            if self._parts(number, faults) > 1:
                bits |= 1 << number
        for number in _bits(bits):
            bits |= self.closures[number]
        self.mattering[faults] = bits
        return bits

    def _parts(self, number: int, faults: int) -> int:
        return sum(1 for mask in self.masks[number] if mask & faults)

    def _least(self, faults: int, mode: str, taken: int) -> float:
        members = list(_bits(faults))
        if len({self.search.findings[fault] for fault in members}) == 1:
            return self._proof(members, mode, taken)
        best = NEVER
        for floor, taking in sorted(
            self._takings(faults, mode, taken), key=lambda pair: (pair[0], pair[1].cost)
        ):
            if floor >= best:
                break
            best = min(best, self._through(taking, faults, best))
        return best

    def _through(self, taking: _Taking, faults: int, best: float) -> float:
        """Give the minutes of a branch, or `best` as soon as it cannot be better."""
        total = taking.cost * self._weight(faults)
        floors = [self.bound(part, taking.mode, taking.taken) for part in taking.parts]
        rest = sum(floors)
        for part, floor in zip(taking.parts, floors, strict=True):
            if total + rest >= best:
                return best
            rest -= floor
            total += self.least(part, taking.mode, taking.taken)
        return total

    def _weight(self, faults: int) -> float:
        if faults not in self.weights:
            self.weights[faults] = sum(self.search.weights[fault] for fault in _bits(faults))
        return self.weights[faults]

    def _takings(self, faults: int, mode: str, taken: int) -> Iterator[tuple[float, _Taking]]:
        """Give what can be taken and parts the faults, each with the least it can lead to."""
        weight = self._weight(faults)
        for number in range(len(self.search.trials)):
            if taken >> number & 1:
                continue
            for taking in self._ways(number, faults, mode, taken):
                floor = taking.cost * weight + sum(
                    self.bound(part, taking.mode, taking.taken) for part in taking.parts
                )
                yield floor, taking

    def _ways(self, number: int, faults: int, mode: str, taken: int) -> Iterator[_Taking]:
        """Give a trial in each state of power it can be taken in."""
        trials = self.search.trials
        missing = self.closures[number] & ~taken
        parts = self._split(missing, faults)
        is_carried = self.carried & self._matters(faults) & ~taken
        if len(parts) == 1 and not is_carried >> number & 1:
            return
        minutes = sum(trials[one].minutes for one in _bits(missing))
        modes = frozenset.intersection(*(trials[one].modes for one in _bits(missing)))
        for target in sorted(modes):
            move = self.way.get((mode, target), NEVER)
            if move < NEVER:
                yield _Taking(move + minutes, target, taken | missing, parts)

    def _split(self, taken: int, faults: int) -> tuple[int, ...]:
        """Part the faults by the results of some trials together."""
        parts = [faults]
        for number in _bits(taken):
            masks = self.masks[number]
            if len(masks) > 1:
                parts = [part & mask for part in parts for mask in masks if part & mask]
        return tuple(parts)

    def _proof(self, members: list[int], mode: str, taken: int) -> float:
        """Give the weighted minutes to take what the finding of these faults still rests on."""
        return sum(
            self.search.weights[fault] * self._proving(fault, mode, taken) for fault in members
        )

    def _proving(self, fault: int, mode: str, taken: int) -> float:
        missing = self._needed(fault) & ~taken
        minutes = sum(self.search.trials[number].minutes for number in _bits(missing))
        return minutes + self._travel(missing, mode)

    def _needed(self, fault: int) -> int:
        bits = 0
        for number in _bits(self.search.evidence[fault]):
            bits |= self.closures[number]
        return bits

    def _travel(self, missing: int, mode: str) -> float:
        """Give the least minutes on the way through the states of power that trials need."""
        wanted = {self.search.trials[number].modes for number in _bits(missing)}
        wanted = {modes for modes in wanted if mode not in modes}
        if not wanted:
            return 0.0
        stops = sorted({target for modes in wanted for target in modes})
        least = NEVER
        for count in range(1, len(stops) + 1):
            for order in permutations(stops, count):
                if all(modes & set(order) for modes in wanted):
                    legs = pairwise((mode, *order))
                    least = min(least, sum(self.way.get(leg, NEVER) for leg in legs))
        return least

    def bound(self, faults: int, mode: str, taken: int) -> float:
        """Give weighted minutes that no order of trials can be under."""
        key = (faults, mode, taken)
        if key not in self.bounds:
            members = list(_bits(faults))
            evidence = self._proof(members, mode, taken)
            self.bounds[key] = max(evidence, self._coded(members, faults, taken))
        return self.bounds[key]

    def _coded(self, members: list[int], faults: int, taken: int) -> float:
        """Give the Huffman bound of telling the findings apart."""
        by_finding: dict[str, float] = {}
        for fault in members:
            name = self.search.findings[fault]
            by_finding[name] = by_finding.get(name, 0.0) + self.search.weights[fault]
        if len(by_finding) == 1:
            return 0.0
        open_trials = [
            (trial.minutes, parts)
            for number, trial in enumerate(self.search.trials)
            if not taken >> number & 1 and (parts := self._parts(number, faults)) > 1
        ]
        if not open_trials:
            return NEVER
        ways = max(parts for _, parts in open_trials)
        return huffman_minutes(
            list(by_finding.values()), ways, min(minutes for minutes, _ in open_trials)
        )


def shortest_ways(moves: Moves, modes: set[str]) -> dict[tuple[str, str], float]:
    """Give the least minutes between every two states of power, by way of others if need be."""
    names = sorted(modes | {mode for pair in moves for mode in pair})
    least = {(a, b): 0.0 if a == b else moves.get((a, b), NEVER) for a in names for b in names}
    for through in names:
        for a in names:
            for b in names:
                way = least[a, through] + least[through, b]
                least[a, b] = min(least[a, b], way)
    return least


def result_masks(results: Sequence[str]) -> tuple[int, ...]:
    """Give the faults that show each result of a trial, as bits."""
    masks: dict[str, int] = {}
    for fault, result in enumerate(results):
        masks[result] = masks.get(result, 0) | 1 << fault
    return tuple(masks.values())


def _bits(mask: int) -> Iterator[int]:
    """Give the places of the bits that are set."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low
