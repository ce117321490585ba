"""Walks that use a fact of the trade: the bench's, but for the answers that the fact gives."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from walk_lines import Line, Override, Walker

from assistant.bench.walking import Case
from assistant.flow.plain import plain_values
from assistant.walk.state import State, Turn

_FILE = Path(__file__).parent / "trade_walks.yaml"


def trade_lines(flow: str, walker: Walker) -> Iterator[tuple[str, str, Line]]:
    """Give each of a flow's trade walks: its name, what it shows, its line.

    Raises:
        ValueError: when a walk does not end, or a value comes to something else than expected.
    """
    data, _ = plain_values(_FILE.read_text(encoding="utf-8"))
    for one in data.get(flow, ()):
        unit, fault, complaint = one["case"]
        line = walker.line(Case(unit, fault, complaint), _with(one["answers"]))
        if not line.is_ended:
            raise ValueError(f"{one['name']}: stays at {line.states[-1].step}")
        for value, verdict in one["expects"].items():
            came = _came_to(line, value)
            if verdict not in came:
                raise ValueError(f"{one['name']}: {value} should be {verdict}, is {came}")
        yield one["name"], one["about"], line


def _with(answers: Mapping[str, Any]) -> Override:
    left = {
        step: list(said) if isinstance(said, list) else [said] for step, said in answers.items()
    }

    def override(turn: int, state: State) -> str | None:
        del turn
        said = left.get(state.step, [])
        return said.pop(0) if said and state.turn is Turn.ANSWER else None

    return override


def _came_to(line: Line, value: str) -> list[str]:
    """Give every verdict that a value had, and `found` where it is a finding that was made."""
    came = []
    for state in line.states:
        taken = state.values.get(value)
        if taken is not None and taken.verdict is not None:
            came.append(taken.verdict.kind.value)
        if value in state.findings:
            came.append("found")
    return list(dict.fromkeys(came))
