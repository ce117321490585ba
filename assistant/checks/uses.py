"""Where the values of a flow are used: rules, formulas, decisions, prompts and findings."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from assistant.flow.clauses import Compare, OutcomeIs, VerdictIs
from assistant.flow.linked import Flow, LinkedStep
from assistant.flow.model import (
    DecideStep,
    Finding,
    FindStep,
    JudgedStep,
    SpokenStep,
    WorkOutStep,
)
from assistant.flow.names import PLACEHOLDER
from assistant.flow.plain import Where

How = Literal["rule", "tolerance", "formula", "decision", "prompt", "finding"]


@dataclass(frozen=True, slots=True)
class Use:
    """One use of a value.

    Args:
        step: the step that uses it.
        way: the key inside the step, or inside the finding that the step makes.
        value: the value's name.
        how: what for; a `tolerance` is a number that a rule can do without.
        finding: the finding whose text it stands in; "" elsewhere.
    """

    step: str
    way: Where
    value: str
    how: How
    finding: str = ""


def uses(flow: Flow) -> Iterator[Use]:
    """Give every use of every value, by step."""
    for name, step in flow.steps.items():
        yield from _in_rules(name, step)
        yield from _in_decision(name, step)
        yield from _in_prompts(name, step)
        if isinstance(step, WorkOutStep):
            for parameter, operand in step.given.items():
                if isinstance(operand, str):
                    yield Use(name, ("with", parameter), operand, "formula")
        if isinstance(step, FindStep):
            yield from _in_finding(name, step.finding, flow.findings[step.finding])


def _in_rules(name: str, step: LinkedStep) -> Iterator[Use]:
    if not isinstance(step, JudgedStep):
        return
    for position, rule in enumerate(step.judge):
        for part, operand in rule.placed_operands():
            if isinstance(operand, str) and operand != step.name:
                is_optional = part[0] in {"plus", "minus", "upper", "values"}
                how: How = "tolerance" if is_optional else "rule"
                yield Use(name, ("judge", position, *part), operand, how)


def _in_decision(name: str, step: LinkedStep) -> Iterator[Use]:
    for position, case in enumerate(step.cases if isinstance(step, DecideStep) else ()):
        for place, clause in enumerate(case.when):
            way = ("cases", position, "when", place)
            if isinstance(clause, VerdictIs):
                yield Use(name, (*way, "verdict"), clause.verdict, "decision")
            if isinstance(clause, OutcomeIs):
                yield Use(name, (*way, "outcome"), clause.outcome, "decision")
            if isinstance(clause, Compare):
                for key in ("value", "at_least", "below"):
                    if isinstance(getattr(clause, key), str):
                        yield Use(name, (*way, key), getattr(clause, key), "decision")


def _in_prompts(name: str, step: LinkedStep) -> Iterator[Use]:
    if isinstance(step, SpokenStep):
        for key in ("say", "again", "help", "why"):
            for value in PLACEHOLDER.findall(getattr(step, key)):
                yield Use(name, (key,), value, "prompt")


def _in_finding(name: str, finding: str, made: Finding) -> Iterator[Use]:
    for key, text in (("reason", made.reason), ("repair", made.repair)):
        for value in PLACEHOLDER.findall(text):
            yield Use(name, (key,), value, "finding", finding)
    if made.replacement is not None:
        for value in PLACEHOLDER.findall(made.replacement.text):
            yield Use(name, ("replacement", "text"), value, "finding", finding)
        for key in ("microfarads", "volts"):
            value = getattr(made.replacement, key)
            if value is not None:
                yield Use(name, ("replacement", key), value, "finding", finding)
