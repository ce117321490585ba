"""Measure, on every simulated unit with and without each fault, between what each reading lies.

python tests/tools/measure_bench_spans.py            prints what `assistant/checks/bench_spans.json`
python tests/tools/measure_bench_spans.py --write    holds, or writes it.

The checks may not import the bench, so they are handed its values as this table.
"""

import json
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from assistant.bench.equipment import Equipment
from assistant.bench.errors import BenchError
from assistant.bench.faults import apply, does_fit, fault_ids
from assistant.bench.kind import Kind
from assistant.bench.kinds import KINDS
from assistant.bench.loading import open_unit, unit_names
from assistant.bench.readings import take
from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import AskStep, MeasureStep, value_name
from assistant.quantity import Quantity, Reading

TABLE = Path(__file__).parents[2] / "assistant" / "checks" / "bench_spans.json"
STATES = tuple((power, call) for power in (True, False) for call in (True, False))
RUNNING = {"current", "power", "speed", "static_pressure", "temperature"}
"""Quantities that are read of a unit that runs; one that stands still is seen before."""


def steps() -> tuple[dict[str, MeasureStep], set[str]]:
    """Give the places that shipped flows measure at, and the values that they ask for."""
    measured: dict[str, MeasureStep] = {}
    asked: set[str] = set()
    for name in flow_names():
        for one, step in open_flow(name).steps.items():
            if isinstance(step, MeasureStep):
                measured[f"{step.quantity.value} {step.from_} {step.to or '-'}"] = step
            if isinstance(step, AskStep):
                asked.add(value_name(one, step))
    return measured, asked


def readings(
    kind: Kind, unit: Equipment, measured: dict[str, MeasureStep]
) -> Iterator[tuple[str, Reading]]:
    """Give what a unit shows at every place it has, in every state of power and call."""
    for is_powered, is_calling in STATES:
        stand = kind.stand(unit, is_calling=is_calling, is_powered=is_powered)
        for key, step in measured.items():
            places = [step.from_] if step.to is None else [step.from_, step.to]
            is_meant = step.quantity.value not in RUNNING or (is_powered and is_calling)
            if is_meant and all(stand.has_place(place) for place in places):
                try:
                    reading = take(stand, step.quantity, step.from_, step.to, step.meter)
                except (BenchError, KeyError):
                    continue  # this kind of unit has no such quantity
                is_still = isinstance(reading, Quantity) and not reading.value
                if not (is_still and step.quantity.value in RUNNING):
                    yield key, reading


def measure() -> dict[str, Any]:
    """Give the table: by kind its faults, and each reading's unit, least and most, and of which."""
    measured, asked = steps()
    table: dict[str, Any] = {}
    for name, kind in KINDS.items():
        spans: dict[str, Any] = {}
        for unit_name in unit_names(name):
            sound = open_unit(unit_name)
            for fault in ("healthy", *fault_ids(name)):
                if fault != "healthy" and not does_fit(sound, fault):
                    continue
                unit = apply(sound, fault)
                # none printed is a nought; what is new has no fault yet
                printed = (
                    (f"asked {value}", kind.printed(unit, value) or None)
                    for value in sorted(asked)
                    if fault == "healthy" or not value.startswith("new_")
                )
                for key, reading in (*readings(kind, unit, measured), *printed):
                    widen(spans, key, reading, fault)
        table[name] = {"faults": list(fault_ids(name)), "spans": dict(sorted(spans.items()))}
    return table


def widen(spans: dict[str, Any], key: str, reading: object, fault: str) -> None:
    """Let a span take in a reading; what is over limit or not printed is no number."""
    if isinstance(reading, Quantity):
        value, unit = float(reading.value), reading.unit.value
    elif isinstance(reading, Decimal):
        value, unit = float(reading), ""
    else:
        return
    span = spans.setdefault(key, {"unit": unit, "low": [value, fault], "high": [value, fault]})
    if value < span["low"][0]:
        span["low"] = [value, fault]
    if value > span["high"][0]:
        span["high"] = [value, fault]


def main(arguments: list[str]) -> None:
    """Print the table, or write it."""
    text = json.dumps(measure(), indent=1) + "\n"
    if "--write" in arguments:
        TABLE.write_text(text, encoding="utf-8")
    else:
        sys.stdout.write(text)


if __name__ == "__main__":
    main(sys.argv[1:])
