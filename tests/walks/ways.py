"""The ways through a flow that its conversations have to take: every exit and every caution.

A step of an included file counts once, where it is written, however often the file is included.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import NumberStep, SpokenStep, WorkOutStep
from assistant.flow.plain import plain_values
from assistant.walk.events import AnyEvent, CautionAnswered, Moved

Way: TypeAlias = tuple[str, str]
"""A step and an outcome that leaves it; or a step and one of its cautions, as `caution.ladder`."""

_IMPOSSIBLE = Path(__file__).parent / "impossible.yaml"


def home(flow: Flow, name: str) -> str:
    """Give a step by where it is written: its own id, or `file:step` for one of an include."""
    origin = flow.origins[name]
    if origin.source.file == flow.file:
        return name
    return f"{origin.source.file.stem}:{'/'.join(str(part) for part in origin.where[1:])}"


def wanted(flow: Flow) -> frozenset[Way]:
    """Give every way of a flow: choices, outcomes, cases, skips, gates, and cautions answered.

    A number step that takes no OL is never left by it: the words are refused at the ear.
    """
    exits = {
        (home(flow, step), outcome)
        for step, outcome, _ in flow.arrows()
        if not (outcome.endswith(".over_limit") and _takes_no_over_limit(flow.steps[step]))
    }
    return frozenset(exits | set(_cautions(flow)))


def _takes_no_over_limit(step: LinkedStep) -> bool:
    return isinstance(step, WorkOutStep | NumberStep) and not getattr(step, "over_limit", False)


def _cautions(flow: Flow) -> Iterator[Way]:
    for name, step in flow.steps.items():
        if isinstance(step, SpokenStep):
            yield from ((home(flow, name), f"caution.{caution}") for caution in step.cautions)


def taken(flow: Flow, events: Iterable[AnyEvent]) -> Iterator[Way]:
    """Give the ways that were taken."""
    for event in events:
        if isinstance(event, Moved):
            yield home(flow, event.step), event.outcome
        elif isinstance(event, CautionAnswered):
            yield home(flow, event.step), f"caution.{event.caution}"


def impossible(flow: str) -> dict[Way, str]:
    """Give the ways that no conversation can take, each with the reason."""
    data, _ = plain_values(_IMPOSSIBLE.read_text(encoding="utf-8"))
    found: dict[Way, str] = {}
    for group in data.get(flow, ()):
        for way in group["ways"]:
            step, _, outcome = way.partition(" ")
            found[(step, outcome)] = group["why"]
    return found
