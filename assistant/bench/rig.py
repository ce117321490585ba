"""A unit with its faults as a technician meets it: power, the call, repairs, and time to cool."""

from collections.abc import Iterable, Mapping
from copy import copy

from assistant.bench.changes import Append, Change, Scale, SetValue
from assistant.bench.equipment import Equipment
from assistant.bench.faults import HEALTHY, JOINED, Catalogue, Fault, apply
from assistant.bench.kind import Kind, Standing
from assistant.bench.kinds import kind_of
from assistant.flow.model import Finding


class Rig:
    """One unit on the bench during one walk.

    Args:
        unit: the unit without a fault.
        fault: what is wrong: an id, several joined by `+`, or `healthy`.
        catalogue: where faults are described.
    """

    def __init__(self, unit: Equipment, fault: str, catalogue: Catalogue) -> None:
        self._sound, self._catalogue, self._kind = unit, catalogue, kind_of(unit)
        self.left: tuple[str, ...] = () if fault == HEALTHY else tuple(fault.split(JOINED))
        self.is_powered = True
        self.is_calling = True
        self.minutes_off = 0.0
        self.altered: tuple[str, ...] = ()
        self._stands: dict[tuple[bool, bool], Standing] = {}
        self.unit = self._made()

    def _made(self) -> Equipment:
        """Make the unit anew from what is left wrong with it."""
        self._stands = {}
        faulted = apply(self._sound, JOINED.join(self.left) or HEALTHY, self._catalogue)
        made: Equipment = self._kind.cooled(faulted, self.minutes_off)
        for about in self.altered:
            made = self._kind.alters[about](made)
        return made

    @property
    def stand(self) -> Standing:
        """Give the unit in its present state of power."""
        state = (self.is_powered, self.is_calling)
        if state not in self._stands:
            self._stands[state] = self._kind.stand(
                self.unit, is_calling=self.is_calling, is_powered=self.is_powered
            )
        return self._stands[state]

    @property
    def is_right(self) -> bool:
        """Whether nothing is wrong any more."""
        return all(self._is_over(name) for name in self.left)

    def _is_over(self, name: str) -> bool:
        return self._kind.has_recovered(apply(self._sound, name, self._catalogue), self.unit)

    @property
    def is_warm(self) -> bool:
        """Whether it is still warm from the last run."""
        return self._kind.is_warm(self.unit)

    @property
    def kind(self) -> Kind:
        """Give the kind of unit."""
        return self._kind

    def copy(self) -> "Rig":
        """Give a rig that goes its own way from here."""
        return copy(self)

    def follow(self, conditions: Mapping[str, str]) -> None:
        """Take the disconnect where the walk's conditions say it is."""
        is_off = conditions.get("power") == "off" or conditions.get("lock") == "locked"
        if is_off and self.is_powered:
            self.is_calling = False
        self.is_powered = not is_off

    def stand_as(
        self,
        is_powered: bool,
        is_calling: bool,
        minutes_off: float,
        altered: tuple[str, ...] = (),
    ) -> None:
        """Take a state of power, call, cooling and work done that another walk had."""
        self.is_powered, self.is_calling = is_powered, is_calling
        self.minutes_off = minutes_off
        is_changed, self.altered = altered != self.altered, altered
        if is_changed or self._kind.is_hot(self.unit):
            self.unit = self._made()

    def alter(self, about: str) -> None:
        """Do the work that an observation comes at the end of."""
        self.altered = (*self.altered, about)
        self.unit = self._made()

    def wait(self, minutes: float) -> None:
        """Let time go by; without power the windings cool."""
        if self.is_powered:
            return
        self.minutes_off += minutes
        if self._kind.is_hot(self.unit):
            self.unit = self._made()

    def repair(self, findings: Iterable[Finding]) -> None:
        """Do what the findings say: their faults go, and all that was wrong in a part replaced."""
        named, replaced = set[str](), set[str]()
        for finding in findings:
            known = [n for n in finding.faults if n in self._catalogue.faults]
            faults = [self._catalogue.faults[n] for n in known]
            named |= {fault.group for fault in faults}
            if finding.replacement is not None:
                replaced |= {
                    part for fault in faults for part in _parts(fault)
                } & self._kind.whole_parts
                if finding.replacement.microfarads is not None:
                    replaced.add("capacitor")
        self.left = tuple(name for name in self.left if not self._is_gone(name, named, replaced))
        self.unit = self._made()

    def _is_gone(self, name: str, named: set[str], replaced: set[str]) -> bool:
        fault = self._catalogue.faults[name]
        return fault.group in named or _parts(fault) <= replaced

    def complaint(self) -> str:
        """Give what the customer says: what the catalogue expects and the unit does, if both."""
        expected = [c for name in self.left for c in self._catalogue.faults[name].complaints]
        noticed = self.stand.complaints()
        both = [one for one in expected if one in noticed]
        return next(iter([*both, *expected, *noticed]), "")


def _parts(fault: Fault) -> set[str]:
    """Give the parts of a unit that a fault sits in."""
    return {_part(change) for change in fault.changes}


def _part(change: Change) -> str:
    if isinstance(change, SetValue | Scale | Append):
        return change.what.partition(".")[0]
    return change.of
