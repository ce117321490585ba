"""What a fault does to a unit, in a few verbs that work on any unit.

Each verb takes the unit's plain data and gives it back changed; the whole is then read again as a
unit, so a change that makes nonsense is refused like a bad file.
"""

from collections.abc import Callable, Iterable
from typing import Annotated, Any, Literal, TypeAlias, TypeVar

from pydantic import Field, ValidationError

from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.bench.motor import FRAME, Role
from assistant.bench.record import AtLeastZero, Record, Share

Data: TypeAlias = dict[str, Any]
_Unit = TypeVar("_Unit", bound=Equipment)


class Point(Record):
    """A spot inside a winding.

    Args:
        role: which winding; its first branch where there are several.
        at: how far along it, a share.
    """

    role: Role
    at: Share


class SetValue(Record):
    """Put a value in place of another: `what` is the way to it, with dots."""

    do: Literal["set"]
    what: str
    to: bool | float | str | tuple[str, ...]


class Scale(Record):
    """Multiply a number: `what` is the way to it, with dots."""

    do: Literal["scale"]
    what: str
    by: AtLeastZero


class Append(Record):
    """Add a word to a list: `what` is the way to it, with dots."""

    do: Literal["append"]
    what: str
    value: str


class InWindings(Record):
    """A change inside windings.

    Args:
        of: the part of the unit that has the windings.
    """

    of: str = "motor"


class OpenBranch(InWindings):
    """Burn a winding, the overload or the tie through."""

    do: Literal["open"]
    role: Role


class ShortBranch(InWindings):
    """Replace a whole branch by a short of some ohms; its turns do nothing any more."""

    do: Literal["short_branch"]
    role: Role
    ohms: AtLeastZero


class ShortTurns(InWindings):
    """Short some turns of a winding on themselves.

    Args:
        role: which winding.
        share: of its turns.
        contact_ohms: where the turns touch.
    """

    do: Literal["short_turns"]
    role: Role
    share: Share
    contact_ohms: AtLeastZero


class Bridge(InWindings):
    """Join a spot inside a winding to another, or to the frame."""

    do: Literal["bridge"]
    first: Point
    second: Point | Literal["frame"]
    ohms: AtLeastZero


Change: TypeAlias = Annotated[
    SetValue | Scale | Append | OpenBranch | ShortBranch | ShortTurns | Bridge,
    Field(discriminator="do"),
]


def change_unit(unit: _Unit, changes: Iterable[Change]) -> _Unit:
    """Give the unit with the changes made, in their order.

    Raises:
        BenchError: when a change does not fit this unit.
    """
    data = unit.model_dump()
    for change in changes:
        _VERBS[change.do](data, change)
    try:
        return type(unit).model_validate(data)
    except ValidationError as error:
        first = error.errors()[0]
        way = ".".join(str(part) for part in first["loc"])
        raise BenchError(
            f"A change makes no sense on unit '{unit.unit}', at '{way}': {first['msg']}.",
            "Choose a fault that fits the unit.",
        ) from error


def _holder(data: Data, what: str) -> tuple[Data, str]:
    """Give what holds the value at the end of a dotted way, and the value's key there."""
    *way, last = what.split(".")
    held: Any = data
    for part in way:
        held = held.get(part) if isinstance(held, dict) else None
    if not isinstance(held, dict) or (last not in held and way != ["looks"]):
        raise BenchError(f"A unit has no '{what}'.", "Write the way to a value, with dots.")
    return held, last


def _set(data: Data, change: SetValue) -> None:
    held, key = _holder(data, change.what)
    held[key] = change.to


def _scale(data: Data, change: Scale) -> None:
    held, key = _holder(data, change.what)
    if isinstance(held[key], bool) or not isinstance(held[key], int | float):
        raise BenchError(f"'{change.what}' is not a number on this unit.", "Scale a number.")
    held[key] *= change.by


def _append(data: Data, change: Append) -> None:
    held, key = _holder(data, change.what)
    if not isinstance(held[key], tuple):
        raise BenchError(f"'{change.what}' is not a list.", "Append to a list.")
    held[key] = (*held[key], change.value)


def _first(data: Data, of: str, role: str) -> Data:
    for branch in _branches(data, of):
        if branch["role"] == role:
            found: Data = branch
            return found
    raise BenchError(
        f"The {of.replace('_', ' ')} of unit '{data['unit']}' has no {role} branch.",
        "Choose a fault that fits the unit.",
    )


def _branches(data: Data, of: str) -> tuple[Data, ...]:
    part = data.get(of)
    if not isinstance(part, dict) or "branches" not in part:
        raise BenchError(
            f"Unit '{data['unit']}' has no windings in '{of}'.",
            "Choose a fault that fits the unit.",
        )
    found: tuple[Data, ...] = part["branches"]
    return found


def _open(data: Data, change: OpenBranch) -> None:
    _first(data, change.of, change.role)["is_open"] = True


def _short_branch(data: Data, change: ShortBranch) -> None:
    short = {"ohms": change.ohms, "leakage": 0.0, "turns": (0.0, 0.0)}
    _first(data, change.of, change.role).update(short)


def _short_turns(data: Data, change: ShortTurns) -> None:
    node, end = _split(data, change.of, Point(role=change.role, at=1 - change.share))
    _join(data, change.of, (node, end), change.contact_ohms)


def _bridge(data: Data, change: Bridge) -> None:
    first, _ = _split(data, change.of, change.first)
    if isinstance(change.second, Point):
        second, _ = _split(data, change.of, change.second)
    else:
        second = FRAME
    _join(data, change.of, (first, second), change.ohms)


def _split(data: Data, of: str, point: Point) -> tuple[str, str]:
    """Cut a winding in two; give the new node and the far end.

    Ohms, turns and leakage go with the length, so that the whole is what it was.
    """
    branch, branches = _first(data, of, point.role), _branches(data, of)
    count = len(branches)
    node, (start, end) = f"spot_{count}", branch["between"]
    rest = {
        "name": f"{branch['name']}_{count}",
        "role": point.role,
        "between": (node, end),
        "is_open": branch["is_open"],
    }
    for key in ("ohms", "leakage"):
        rest[key] = branch[key] * (1 - point.at)
        branch[key] *= point.at
    rest["turns"] = tuple(n * (1 - point.at) for n in branch["turns"])
    branch["turns"] = tuple(n * point.at for n in branch["turns"])
    branch["between"] = (start, node)
    data[of]["branches"] = (*branches, rest)
    return node, end


def _join(data: Data, of: str, between: tuple[str, str], ohms: float) -> None:
    branches = _branches(data, of)
    short = {"name": f"SHORT_{len(branches)}", "role": "fault", "between": between, "ohms": ohms}
    data[of]["branches"] = (*branches, short)


_VERBS: dict[str, Callable[[Data, Any], None]] = {
    "set": _set,
    "scale": _scale,
    "append": _append,
    "open": _open,
    "short_branch": _short_branch,
    "short_turns": _short_turns,
    "bridge": _bridge,
}
