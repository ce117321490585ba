"""The words of a drawing: what a step takes, what it judges, and how each outcome reads."""

import re
from collections.abc import Mapping

from assistant.flow.clauses import AnswerIs, Case, Clause, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.judging import RuleModel
from assistant.flow.linked import Flow, GateStep, LinkedStep
from assistant.flow.model import (
    END,
    STOP,
    TO_FLOW,
    AskStep,
    DecideStep,
    DoStep,
    FindStep,
    JudgedStep,
    MeasureStep,
    NumberStep,
    ObserveStep,
    SpokenStep,
    WorkOutStep,
)

ENDINGS: Mapping[str, str] = {
    END: "end of the walk",
    STOP: "stop: a licensed person takes over",
}
"""The targets that end a walk here, in words."""

_OUTCOMES: Mapping[str, str] = {
    "agrees": "agrees",
    "edge": "close to the edge",
    "enough": "enough",
    "falls": "falls in order",
    "high": "too high",
    "in_band": "within limits",
    "low": "too low",
    "low_enough": "low enough",
    "near_zero": "about zero",
    "out_of_order": "out of order",
    "over_limit": "over limit",
    "reads": "shows a number",
    "unsure": "cannot tell",
    "zero": "zero",
}


def ending_words(target: str) -> str:
    """Give a target that is no step in words."""
    if target.startswith(TO_FLOW):
        return f"on to the flow {target.removeprefix(TO_FLOW)}"
    return ENDINGS.get(target, target)


def plain_phrase(phrase: str) -> str:
    """Give a spoken phrase as a person writes it."""
    return re.sub(r"\bi\b", "I", phrase)


def outcome_words(step: LinkedStep, outcome: str) -> str:
    """Give an outcome of a step in plain words.

    Args:
        step: the step.
        outcome: as the step's exits name it: `choice.dead`, `rule0.low`, `case1`, `next`, ...
    """
    head, _, rest = outcome.partition(".")
    if head == "choice" and isinstance(step, SpokenStep):
        phrases = step.choices[rest].phrases
        return plain_phrase(phrases[0]) if phrases else rest.replace("_", " ")
    if head.startswith("rule") and isinstance(step, JudgedStep):
        word = _OUTCOMES.get(rest, rest.replace("_", " "))
        number = int(head.removeprefix("rule")) + 1
        return f"check {number}: {word}" if len(step.judge) > 1 else word
    if head.startswith("case") and isinstance(step, DecideStep):
        return case_words(step.cases[int(head.removeprefix("case"))])
    if head == "next":
        return _next_words(step)
    return _FIXED.get(head, outcome)


_FIXED = {
    "otherwise": "otherwise",
    "skipped": "skipped",
    "unknown": "a value is missing",
}


def _next_words(step: LinkedStep) -> str:
    if isinstance(step, GateStep):
        return "go in" if step.way == "in" else "go on"
    if isinstance(step, JudgedStep):
        return "passes" if step.judge else "any number"
    return "go on"


def case_words(case: Case) -> str:
    """Give a case of a decision in words: all its clauses."""
    return " and ".join(_clause_words(clause) for clause in case.when)


def _clause_words(clause: Clause) -> str:
    match clause:
        case AnswerIs():
            return f"{clause.answer} is {_any_of(clause.is_)}"
        case VerdictIs():
            return f"verdict of {clause.verdict} is {_any_of(clause.is_)}"
        case OutcomeIs():
            return f"outcome of {clause.outcome} is {_any_of(clause.is_)}"
        case FoundIs():
            return f"{clause.found} was found"
        case Compare():
            return _compare_words(clause)


def _any_of(words: tuple[str, ...]) -> str:
    return " or ".join(word.replace("_", " ") for word in words)


def _compare_words(clause: Compare) -> str:
    limits = []
    if clause.at_least is not None:
        limits.append(f"at least {clause.at_least}")
    if clause.below is not None:
        limits.append(f"below {clause.below}")
    return f"{clause.value} is {' and '.join(limits)}"


def rule_words(rule: RuleModel) -> str:
    """Give a rule as its name and what was written of it: `within: low 103.5, high 126.5`."""
    name = str(getattr(rule, "rule", "")).replace("_", " ")
    parts = []
    for key in type(rule).model_fields:
        value = getattr(rule, key)
        if key in {"rule", "go"} or value is None:
            continue
        members = value if isinstance(value, tuple) else (value,)
        parts.append(f"{key} {', '.join(str(one) for one in members)}")
    return f"{name}: {', '.join(parts)}" if parts else name


def takes_words(flow: Flow, step: LinkedStep) -> str:
    """Give what a step takes, one line: a reading with unit and places, a choice, a formula."""
    match step:
        case MeasureStep() | AskStep():
            return _reading(flow, step)
        case DoStep() | ObserveStep():
            return _watch(flow, step)
        case WorkOutStep():
            given = ", ".join(f"{name} {value}" for name, value in step.given.items())
            return f"{step.formula.replace('_', ' ')} of {given}; in {step.unit.value}"
        case FindStep() if step.finding in flow.findings:
            return flow.findings[step.finding].reason
        case GateStep() if step.way != "in":
            return f"way out of {step.include}: {step.way}"
        case _:
            return ""


def _reading(flow: Flow, step: MeasureStep | AskStep) -> str:
    if isinstance(step, AskStep):
        return f"{'two numbers' if step.dual else 'a number'} {_number(step)}"
    words = flow.vocabulary
    place = f"at {words.places[step.from_].say}"
    if step.to is not None:
        place = f"{words.places[step.from_].say} to {words.places[step.to].say}"
    quantity = step.quantity.value.replace("_", " ")
    meter = words.meters[step.meter].say
    return f"{quantity}, {place}; {_number(step)}; meter on {meter}"


def _number(step: NumberStep) -> str:
    low, high = step.plausible
    words = f"in {step.unit.value}, {low:f} to {high:f}"
    if step.allowed:
        words = f"in {step.unit.value}, one of {', '.join(f'{one:f}' for one in step.allowed)}"
    if step.over_limit:
        words += " or over limit"
    return words


def _watch(flow: Flow, step: DoStep | ObserveStep) -> str:
    if step.about is None:
        return ""
    observation = flow.vocabulary.observations.get(step.about)
    return step.about if observation is None else observation.say
