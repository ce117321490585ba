"""What a flow and its vocabulary may call proven, and steps reached without their proof."""

from collections.abc import Iterable, Iterator

from assistant.flow.conditions import QUANTITY_NEEDS
from assistant.flow.linked import Flow, LinkedStep, Origin
from assistant.flow.model import DoStep, MeasureStep, NumberStep, QuantityKind, SpokenStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.flow.source import Source
from assistant.flow.vocabulary import Vocabulary
from assistant.flow.ways import Ways

_WORDS = "vocabulary"


def check_vocabulary(source: Source, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Complain where the conditions that readings rest on are missing, free or true from the start.

    Args:
        source: the vocabulary's file.
        vocabulary: what was read from it.
    """
    needed = {pair for needs in QUANTITY_NEEDS.values() for pair in needs.items()}
    for name, value in sorted(needed | {("power", "on")}):
        condition = vocabulary.conditions.get(name)
        where = ("conditions", name)
        if condition is None or value not in condition.values:
            message = f"The condition '{name}' with the value '{value}' is missing."
            yield source.problem(where, message, "Readings rest on it: add it.", _WORDS)
        elif condition.by != "proof":
            message = f"The condition '{name}' can be set by saying so."
            yield source.problem(where, message, "Write 'by: proof': readings rest on it.", _WORDS)
        elif condition.first == value:
            message = f"The condition '{name}' begins as '{value}' before anything was proven."
            yield source.problem(where, message, "Put the unproven value first.", _WORDS)
    agreed = vocabulary.conditions.get("live_work")
    ends = vocabulary.consequences.get("power", {}).get("on", {})
    if agreed is not None and ends.get("live_work") != agreed.first:
        message = "Power that comes on does not end what was agreed for live tests."
        hint = f"Write 'power: {{\"on\": {{live_work: {agreed.first}}}}}' under 'consequences'."
        yield source.problem(("consequences",), message, hint, _WORDS)
    for name, condition in vocabulary.conditions.items():
        silent = [value for value in condition.values if not condition.phrases.get(value)]
        if condition.by == "hand" and silent:
            message = f"The condition '{name}' has no phrases for '{silent[0]}'."
            hint = "Add them under 'phrases'."
            yield source.problem(("conditions", name), message, hint, _WORDS)


def check_paths(flow: Flow, ways: Ways | None = None) -> list[Problem]:
    """Follow every path and complain where a step can be reached without what it needs.

    A need that hands can make true again (`by: hand`) is asked for at run time, so only what must
    be proven counts here. What a step may not call proven is complained of too.

    Args:
        flow: the flow.
        ways: its ways, where they were followed by now.
    """
    problems = [
        problem for name, step in flow.steps.items() for problem in _check_proof(flow, name, step)
    ]
    for name, lacking in sorted((ways or Ways(flow)).unproven.items()):
        said = " and ".join(
            flow.vocabulary.conditions[one].values[value] for one, value in sorted(lacking)
        )
        message = f"'{name}' can be reached without: {said}."
        hint = "Lead every path through the step that proves it."
        problems.append(_problem(flow.origins[name], message, hint))
    return problems


def _problem(origin: Origin, message: str, hint: str, way: Where = ()) -> Problem:
    return origin.source.problem((*origin.where, *way), message, hint, "unsafe-path")


def _check_proof(flow: Flow, name: str, step: LinkedStep) -> Iterator[Problem]:
    """Off is measured, bled is measured or a hold point, live is a hold point with its caution."""
    if not isinstance(step, SpokenStep):
        return
    left = set(step.leaves.items())
    said = {pair for answer in step.choices.values() for pair in answer.leaves.items()}
    if isinstance(step, NumberStep):
        yield from _check_words(flow, name, said)
    left |= said
    origin = flow.origins[name]
    is_judged = isinstance(step, MeasureStep) and bool(step.judge)
    is_hold = isinstance(step, DoStep) and step.hold
    is_volts = isinstance(step, MeasureStep) and step.quantity is QuantityKind.VOLTAGE
    if ("power", "off") in left and not (is_judged and is_volts):
        message = f"'{name}' calls the power off without measuring it."
        hint = "Leave 'power: off' on a judged reading of volts."
        yield _problem(origin, message, hint, _left_at(step, "power", "off"))
    if ("capacitor", "bled") in left and not (is_judged or is_hold):
        message = f"'{name}' calls the capacitor bled without a reading or a hold point."
        hint = "Measure it, or write 'hold: true'."
        yield _problem(origin, message, hint, _left_at(step, "capacitor", "bled"))
    if ("live_work", "agreed") in left and not (is_hold and step.cautions):
        message = f"'{name}' agrees a live test without its caution and hold point."
        hint = "Write 'hold: true' and 'cautions: [live_parts]'."
        yield _problem(origin, message, hint, _left_at(step, "live_work", "agreed"))


def _left_at(step: SpokenStep, condition: str, value: str) -> Where:
    """Give the way inside a step to the key that leaves a condition at a value."""
    if step.leaves.get(condition) == value:
        return ("leaves", condition)
    choices = (name for name, one in step.choices.items() if one.leaves.get(condition) == value)
    return ("choices", next(choices), "leaves", condition)


def _check_words(flow: Flow, name: str, said: Iterable[tuple[str, str]]) -> Iterator[Problem]:
    """Words said in place of a reading prove nothing, whatever its rules are."""
    words = flow.vocabulary.conditions
    for condition, value in sorted(said):
        if words[condition].by == "proof" and value != words[condition].first:
            message = f"An answer of '{name}' that is no reading calls it proven."
            yield _problem(flow.origins[name], message, "Leave it true by the reading alone.")
