"""What the bench must know of a kind of unit, so that any flow can be walked on it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Protocol

from assistant.bench.equipment import Equipment
from assistant.flow.model import QuantityKind


class Probed(Protocol):
    """Something that probes can be held to."""

    def read(self, quantity: QuantityKind, first: str, second: str) -> float | None:
        """Give what is between two places, in the base unit of the meters; None: over limit."""
        ...


class Standing(Probed, Protocol):
    """A unit in one state of power and call; each answer is worked out once."""

    @property
    def is_powered(self) -> bool:
        """Whether the disconnect is closed."""
        ...

    @property
    def is_calling(self) -> bool:
        """Whether the thermostat asks for it to run."""
        ...

    def observe(self, observation: str) -> str:
        """Give the value of an observation of the kind's `observers`."""
        ...

    def complaints(self) -> tuple[str, ...]:
        """Give what the customer would say, the plainest first; empty when nothing is noticed."""
        ...

    def has_place(self, place: str) -> bool:
        """Whether the unit has a place of the vocabulary."""
        ...


def _never(*units: Any) -> bool:  # noqa: ANN401 - the record of any kind
    del units
    return False


def _as_it_is(unit: Any, minutes: float) -> Any:  # noqa: ANN401 - the record of any kind
    del minutes
    return unit


def _nothing(unit: Any) -> frozenset[str]:  # noqa: ANN401 - the record of any kind
    del unit
    return frozenset()


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of unit: its record, what it does in a state, and what is printed on it.

    Args:
        name: as unit files and fault files say it.
        record: what a unit file becomes.
        stand: makes a unit stand in a state: `stand(unit, is_calling=…, is_powered=…)`.
        observers: the observations that tell of the unit; others are not the bench's to answer.
        calls: observations for which the thermostat is made to call.
        uncalls: observations for which its call is taken off.
        plate: what is printed, by the name that flows give the value; None: not on this unit.
        features: what a unit has, for faults that need it.
        whole_parts: what is replaced as one piece, so that whatever was wrong inside it is gone.
        is_hot: whether time without power changes the unit.
        cooled: the unit after minutes without power.
        is_warm: whether it is still warm from the last run.
        has_recovered: whether what made `(faulted, now)` a fault is over without a repair.
        alters: observations that come at the end of a work which is no repair, as a thaw, each
            with what that work makes of the unit.
    """

    name: str
    record: type[Equipment]
    stand: Callable[..., Standing]
    observers: frozenset[str]
    calls: frozenset[str] = frozenset()
    uncalls: frozenset[str] = frozenset()
    plate: Mapping[str, Callable[[Any], float | None]] = field(default_factory=dict)
    features: Callable[[Any], frozenset[str]] = _nothing
    whole_parts: frozenset[str] = frozenset()
    is_hot: Callable[[Any], bool] = _never
    cooled: Callable[[Any, float], Any] = _as_it_is
    is_warm: Callable[[Any], bool] = _never
    has_recovered: Callable[[Any, Any], bool] = _never
    alters: Mapping[str, Callable[[Any], Any]] = field(default_factory=dict)

    def printed(self, unit: Equipment, name: str) -> Decimal | None:
        """Give what is printed for a value, or None where nothing is.

        Args:
            unit: a unit of this kind.
            name: the value's name in the flow.
        """
        number = self.plate[name](unit) if name in self.plate else None
        return None if number is None else Decimal(f"{number:g}")
