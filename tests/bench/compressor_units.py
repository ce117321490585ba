"""Compressors of the shipped units in a state of power, with a fault, as the tests of them need."""

from assistant.bench.compressor import CompressorOnBench
from assistant.bench.compressor_unit import CompressorUnit
from assistant.bench.faults import HEALTHY, apply
from assistant.bench.loading import open_unit, unit_names

UNITS = unit_names("compressor")


def open_compressor(name: str, fault: str = HEALTHY) -> CompressorUnit:
    """Give a shipped compressor with a fault."""
    unit = open_unit(name)
    assert isinstance(unit, CompressorUnit)
    return apply(unit, fault)


def stood(
    name: str, fault: str = HEALTHY, *, is_powered: bool = True, is_calling: bool = True
) -> CompressorOnBench:
    """Give a shipped compressor in a state."""
    unit = open_compressor(name, fault)
    return CompressorOnBench(unit, is_calling=is_calling, is_powered=is_powered)
