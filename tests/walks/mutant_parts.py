"""Small changes of a step's record, of which mutants are made; and numbers that differ enough."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeAlias

from assistant.bench.meter import METERS
from assistant.errors import RungsideError
from assistant.quantity import Quantity, Unit

Edit: TypeAlias = Callable[[str, Any], Any]
"""Gives the changed step for a step's id and the step."""


def update(key: str, value: object) -> Edit:
    """Give another value to one key."""
    return lambda _, step: step.model_copy(update={key: value})


def update_in(key: str, name: str, value: object) -> Edit:
    """Give another value to one name of a mapping."""
    return lambda _, step: step.model_copy(update={key: {**getattr(step, key), name: value}})


def without(key: str, name: str) -> Edit:
    """Take one name out of a mapping."""

    def edit(_: str, step: Any) -> Any:  # noqa: ANN401 - any record
        left = {k: v for k, v in getattr(step, key).items() if k != name}
        return step.model_copy(update={key: left})

    return edit


def in_member(key: str, position: int, edit: Edit) -> Edit:
    """Change one member of a list of records."""

    def changed(name: str, step: Any) -> Any:  # noqa: ANN401 - any record
        members = list(getattr(step, key))
        members[position] = edit(name, members[position])
        return step.model_copy(update={key: tuple(members)})

    return changed


def in_choice(choice: str, edit: Edit) -> Edit:
    """Change one choice of a step."""

    def changed(name: str, step: Any) -> Any:  # noqa: ANN401 - any record
        choices = {**step.choices, choice: edit(name, step.choices[choice])}
        return step.model_copy(update={"choices": choices})

    return changed


def beside(value: Decimal, step: object = None) -> tuple[Decimal, Decimal]:
    """Give a number lower and higher by what matters: a tenth, and more than the meter's digit."""
    delta = max(abs(value) / 10, 2 * _digit(value, step))
    return value - delta, value + delta


def _digit(value: Decimal, step: object) -> Decimal:
    meter = METERS.get(getattr(step, "meter", None) or "")
    unit = getattr(step, "unit", Unit.COUNT)
    if meter is not None:
        base = meter.ranges[0].unit
        for one in meter.ranges:
            try:
                shown = Quantity(value, unit).to(base).value / Decimal(one.scale)
                if abs(shown) <= Decimal(one.limit):
                    return Quantity(Decimal(1).scaleb(-one.places), one.unit).to(unit).value
            except RungsideError:
                break
    if unit in {Unit.COUNT, Unit.VOLT, Unit.HERTZ}:
        return Decimal("0.5")
    return Decimal(1).scaleb(min(value.adjusted() - 2, 0)) if value else Decimal("0.1")
