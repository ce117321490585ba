"""What a flow is measured on: units, faults, and which faults the flow covers."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.bench.faults import Catalogue, does_fit, joined, load_catalogue, shipped_catalogue
from assistant.bench.loading import load_unit, open_unit, unit_names
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.model import TO_FLOW
from assistant.flow.problems import FlowError
from assistant.flow.source import read_source


@dataclass(frozen=True)
class Ground:
    """Units and faults that a flow is walked on.

    Args:
        flow: the flow.
        units: by name, each without a fault.
        faults: ids of the faults to be walked.
        catalogue: where they, and those the flow's findings name, are described.
    """

    flow: Flow
    units: Mapping[str, Equipment]
    faults: tuple[str, ...]
    catalogue: Catalogue

    def groups(self, finding: str) -> frozenset[str]:
        """Give the repairs that a finding asks for: the groups of the faults it names."""
        faults = self.catalogue.faults
        named = self.flow.findings[finding].faults
        return frozenset(faults[name].group for name in named if name in faults)

    def repairs(self, fault: str) -> frozenset[str]:
        """Give the repairs that put a fault, or a pair, right."""
        return frozenset(part.group for part in self.catalogue.parts(fault))

    @cached_property
    def _sends_to(self) -> frozenset[str]:
        """Give the flows that walks are sent on to."""
        targets = (target for step in self.flow.steps.values() for _, target in step.exits())
        return frozenset(t.removeprefix(TO_FLOW) for t in targets if t.startswith(TO_FLOW))

    def is_sent_right(self, fault: str, flow: str) -> bool:
        """Whether another flow covers a part of what is wrong, as that flow knows it.

        Args:
            fault: what is wrong.
            flow: the name of the flow that the walk was sent on to.
        """
        known = {part.found_as for part in self.catalogue.parts(fault)} - {""}
        return bool(known) and bool(known & _covers(flow))

    def is_covered(self, fault: str) -> bool:
        """Whether the flow says that it finds a fault.

        A fault that no flow can know by name counts by its repair, where the flow has that one; a
        fault that another flow finds, where the flow sends walks on to it.
        """
        covers = self.flow.covers
        if any(self.is_sent_right(fault, flow) for flow in self._sends_to):
            return True
        shipped = shipped_catalogue().faults
        if fault in covers or fault in shipped:
            return fault in covers
        known = {self.catalogue.faults[name].group for name in covers}
        return self.repairs(fault) <= known

    def fits(self, unit: str, fault: str) -> bool:
        """Whether a fault is possible on a unit."""
        return does_fit(self.units[unit], fault, self.catalogue)

    @property
    def not_covered(self) -> tuple[str, ...]:
        """Give the faults that the flow does not cover."""
        return tuple(name for name in self.faults if not self.is_covered(name))


@lru_cache(maxsize=32)
def _covers(flow: str) -> frozenset[str]:
    """Give the faults that a shipped flow finds."""
    return frozenset(open_flow(flow).covers)


def lay_ground(flow: Flow, files: Iterable[Path] = ()) -> Ground:
    """Put units and faults together: the shipped ones, or those of files in their place.

    Args:
        flow: the flow.
        files: unit files and fault files, in any order.

    Raises:
        BenchError: when a file is missing, broken or neither, or a covered fault is nowhere.
    """
    units: dict[str, Equipment] = {}
    faults: tuple[str, ...] = ()
    catalogue = shipped_catalogue()
    for file in files:
        if "faults" in _keys(file):
            own = load_catalogue(file)
            faults = (*faults, *own.faults)
            catalogue = joined((catalogue, own))
        else:
            unit = load_unit(file)
            units[unit.unit] = unit
    if not flow.covers and not faults:
        raise BenchError(
            f"The flow '{flow.id}' covers no fault, so there is nothing to walk on the bench.",
            "Name the faults that it finds under 'covers'.",
        )
    unknown = [name for name in flow.covers if name not in catalogue.faults]
    if unknown:
        raise BenchError(
            f"The flow '{flow.id}' covers '{unknown[0]}', which no fault file describes.",
            "Give a fault file that does with --bench.",
        )
    kinds = {catalogue.faults[name].kind for name in flow.covers} or {"*"}
    shipped = {name: open_unit(name) for kind in sorted(kinds) for name in unit_names(kind)}
    own_kinds = tuple(n for n, fault in catalogue.faults.items() if kinds & {fault.kind, "*"})
    return Ground(flow, units or shipped, faults or own_kinds, catalogue)


def _keys(file: Path) -> frozenset[str]:
    try:
        return frozenset(read_source(file).data)
    except FlowError as error:
        raise BenchError(str(error)) from error
