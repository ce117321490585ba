"""The kinds of unit that the bench knows; one row a kind."""

from assistant.bench.blower import BLOWER
from assistant.bench.compressor import COMPRESSOR
from assistant.bench.control_system_kind import CONTROL
from assistant.bench.ducted import DUCTED
from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.bench.kind import Kind
from assistant.bench.outdoor import OUTDOOR
from assistant.flow.problems import nearest

KINDS: dict[str, Kind] = {
    kind.name: kind for kind in (BLOWER, OUTDOOR, COMPRESSOR, CONTROL, DUCTED)
}


def kind_of(unit: Equipment) -> Kind:
    """Give the kind of a unit."""
    return KINDS[unit.kind]


def find_kind(name: str) -> Kind:
    """Give a kind by its name.

    Raises:
        BenchError: when there is none.
    """
    if name not in KINDS:
        raise BenchError(f"There is no kind of unit '{name}'.", nearest(name, KINDS))
    return KINDS[name]
