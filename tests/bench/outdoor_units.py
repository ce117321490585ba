"""The shipped outdoor units, as what they are, and how they stand on the bench."""

from pydantic import TypeAdapter

from assistant.bench.changes import Change, change_unit
from assistant.bench.faults import HEALTHY, apply
from assistant.bench.loading import open_unit, unit_names
from assistant.bench.outdoor_looks import OutdoorLooks
from assistant.bench.outdoor_unit import OutdoorUnit

NAMES = unit_names("outdoor")
_CHANGES: TypeAdapter[tuple[Change, ...]] = TypeAdapter(tuple[Change, ...])


def open_outdoor(name: str) -> OutdoorUnit:
    """Give a shipped outdoor unit."""
    unit = open_unit(name)
    assert isinstance(unit, OutdoorUnit)
    return unit


def changed_outdoor(name: str, *changes: dict[str, object]) -> OutdoorUnit:
    """Give a shipped outdoor unit with changes given as a file would say them."""
    return change_unit(open_outdoor(name), _CHANGES.validate_python(changes))


def stand_of(
    name: str, fault: str = HEALTHY, *, is_calling: bool = True, is_powered: bool = True
) -> OutdoorLooks:
    """Give a shipped outdoor unit with a fault, in a state."""
    unit = apply(open_outdoor(name), fault)
    return OutdoorLooks(unit, is_calling=is_calling, is_powered=is_powered)
