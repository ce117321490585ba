"""The ways through a flow that its conversations have to take: every exit and every caution.

A step of an included file counts once, where it is written, however often the file is included.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

from assistant.flow.judging import CONTINUE, ReplacementAllowed, RuleModel
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import AskStep, JudgedStep, NumberStep, SpokenStep, WorkOutStep
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

    A number step that takes no OL is never left by it: the words are refused at the ear. And a step
    with a rule whose every outcome leads elsewhere is never left by its `next`, which it must have.
    What no meter's error is in, a formula's result or a print, is never too close to tell; OL that
    one rule sends elsewhere comes to no later one; what may be equal or higher is never too high.
    """
    exits = {
        (home(flow, step), outcome)
        for step, outcome, _ in flow.arrows()
        if not (outcome == "next" and never_goes_on(flow.steps[step]))
        and not cannot_come(flow.steps[step], outcome)
    }
    return frozenset(exits | set(_cautions(flow)))


def cannot_come(step: LinkedStep, outcome: str) -> bool:
    """Whether no value of a step can be judged to an outcome, as `rule0.low`."""
    position, _, word = outcome.removeprefix("rule").partition(".")
    if not isinstance(step, JudgedStep) or not position.isdigit():
        return False
    rule = step.judge[int(position)]
    if word == "over_limit":
        before = step.judge[: int(position)]
        return takes_no_over_limit(step) or any(
            "over_limit" in one.outcomes and one.target("over_limit") != CONTINUE for one in before
        )
    is_higher_allowed = isinstance(rule, ReplacementAllowed) and rule.kind == "equal_or_higher"
    return (word == "high" and is_higher_allowed) or is_always_sure(step, outcome)


def takes_no_over_limit(step: LinkedStep) -> bool:
    """Whether a step's value can never be OL: a formula's result, or one refused at the ear."""
    return isinstance(step, WorkOutStep | NumberStep) and not getattr(step, "over_limit", False)


def never_goes_on(step: LinkedStep) -> bool:
    """Whether some rule of a step sends each of its outcomes elsewhere."""
    return isinstance(step, JudgedStep) and any(
        all(rule.target(one) != CONTINUE for one in _outcomes(step, rule)) for rule in step.judge
    )


def is_always_sure(step: LinkedStep, outcome: str) -> bool:
    """Whether a step cannot be left by this `unsure`: no meter's error, and only numbers asked."""
    if not isinstance(step, WorkOutStep | AskStep) or getattr(step, "meter", None) is not None:
        return False
    position, _, word = outcome.removeprefix("rule").partition(".")
    if word not in {"unsure", "cannot_tell"}:
        return False
    operands = step.judge[int(position)].operands()
    return not any(isinstance(operand, str) for operand in operands)


def _outcomes(step: LinkedStep, rule: RuleModel) -> Iterator[str]:
    is_without = takes_no_over_limit(step)
    yield from (one for one in rule.outcomes if not (is_without and one == "over_limit"))


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
