"""The shipped blower units, as what they are."""

from assistant.bench.equipment import Equipment
from assistant.bench.loading import open_unit
from assistant.bench.unit import Unit


def open_blower(name: str) -> Unit:
    """Give a shipped blower unit."""
    return as_blower(open_unit(name))


def as_blower(unit: Equipment) -> Unit:
    """Give a unit as the blower that it is."""
    assert isinstance(unit, Unit)
    return unit
