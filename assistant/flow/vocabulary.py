"""The one vocabulary that flows, rules, bench and drawings share."""

from decimal import Decimal
from typing import Literal

from pydantic import Field

from assistant.flow.clauses import Record
from assistant.flow.model import Caution
from assistant.quantity import Current


class Place(Record):
    """A terminal, lead or port.

    Args:
        say: its name for the ear.
        kind: what it belongs to: motor_lead, capacitor, supply, control, air, ...
    """

    say: str
    kind: str


class Observation(Record):
    """Something eyes, ears and hands can tell.

    Args:
        say: what it is about.
        values: each value with the phrases that mean it; the first is the one that is said.
    """

    say: str
    values: dict[str, tuple[str, ...]]


class Condition(Record):
    """Something the hands have made true.

    Args:
        by: `proof` when only a step that proves it may set it; `hand` when it can be asked for.
        values: each value with its words; the first is where a walk begins.
        phrases: what the technician says of each value, for conditions set by hand.
    """

    by: Literal["proof", "hand"]
    values: dict[str, str]
    phrases: dict[str, tuple[str, ...]] = Field(default_factory=dict)

    @property
    def first(self) -> str:
        """Give the value a walk begins with."""
        return next(iter(self.values))


class Meter(Record):
    """A meter setting with the meter's own error.

    Args:
        say: the setting, for the ear.
        percent: error in percent of the reading.
        counts: further error in counts of the last digit shown.
        lead_ohms: what leads and clips may add, in ohms.
        finest: the finest step it shows, in ohms on ohms, else in the unit it is read in; none
            where every figure counts.
        current: `ac` or `dc`, where a reading said to be of the other one is no reading.
    """

    say: str
    percent: Decimal
    counts: Decimal
    lead_ohms: Decimal = Decimal(0)
    finest: Decimal = Decimal(0)
    current: Current | None = None


class Vocabulary(Record):
    """All words a flow may use; see `flows/vocabulary.yaml`."""

    places: dict[str, Place]
    observations: dict[str, Observation]
    conditions: dict[str, Condition]
    consequences: dict[str, dict[str, dict[str, str]]]
    meters: dict[str, Meter]
    cautions: dict[str, Caution]
    skip_reasons: dict[str, tuple[str, ...]]
