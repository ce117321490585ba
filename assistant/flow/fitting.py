"""What must fit together in a flow: units with what is measured, words with what they confirm."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from assistant.errors import RungsideError
from assistant.flow.linked import Flow, LinkedStep, Origin
from assistant.flow.model import (
    END,
    RETURN,
    STOP,
    TO_FLOW,
    AskStep,
    Caution,
    DoStep,
    MeasureStep,
    NumberStep,
    QuantityKind,
    WorkOutStep,
    value_name,
)
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.flow.source import Source
from assistant.quantity import RESISTANCE_UNITS, Quantity, Unit

_UNITS: Mapping[QuantityKind, tuple[Unit, ...]] = {
    QuantityKind.RESISTANCE: RESISTANCE_UNITS,
    QuantityKind.INSULATION: RESISTANCE_UNITS,
    QuantityKind.CAPACITANCE: (Unit.MICROFARAD,),
    QuantityKind.VOLTAGE: (Unit.VOLT,),
    QuantityKind.STORED_VOLTAGE: (Unit.VOLT,),
    QuantityKind.CURRENT: (Unit.AMPERE,),
    QuantityKind.POWER: (Unit.WATT, Unit.VOLT_AMPERE),
    QuantityKind.SPEED: (Unit.RPM,),
    QuantityKind.STATIC_PRESSURE: (Unit.IN_WC, Unit.PASCAL),
    QuantityKind.TEMPERATURE: (Unit.DEG_F, Unit.DEG_C),
}
"""The units of what is measured. Ohms called anything else would be asked for on a live circuit."""


def check_step_units(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """A unit fits what is measured, the meter fits the unit, and a value has one unit."""
    if isinstance(step, MeasureStep) and step.unit not in _UNITS[step.quantity]:
        fitting = " or ".join(unit.value for unit in _UNITS[step.quantity])
        message = f"'{step.quantity.value}' is not measured in {step.unit.value}."
        yield origin.source.problem(
            (*origin.where, "unit"), message, f"Write {fitting}.", "unit-mismatch"
        )
    if isinstance(step, MeasureStep | WorkOutStep) and step.meter is not None:
        meter = flow.vocabulary.meters.get(step.meter)
        if meter is not None and meter.lead_ohms and step.unit not in RESISTANCE_UNITS:
            message = f"The meter setting '{step.meter}' measures ohms, not {step.unit.value}."
            yield origin.source.problem(
                (*origin.where, "meter"), message, "Choose its setting.", "meter-mismatch"
            )
    if isinstance(step, NumberStep) and step.plausible[0] > step.plausible[1]:
        message = f"The plausible range of '{name}' ends before it begins."
        yield origin.source.problem(
            (*origin.where, "plausible"), message, "Lowest first.", "empty-range"
        )
    if isinstance(step, MeasureStep | AskStep | WorkOutStep):
        value = value_name(name, step)
        if flow.units[value] is not step.unit:
            message = f"'{value}' is in {flow.units[value].value} elsewhere in this flow."
            yield origin.source.problem(
                (*origin.where, "unit"), message, "Use one unit.", "unit-mismatch"
            )


def check_kind(
    flow: Flow, origin: Origin, way: Where, operand: str, unit: Unit
) -> Iterator[Problem]:
    """A value that a number is compared with must be of its kind: volts with volts."""
    other = flow.units.get(operand, unit)
    if other is unit:
        return
    try:
        Quantity(Decimal(1), other).to(unit)
    except RungsideError:
        message = f"'{operand}' is in {other.value} and cannot be compared with {unit.value}."
        hint = "Name a value of its kind."
        yield origin.source.problem((*origin.where, *way), message, hint, "unit-mismatch")


_EMPTY_WORDS = frozenset(
    {"yes", "no", "yeah", "yep", "right", "correct", "okay", "ok", "done", "ready", "next", "go"}
)
"""What anyone says at any time: it names no state, so it confirms nothing."""


def check_spoken(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """What is done is confirmed by the state seen, and a hold point cannot be skipped."""
    del flow
    if not isinstance(step, DoStep):
        return
    if step.hold and step.skipped is not None:
        message = f"'{name}' is a hold point, so it cannot be skipped."
        hint = "Take 'skipped' out, or 'hold'."
        yield origin.source.problem((*origin.where, "skipped"), message, hint, "hold-skipped")
    for choice, answer in step.choices.items():
        where = (*origin.where, "choices", choice, "phrases")
        yield from _check_phrases(origin.source, where, answer.phrases)


def check_cautions(source: Source, cautions: Mapping[str, Caution]) -> Iterator[Problem]:
    """Every caution of a file is answered by a phrase that names the state."""
    for name, caution in cautions.items():
        where = ("cautions", name, "answer")
        if not caution.answer:
            message = f"The caution '{name}' has no phrase that answers it."
            yield source.problem(where, message, "Add 'answer: [words to say]'.", "no-phrases")
        yield from _check_phrases(source, where, caution.answer)


def _check_phrases(source: Source, where: Where, phrases: Iterable[str]) -> Iterator[Problem]:
    for position, phrase in enumerate(phrases):
        if phrase.strip().lower() in _EMPTY_WORDS:
            message = f"'{phrase}' names no state, so it confirms nothing."
            hint = "Write what is seen, as 'it is locked out'."
            yield source.problem((*where, position), message, hint, "empty-word")


def check_step_name(name: str, origin: Origin) -> Iterator[Problem]:
    """A step's name cannot be mistaken for a target, nor for a step of an included file."""
    if name in {END, STOP} or name.startswith((RETURN, TO_FLOW)) or set(name) & set("/>"):
        message = f"'{name}' cannot be the name of a step."
        hint = "Use letters, digits and '_'."
        yield origin.source.problem(origin.where, message, hint, "step-name")
