"""Reading unit files, with complaints that point at line and column."""

from functools import lru_cache
from pathlib import Path
from typing import TypeVar, get_args

from pydantic import BaseModel, ValidationError

from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError, broken_file
from assistant.bench.kinds import KINDS
from assistant.bench.record import Record
from assistant.flow.problems import FlowError, nearest
from assistant.flow.source import Source, model_problems, read_source

UNITS = Path(__file__).parent / "units"
"""One folder a kind of unit."""
_BLOWER = "blower"
"""What a unit file is of that does not say its kind."""
_Kind = TypeVar("_Kind", bound=Record)


def read_record(file: Path, kind: type[_Kind]) -> _Kind:
    """Read a YAML file into a record.

    Raises:
        BenchError: when it is missing or broken; its sentence begins with file, line and column.
    """
    try:
        source = read_source(file)
    except FlowError as error:
        raise broken_file(error.problems) from error
    return _validated(source, kind)


def _validated(source: Source, kind: type[_Kind]) -> _Kind:
    try:
        return kind.model_validate(source.data)
    except ValidationError as error:
        raise broken_file(model_problems(source, error, _keys(kind))) from error


def _keys(kind: type[BaseModel]) -> dict[str, tuple[str, ...]]:
    """Give the keys that belong to each part of a file, by the part's own key; "" is the top."""
    known = {"": tuple(kind.model_fields)}
    for name, field in kind.model_fields.items():
        for part in _records_in(field.annotation):
            known |= {inner: keys for inner, keys in _keys(part).items() if inner}
            known[name] = tuple(part.model_fields)
    return known


def _records_in(annotation: object) -> list[type[BaseModel]]:
    """Give the records that an annotation holds, however deep."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [record for inner in get_args(annotation) for record in _records_in(inner)]


def unit_names(kind: str = "*") -> tuple[str, ...]:
    """Give the names of the units of a kind that ship with Rungside; of all kinds by default."""
    return tuple(sorted(file.stem for file in UNITS.glob(f"{kind}/*.yaml")))


def load_unit(file: Path) -> Equipment:
    """Read a unit file of any kind.

    Raises:
        BenchError: when it is missing or broken.
    """
    try:
        source = read_source(file)
    except FlowError as error:
        raise broken_file(error.problems) from error
    kind = str(source.data.get("kind", _BLOWER))
    if kind not in KINDS:
        message = f"There is no kind of unit '{kind}'."
        raise broken_file((source.problem(("kind",), message, nearest(kind, KINDS)),))
    return _validated(source, KINDS[kind].record)


def open_unit(name: str) -> Equipment:
    """Read a unit by its name, or by its path.

    Raises:
        BenchError: when there is neither, or it is broken.
    """
    path = Path(name)
    if path.suffix in {".yaml", ".yml"}:
        return load_unit(path)
    if name not in unit_names():
        raise BenchError(f"There is no unit '{name}'.", nearest(name, unit_names()))
    return _shipped_unit(name)


@lru_cache(maxsize=64)
def _shipped_unit(name: str) -> Equipment:
    return load_unit(next(UNITS.glob(f"*/{name}.yaml")))
