"""The catalogue of faults: what each is called, how often it is met, what it changes in a unit."""

from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import Field, model_validator

from assistant.bench.changes import Change, change_unit
from assistant.bench.errors import BenchError
from assistant.bench.loading import read_record
from assistant.bench.record import Above, Record
from assistant.bench.unit import Unit
from assistant.flow.problems import nearest

CATALOGUE = Path(__file__).parent / "faults.yaml"
HEALTHY = "healthy"
"""The fault id of a unit with nothing wrong."""
JOINED = "+"
"""Stands between the ids of faults that are there together."""
Frequency = Literal["very common", "common", "occasional", "rare"]


class Needs(Record):
    """What a unit must have for a fault to be possible on it.

    Args:
        least_taps: speed taps.
        is_dual: a dual capacitor.
    """

    least_taps: int = 1
    is_dual: bool = False


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
    """

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
    """

    weights: dict[Frequency, Above]
    faults: dict[str, Fault]
    doubles: tuple[tuple[str, str], ...] = ()

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


def load_catalogue(file: Path = CATALOGUE) -> Catalogue:
    """Read a catalogue.

    Raises:
        BenchError: when it is missing or broken; its sentence begins with file, line and column.
    """
    return read_record(file, Catalogue)


@lru_cache(maxsize=1)
def shipped_catalogue() -> Catalogue:
    """Give the catalogue that ships with Rungside."""
    return load_catalogue()


def fault_ids(*, has_doubles: bool = False) -> tuple[str, ...]:
    """Give the ids of the shipped faults, in the catalogue's order."""
    catalogue = shipped_catalogue()
    pairs = tuple(JOINED.join(pair) for pair in catalogue.doubles) if has_doubles else ()
    return (*catalogue.faults, *pairs)


def does_fit(unit: Unit, fault_id: str, catalogue: Catalogue | None = None) -> bool:
    """Tell whether a fault is possible on a unit.

    Args:
        unit: the unit.
        fault_id: a fault, or several joined by `+`.
        catalogue: where the fault is described; the shipped one where none is given.

    Raises:
        BenchError: for an unknown fault.
    """
    return all(
        len(unit.motor.taps) >= part.needs.least_taps
        and (unit.capacitor.herm_uf is not None or not part.needs.is_dual)
        for part in (catalogue or shipped_catalogue()).parts(fault_id)
    )


def apply(unit: Unit, fault_id: str, catalogue: Catalogue | None = None) -> Unit:
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
            "Choose a unit with the taps or the dual capacitor it needs.",
        )
    for part in parts:
        unit = change_unit(unit, part.changes)
    return unit
