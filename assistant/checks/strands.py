"""The order in which a flow is drawn: strands of steps, straight down, side branches to the right.

A flow goes round, joins and branches; read as one long list it loses the reader. So it is cut into
strands. A strand goes straight down along the way on that is usual; short side branches stand to
the right of the step they leave, and the way that many steps lead to begins a strand of its own.
Steps of an include are strands of their own, behind the strand that goes in.
"""

from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass, field

from assistant.checks.owners import owners
from assistant.flow.linked import Flow, GateStep
from assistant.flow.model import DecideStep, FindStep, NumberStep, WorkOutStep

COLUMNS = 3
"""How many steps can stand beside each other in one strand."""
_LARGEST_SIDE = 7
"""A side branch of more steps than this is a strand of its own."""
_FINDING_HUB = 8
"""A finding that this many steps make is a strand of its own; others stand beside their first."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a step stands in its strand.

    Args:
        step: the step.
        column: counted from 0.
        under: the step it stands under, as its usual way on; empty at the top of a chain.
        beside: the step it stands to the right of, as its side branch; empty elsewhere.
    """

    step: str
    column: int
    under: str = ""
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Strand:
    """Steps that are drawn together.

    Args:
        group: the include they belong to; empty for the flow's own.
        spots: where each stands, in walking order; the first is the strand's head.
    """

    group: str
    spots: tuple[Spot, ...]


def group_of(name: str, step: object) -> str:
    """Give the include a step belongs to; empty for the flow's own steps."""
    if isinstance(step, GateStep) and step.way != "in":
        return step.include
    return name.rpartition("/")[0]


def lay_strands(flow: Flow) -> tuple[Strand, ...]:
    """Cut a flow into strands that hold every step once, in walking order."""
    return tuple(_Laying(flow).region("", flow.start))


@dataclass
class _Growing:
    """A strand in progress, and the heads of further strands that it leads to."""

    group: str
    waiting: deque[str]
    spots: list[Spot] = field(default_factory=list)


class _Laying:
    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.groups = {name: group_of(name, step) for name, step in flow.steps.items()}
        self.placed: set[str] = set()
        self.onward = {name: tuple(self._onward(name)) for name in flow.steps}
        self.entries = Counter(t for targets in self.onward.values() for t in set(targets))
        self.owners_of = owners(self._ways(), flow.start)
        self.size = Counter(owner for found in self.owners_of.values() for owner in found)

    def _ways(self) -> dict[str, tuple[str, ...]]:
        """Give where each step leads, an include to its first step and to its returns."""
        ways = dict(self.onward)
        for name, step in self.flow.steps.items():
            if isinstance(step, GateStep) and step.next is not None:
                ways[name] = (step.next,) if step.way != "in" else (step.next, *ways[name])
        return ways

    def region(self, group: str, start: str) -> Iterator[Strand]:
        """Give the strands of one group, each followed by those of the includes it goes into."""
        waiting = deque([start])
        rest = deque(name for name, own in self.groups.items() if own == group)
        while waiting or rest:
            head = (waiting or rest).popleft()
            if head in self.placed or self.groups.get(head) != group:
                continue
            strand = _Growing(group, waiting)
            self._chain(strand, head, 0)
            yield Strand(group, tuple(strand.spots))
            for spot in strand.spots:
                step = self.flow.steps[spot.step]
                if isinstance(step, GateStep) and step.way == "in" and step.next is not None:
                    yield from self.region(spot.step, step.next)

    def _chain(self, strand: _Growing, head: str, column: int, beside: str = "") -> None:
        """Put a chain of steps into a column, with the side branches of each beside it."""
        name: str | None = head
        under = ""
        while name is not None:
            self.placed.add(name)
            strand.spots.append(Spot(name, column, under, beside))
            following = self._following(name, strand.group, is_side=column > 0)
            self._sides(strand, name, column, following)
            under, beside, name = name, "", following

    def _sides(self, strand: _Growing, name: str, column: int, following: str | None) -> None:
        held = set() if following is None else {following}
        self.placed |= held  # a side branch may not take the way on
        for target in self.onward[name]:
            if target in self.placed or self.groups.get(target) != strand.group:
                continue
            if column + 1 >= COLUMNS or not self._is_side(name, target):
                strand.waiting.append(target)
            else:
                self._chain(strand, target, column + 1, beside=name)

    def _is_side(self, name: str, target: str) -> bool:
        """Whether a step begins a short branch that only the step before it leads to."""
        if self._is_finding(target):
            return self.entries[target] < _FINDING_HUB
        return self._owns(name, target) and self.size[target] <= _LARGEST_SIDE

    def _owns(self, name: str, target: str) -> bool:
        """Whether every way to a step leads through another."""
        return name in self.owners_of.get(target, ())

    def _following(self, name: str, group: str, *, is_side: bool) -> str | None:
        """Give the step that stands under a step: its usual way on, where that is still free.

        A side branch goes on only to what it alone leads to; the rest is left to other strands.
        A finding stands beside its step, unless there is nothing else to go to.
        """
        for target in self._usual(name):
            if target in self.placed or self.groups.get(target) != group:
                continue
            if self._is_finding(target) and len(self.onward[name]) > 1:
                continue
            if not is_side or self._owns(name, target):
                return target
        return None

    def _usual(self, name: str) -> list[str]:
        """Give the targets of a step, the usual way on first."""
        targets, step = list(self.onward[name]), self.flow.steps[name]
        if isinstance(step, NumberStep | WorkOutStep) and step.next in targets:
            targets = [step.next]
        elif not isinstance(step, DecideStep):
            counts = Counter(target for _, target in step.exits())
            targets.sort(key=lambda one: -counts[one])
        return targets

    def _is_finding(self, name: str) -> bool:
        return isinstance(self.flow.steps.get(name), FindStep)

    def _onward(self, name: str) -> Iterator[str]:
        """Give the targets of a step once each; those of an include are where its returns lead."""
        step = self.flow.steps[name]
        ways = dict.fromkeys(target for _, target in step.exits())
        if isinstance(step, GateStep) and step.way == "in":
            ways = dict.fromkeys(
                gate.next
                for gate in self.flow.steps.values()
                if isinstance(gate, GateStep) and gate.include == name and gate.way != "in"
                if gate.next is not None
            )
        yield from ways
