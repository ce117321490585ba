"""Ranges against the simulated units: what a sound or a faulty unit shows must be believed.

The checks may not import the bench, so its values come as a table, `bench_spans.json`, which
`tests/tools/measure_bench_spans.py` measures; a test holds that it is of today.
"""

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from assistant.checks.check import Check, Subject
from assistant.errors import RungsideError
from assistant.flow.model import AskStep, MeasureStep, NumberStep, QuantityKind, value_name
from assistant.flow.problems import Problem
from assistant.quantity import Quantity, Unit

TABLE = Path(__file__).parent / "bench_spans.json"


@lru_cache(maxsize=1)
def bench_spans() -> Mapping[str, Any]:
    """Give the table: by kind of unit its faults, and the least and most of each reading."""
    table: Mapping[str, Any] = json.loads(TABLE.read_text(encoding="utf-8"))
    return table


def find_excluded(subject: Subject) -> Iterator[Problem]:
    """Complain of a range that leaves out what a simulated unit shows or has printed on it."""
    kinds = [
        kind["spans"]
        for kind in bench_spans().values()
        if set(kind["faults"]) & set(subject.flow.covers)
    ]
    for name, step in subject.flow.steps.items():
        if not isinstance(step, NumberStep):
            continue
        keys = _keys(name, step)
        told = next((one for key in keys for one in _excluded(key, step, kinds)), None)
        if told is not None:
            value, fault = told
            whose = "a sound unit" if fault == "healthy" else f"a unit with '{fault}'"
            message = (
                f"{whose[0].upper()}{whose[1:]} shows {value:.6g} here, which is not believed."
            )
            hint = "Widen 'plausible', so that what can be there is believed."
            yield subject.problem(name, ("plausible",), message, hint)


def _keys(name: str, step: NumberStep) -> tuple[str, ...]:
    """Give the names of a reading in the table: probes that change places show the same."""
    if isinstance(step, MeasureStep):
        there = f"{step.quantity.value} {step.from_} {step.to or '-'}"
        back = f"{step.quantity.value} {step.to} {step.from_}"
        return (there,) if step.quantity is QuantityKind.STATIC_PRESSURE else (there, back)
    return (f"asked {value_name(name, step)}",) if isinstance(step, AskStep) else ()


def _excluded(
    key: str, step: NumberStep, kinds: list[Mapping[str, Any]]
) -> Iterator[tuple[Decimal, str]]:
    low, high = step.plausible
    for spans in kinds:
        span = spans.get(key, {})
        for end in ("low", "high") if span else ():
            number, fault = span[end]
            value = _in_unit(Decimal(repr(number)), span["unit"], step.unit)
            if value is not None and not low <= value <= high:
                yield value, fault


def _in_unit(value: Decimal, own: str, unit: Unit) -> Decimal | None:
    if own in {"", unit.value}:
        return value
    try:
        return Quantity(value, Unit(own)).to(unit).value
    except RungsideError:
        return None


CHECKS: tuple[Check, ...] = (
    Check(
        "bench-out-of-range",
        "A reading that a real unit shows is asked back again and again where it is not believed.",
        find_excluded,
    ),
)
