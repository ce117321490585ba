"""The catalogue of faults: what each is called, how often it is met, what it changes in a unit."""

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Literal, TypeVar

from pydantic import Field, model_validator

from assistant.bench.changes import Change, change_unit
from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.bench.kinds import kind_of
from assistant.bench.loading import read_record
from assistant.bench.record import Above, Record
from assistant.flow.problems import nearest

FAULTS = Path(__file__).parent / "faults"
"""One file a kind of unit."""
HEALTHY = "healthy"
"""The fault id of a unit with nothing wrong."""
JOINED = "+"
"""Stands between the ids of faults that are there together."""
_Unit = TypeVar("_Unit", bound=Equipment)
Frequency = Literal["very common", "common", "occasional", "rare"]


class Needs(Record):
    """What a unit must have for a fault to be possible on it.

    Args:
        least_taps: speed taps.
        is_dual: a dual capacitor.
        features: anything else that its kind tells of.
    """

    least_taps: int = 1
    is_dual: bool = False
    features: tuple[str, ...] = ()

    @property
    def all(self) -> frozenset[str]:
        """Give all of it as features."""
        taps = {f"taps_{self.least_taps}"} if self.least_taps > 1 else set()
        return frozenset(self.features) | taps | ({"dual"} if self.is_dual else set())


class Fault(Record):
    """One thing that can be wrong.

    Args:
        fault: its name in words.
        place: where it sits.
        symptom: what is noticed.
        shows: what the meter shows.
        test: what tells it from the others.
        repair: what puts it right.
        frequency: how often it is met.
        group: faults with one group are put right by the same work.
        complaints: what may be said of it before anything is looked at, the likeliest first; ids
            of the vocabulary's complaint.
        needs: what a unit must have for it.
        changes: what it changes in a unit.
        kind: the kind of unit; its file's where none is given.
        found_as: the fault that the flow finds to which a walk is rightly sent on.
    """

    kind: str = ""
    found_as: str = ""
    fault: str
    place: str
    symptom: str
    shows: str
    test: str
    repair: str
    frequency: Frequency
    group: str
    complaints: tuple[str, ...] = Field(min_length=1)
    needs: Needs = Needs()
    changes: tuple[Change, ...]

    @model_validator(mode="after")
    def _changes_something(self) -> "Fault":
        if not self.changes:
            raise ValueError("a fault changes at least one thing")
        return self


class Catalogue(Record):
    """All faults.

    Args:
        weights: how often each frequency is met, next to the others.
        faults: the faults by id.
        doubles: pairs that are found together.
        kind: the kind of unit that they are faults of.
    """

    kind: str = "blower"
    weights: dict[Frequency, Above]
    faults: dict[str, Fault]
    doubles: tuple[tuple[str, str], ...] = ()

    @model_validator(mode="after")
    def _of_this_kind(self) -> "Catalogue":
        for name, fault in self.faults.items():
            if not fault.kind:
                self.faults[name] = fault.model_copy(update={"kind": self.kind})
        return self

    @model_validator(mode="after")
    def _names_exist(self) -> "Catalogue":
        for pair in self.doubles:
            for name in pair:
                if name not in self.faults:
                    raise ValueError(f"the pair {pair} names a fault that is not here: {name}")
        missing = {f.frequency for f in self.faults.values()} - set(self.weights)
        if missing:
            raise ValueError(f"no weight for {min(missing)}")
        return self

    def weight(self, fault_id: str) -> float:
        """Give how often a fault is met, next to the others; a pair is met once in a hundred.

        Raises:
            BenchError: for an unknown fault.
        """
        parts = self.parts(fault_id)
        share = 1.0 if len(parts) == 1 else PAIR_SHARE
        return min(self.weights[part.frequency] for part in parts) * share

    def parts(self, fault_id: str) -> tuple[Fault, ...]:
        """Give the single faults in an id such as `capacitor_weak+filter_loaded`.

        Raises:
            BenchError: for an unknown fault.
        """
        if fault_id == HEALTHY:
            return ()
        return tuple(self._one(name) for name in fault_id.split(JOINED))

    def _one(self, name: str) -> Fault:
        if name not in self.faults:
            raise BenchError(f"There is no fault '{name}'.", nearest(name, self.faults))
        return self.faults[name]


PAIR_SHARE = 0.01
"""How often two faults are met together, next to the rarer one (common practice, no source)."""


def load_catalogue(file: Path) -> Catalogue:
    """Read a catalogue.

    Raises:
        BenchError: when it is missing or broken; its sentence begins with file, line and column.
    """
    return read_record(file, Catalogue)


@lru_cache(maxsize=1)
def shipped_catalogue() -> Catalogue:
    """Give the catalogue that ships with Rungside, all kinds together."""
    return joined(load_catalogue(file) for file in sorted(FAULTS.glob("*.yaml")))


def joined(catalogues: Iterable[Catalogue]) -> Catalogue:
    """Give several catalogues together; the later is heard where two speak."""
    parts = tuple(catalogues)
    return Catalogue(
        weights={key: value for one in parts for key, value in one.weights.items()},
        faults={key: value for one in parts for key, value in one.faults.items()},
        doubles=tuple(pair for one in parts for pair in one.doubles),
    )


def fault_ids(kind: str, *, has_doubles: bool = False) -> tuple[str, ...]:
    """Give the ids of the shipped faults of a kind of unit, in the catalogue's order."""
    catalogue = load_catalogue(FAULTS / f"{kind}.yaml")
    pairs = tuple(JOINED.join(pair) for pair in catalogue.doubles) if has_doubles else ()
    return (*catalogue.faults, *pairs)


def does_fit(unit: Equipment, fault_id: str, catalogue: Catalogue | None = None) -> bool:
    """Tell whether a fault is possible on a unit.

    Args:
        unit: the unit.
        fault_id: a fault, or several joined by `+`.
        catalogue: where the fault is described; the shipped one where none is given.

    Raises:
        BenchError: for an unknown fault.
    """
    has = kind_of(unit).features(unit)
    parts = (catalogue or shipped_catalogue()).parts(fault_id)
    return all(part.kind == unit.kind and part.needs.all <= has for part in parts)


def apply(unit: _Unit, fault_id: str, catalogue: Catalogue | None = None) -> _Unit:
    """Give a unit with a fault, or with several joined by `+`; `healthy` changes nothing.

    Args:
        unit: the unit.
        fault_id: what is wrong with it.
        catalogue: where the fault is described; the shipped one where none is given.

    Raises:
        BenchError: for an unknown fault, or one that is not possible on this unit.
    """
    parts = (catalogue or shipped_catalogue()).parts(fault_id)
    if not does_fit(unit, fault_id, catalogue):
        raise BenchError(
            f"The fault '{fault_id}' is not possible on unit '{unit.unit}'.",
            "Choose a unit of its kind, with the parts it needs.",
        )
    for part in parts:
        unit = change_unit(unit, part.changes)
    return unit
