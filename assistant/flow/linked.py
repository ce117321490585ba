"""A flow ready to be walked: includes expanded, names resolved, arrows drawn."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Literal, TypeAlias

from assistant.flow.model import (
    AskStep,
    Caution,
    DecideStep,
    DoStep,
    Finding,
    FindStep,
    JudgedStep,
    MeasureStep,
    ObserveStep,
    StepBase,
    WorkOutStep,
    value_name,
)
from assistant.flow.plain import Where
from assistant.flow.source import Source
from assistant.flow.vocabulary import Vocabulary
from assistant.quantity import Unit


class GateStep(StepBase):
    """Where an include is entered or left; nothing is said.

    Args:
        include: the id of the include step.
        way: `in`, or the name of the return.
    """

    kind: Literal["gate"] = "gate"
    include: str
    way: str


LinkedStep: TypeAlias = (
    DoStep | ObserveStep | MeasureStep | AskStep | WorkOutStep | DecideStep | FindStep | GateStep
)


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a step was written.

    Args:
        source: the file.
        where: the way to it in the file.
    """

    source: Source
    where: Where


@dataclass(frozen=True)
class Flow:
    """A flow that loaded.

    Args:
        id: its id.
        title: for people.
        edition: as written.
        digest: SHA-256 over every file it is made of, in reading order.
        source: the file it was loaded from, as it was read.
        vocabulary: the shared words.
        start: the first step.
        make_safe: the include step that proves the unit dead, if it has one.
        make_live: the include step that brings power back, if it has one.
        steps: by id; steps of an include are called `include/step`.
        origins: where each was written.
        cautions: the vocabulary's and the flow's own.
        findings: by id.
        complaints: the complaints it answers.
        covers: the catalogue's faults it can find.
        ambiguous: groups of them that it cannot tell apart.
    """

    id: str
    title: str
    edition: str
    digest: str
    source: Source
    vocabulary: Vocabulary
    start: str
    make_safe: str | None
    make_live: str | None
    steps: Mapping[str, LinkedStep]
    origins: Mapping[str, Origin]
    cautions: Mapping[str, Caution]
    findings: Mapping[str, Finding]
    complaints: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    ambiguous: tuple[tuple[str, ...], ...] = ()

    @property
    def file(self) -> Path:
        """Give the path of the file it was loaded from."""
        return self.source.file

    def finding_origin(self, name: str) -> Origin:
        """Give where a finding was written; the flow's file where it was written nowhere."""
        for source in self._sources:
            if ("findings", name) in source.places:
                return Origin(source, ("findings", name))
        return Origin(self.source, ("findings", name))

    @cached_property
    def _sources(self) -> tuple[Source, ...]:
        return tuple({id(o.source): o.source for o in self.origins.values()}.values())

    def arrows(self) -> Iterator[tuple[str, str, str]]:
        """Give every arrow as (step, outcome, target)."""
        for name, step in self.steps.items():
            for outcome, target in step.exits():
                yield name, outcome, target

    @cached_property
    def units(self) -> Mapping[str, Unit]:
        """Give the unit of each value by its name."""
        found: dict[str, Unit] = {}
        for name, step in self.steps.items():
            if isinstance(step, MeasureStep | AskStep | WorkOutStep):
                found[value_name(name, step)] = step.unit
                if isinstance(step, AskStep) and step.dual:
                    found[f"{value_name(name, step)}_second"] = step.unit
        return found

    @cached_property
    def used_values(self) -> frozenset[str]:
        """Give the values that some rule, formula or decision uses after they were taken."""
        used: set[str] = set()
        for name, step in self.steps.items():
            if isinstance(step, JudgedStep):
                own = value_name(name, step)
                for rule in step.judge:
                    used.update(o for o in rule.operands() if isinstance(o, str) and o != own)
            if isinstance(step, WorkOutStep):
                used.update(o for o in step.given.values() if isinstance(o, str))
            if isinstance(step, DecideStep):
                used.update(
                    getattr(clause, key)
                    for case in step.cases
                    for clause in case.when
                    for key in ("value", "verdict", "outcome", "at_least", "below")
                    if isinstance(getattr(clause, key, None), str)
                )
        return frozenset(used)
