"""Every name a flow uses must mean something: places, conditions, values, outcomes, findings."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping

from assistant.errors import RungsideError
from assistant.flow.clauses import AnswerIs, Compare, FoundIs, OutcomeIs, VerdictIs
from assistant.flow.fitting import check_kind, check_spoken, check_step_units
from assistant.flow.judging import RuleModel, VerdictKind, WithinPercent
from assistant.flow.linked import Flow, GateStep, LinkedStep, Origin
from assistant.flow.model import (
    DecideStep,
    FindStep,
    JudgedStep,
    MeasureStep,
    SpokenStep,
    WorkOutStep,
    value_name,
)
from assistant.flow.plain import Where
from assistant.flow.problems import Problem, nearest
from assistant.trade.formulas import FORMULAS, check_units

PLACEHOLDER = re.compile(r"\{([a-z0-9_]*)\}")
"""A value's place in a prompt, as `{cap_rated}`."""

NOT_TAKEN = "not_taken"
"""What a clause says of a value that was never taken."""

_Check = Callable[[Flow, str, LinkedStep, Origin], Iterator[Problem]]


def check_names(flow: Flow) -> list[Problem]:
    """Give a complaint for each name that means nothing."""
    problems = list(_check_heads(flow))
    for name, step in flow.steps.items():
        if not isinstance(step, GateStep):
            for check in _CHECKS:
                problems.extend(check(flow, name, step, flow.origins[name]))
    problems.extend(_check_findings(flow))
    return problems


def _problem(origin: Origin, way: Where, message: str, hint: str, check: str) -> Problem:
    return origin.source.problem((*origin.where, *way), message, hint, check)


_SAID = {
    "include": "an include of this flow",
    "complaint": "a known complaint",
    "fault": "a fault that this flow covers",
    "caution": "a caution",
    "meter": "a meter setting",
    "place": "a place of the vocabulary",
    "condition": "a condition",
    "value": "a value that this flow takes",
    "outcome": "an outcome of this rule",
    "finding": "a finding of this flow",
    "step": "a step that is answered",
}
"""What a word should have been, by the end of the complaint's name."""


def _known(
    origin: Origin, way: Where, word: str, known: Iterable[str], kind: str, said: str = ""
) -> Iterator[Problem]:
    """Complain, as `unknown-<kind>`, where a word is not among the known ones."""
    names = list(known)
    if word not in names:
        message = f"'{word}' is not {said or _SAID[kind]}."
        hint = nearest(word, names)
        yield origin.source.problem((*origin.where, *way), message, hint, f"unknown-{kind}")


def _check_heads(flow: Flow) -> Iterator[Problem]:
    source = next(iter(flow.origins.values())).source
    top = Origin(source, ())
    gates = [n for n, s in flow.steps.items() if isinstance(s, GateStep) and s.way == "in"]
    for key, include in (("make_safe", flow.make_safe), ("make_live", flow.make_live)):
        if include is not None:
            yield from _known(top, (key,), include, gates, "include")
    known = flow.vocabulary.observations.get("complaint")
    complaints = {} if known is None else known.values
    for position, complaint in enumerate(flow.complaints):
        yield from _known(top, ("complaints", position), complaint, complaints, "complaint")
    for position, group in enumerate(flow.ambiguous):
        for place, fault in enumerate(group):
            way = ("ambiguous", position, place)
            yield from _known(top, way, fault, flow.covers, "fault")


def _check_words(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """Cautions, conditions, places and meters stand in the vocabulary."""
    del name
    words = flow.vocabulary
    if isinstance(step, SpokenStep):
        for position, caution in enumerate(step.cautions):
            yield from _known(origin, ("cautions", position), caution, flow.cautions, "caution")
        yield from _check_conditions(flow, origin, ("needs",), step.needs)
        yield from _check_conditions(flow, origin, ("leaves",), step.leaves)
        for choice, answer in step.choices.items():
            way = ("choices", choice, "leaves")
            yield from _check_conditions(flow, origin, way, answer.leaves)
    if isinstance(step, MeasureStep):
        yield from _known(origin, ("meter",), step.meter, words.meters, "meter")
        yield from _known(origin, ("from",), step.from_, words.places, "place")
        if step.to is not None:
            yield from _known(origin, ("to",), step.to, words.places, "place")
    if isinstance(step, WorkOutStep) and step.meter is not None:
        yield from _known(origin, ("meter",), step.meter, words.meters, "meter")


def _check_conditions(
    flow: Flow, origin: Origin, way: Where, pairs: Mapping[str, str]
) -> Iterator[Problem]:
    conditions = flow.vocabulary.conditions
    for name, value in pairs.items():
        if name not in conditions:
            yield from _known(origin, (*way, name), name, conditions, "condition")
        else:
            values, said = conditions[name].values, f"something '{name}' can be"
            yield from _known(origin, (*way, name), value, values, "condition", said)


def _check_answers(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """Every answer leads somewhere and has words that mean it."""
    del flow
    if not isinstance(step, SpokenStep):
        if not list(step.exits()):
            message = f"'{name}' leads nowhere."
            yield _problem(origin, (), message, "Add 'next: step'.", "dead-end")
        return
    is_number = isinstance(step, JudgedStep)
    if not is_number and not step.choices:
        message = f"'{name}' has no answers."
        hint = "Add 'choices:' that name the state seen."
        yield _problem(origin, (), message, hint, "no-answer")
    if is_number and step.next is None:
        message = f"'{name}' does not say where a good reading leads."
        yield _problem(origin, (), message, "Add 'next: step'.", "dead-end")
    for choice, answer in step.choices.items():
        way = ("choices", choice)
        if not answer.phrases:
            message = f"The answer '{choice}' has no phrases that mean it."
            yield _problem(origin, way, message, "Add 'phrases: [words to say]'.", "no-phrases")
        if answer.next is None and step.next is None:
            message = f"The answer '{choice}' leads nowhere."
            yield _problem(origin, way, message, "Add 'next: step'.", "dead-end")


def _check_rules(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """A rule's operands are known values of its kind, and each of its outcomes leads somewhere."""
    if not isinstance(step, JudgedStep):
        return
    unit = flow.units[value_name(name, step)]
    for position, rule in enumerate(step.judge):
        percents = {rule.plus, rule.minus} if isinstance(rule, WithinPercent) else set()
        for part, operand in rule.placed_operands():
            if isinstance(operand, str):
                way: Where = ("judge", position, *part)
                yield from _known(origin, way, operand, flow.units, "value")
                if operand not in percents:
                    yield from check_kind(flow, origin, way, operand, unit)
        yield from _check_outcomes(origin, ("judge", position), rule)


def _check_outcomes(origin: Origin, way: Where, rule: RuleModel) -> Iterator[Problem]:
    known = [*rule.outcomes, *(kind.value for kind in VerdictKind)]
    for outcome in rule.go:
        yield from _known(origin, (*way, "go", outcome), outcome, known, "outcome")
    for outcome in rule.outcomes:
        if rule.target(outcome) is None:
            message = f"The outcome '{outcome}' of this rule leads nowhere."
            hint = f"Add '{outcome}: step' or '{rule.outcomes[outcome].value}: step' under 'go'."
            yield _problem(origin, way, message, hint, "incomplete")


def _check_formula(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """A formula is known, given all it needs, in units that fit, and gives the step's unit."""
    del name
    if not isinstance(step, WorkOutStep):
        return
    for parameter, operand in step.given.items():
        if isinstance(operand, str):
            way = ("with", parameter)
            yield from _known(origin, way, operand, flow.units, "value")
    units = {
        parameter: flow.units.get(operand) if isinstance(operand, str) else None
        for parameter, operand in step.given.items()
    }
    try:
        result = check_units(step.formula, units)
    except RungsideError as error:
        yield _formula_problem(origin, step, error)
        return
    if result is not step.unit:
        message = f"The formula '{step.formula}' gives {result.value}, not {step.unit.value}."
        hint = f"Write 'unit: {result.value}'."
        yield _problem(origin, ("unit",), message, hint, "unit-mismatch")


def _formula_problem(origin: Origin, step: WorkOutStep, error: RungsideError) -> Problem:
    """Point at the formula's name, at its parameters, or at the one whose unit does not fit."""
    formula = FORMULAS.get(step.formula)
    if formula is None:
        return _problem(origin, ("formula",), error.message, error.hint, "unknown-formula")
    extra = [("with", name) for name in step.given if name not in formula.parameters]
    if extra or set(formula.parameters) - set(step.given):
        way: Where = extra[0] if extra else ("with",)
        return _problem(origin, way, error.message, error.hint, "wrong-form")
    named = [name for name in step.given if f"as {name}." in error.message]
    return _problem(origin, ("with", *named[:1]), error.message, error.hint, "unit-mismatch")


def _check_decision(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """A decision speaks of steps, values, verdicts, outcomes and findings that exist."""
    del name
    if isinstance(step, FindStep):
        yield from _known(origin, ("finding",), step.finding, flow.findings, "finding")
    if not isinstance(step, DecideStep):
        return
    for position, case in enumerate(step.cases):
        for place, clause in enumerate(case.when):
            way: Where = ("cases", position, "when", place)
            if isinstance(clause, AnswerIs):
                yield from _check_answer_clause(flow, origin, way, clause)
            elif isinstance(clause, FoundIs):
                yield from _known(origin, (*way, "found"), clause.found, flow.findings, "finding")
            elif isinstance(clause, Compare):
                yield from _check_compare_clause(flow, origin, way, clause)
            else:
                yield from _check_value_clause(flow, origin, way, clause)


def _check_answer_clause(
    flow: Flow, origin: Origin, way: Where, clause: AnswerIs
) -> Iterator[Problem]:
    step = flow.steps.get(clause.answer)
    if not isinstance(step, SpokenStep):
        answered = [n for n, s in flow.steps.items() if isinstance(s, SpokenStep)]
        yield from _known(origin, (*way, "answer"), clause.answer, answered, "step")
        return
    for place, choice in enumerate(clause.is_):
        known = [*step.choices, "skipped", NOT_TAKEN]
        said = f"an answer of '{clause.answer}'"
        yield from _known(origin, (*way, "is", place), choice, known, "answer", said)


def _check_compare_clause(
    flow: Flow, origin: Origin, way: Where, clause: Compare
) -> Iterator[Problem]:
    for key in ("value", "at_least", "below"):
        operand = getattr(clause, key)
        if isinstance(operand, str):
            here = (*way, key)
            yield from _known(origin, here, operand, flow.units, "value")
            if clause.value in flow.units:
                yield from check_kind(flow, origin, here, operand, flow.units[clause.value])


def _check_value_clause(
    flow: Flow, origin: Origin, way: Where, clause: VerdictIs | OutcomeIs
) -> Iterator[Problem]:
    value = clause.verdict if isinstance(clause, VerdictIs) else clause.outcome
    key = "verdict" if isinstance(clause, VerdictIs) else "outcome"
    yield from _known(origin, (*way, key), value, flow.units, "value")
    if isinstance(clause, VerdictIs):
        known = [*(kind.value for kind in VerdictKind), NOT_TAKEN]
    else:
        known = [NOT_TAKEN, *_outcomes_of(flow, value)]
    for place, one in enumerate(clause.is_):
        said = f"something '{value}' can come to"
        yield from _known(origin, (*way, "is", place), one, known, "outcome", said)


def _outcomes_of(flow: Flow, value: str) -> Iterator[str]:
    for step in flow.steps.values():
        if isinstance(step, JudgedStep) and step.name == value:
            for rule in step.judge:
                yield from rule.outcomes


def _check_prompts(flow: Flow, name: str, step: LinkedStep, origin: Origin) -> Iterator[Problem]:
    """The values that a prompt quotes are values of the flow."""
    del name
    if isinstance(step, SpokenStep):
        for key in ("say", "again", "help", "why"):
            for value in PLACEHOLDER.findall(getattr(step, key)):
                yield from _known(origin, (key,), value, flow.units, "value")


def _check_findings(flow: Flow) -> Iterator[Problem]:
    """A finding's evidence, proof and quoted values exist."""
    answered = [n for n, s in flow.steps.items() if isinstance(s, SpokenStep)]
    for name, finding in flow.findings.items():
        origin = flow.finding_origin(name)
        for position, one in enumerate(finding.evidence):
            known = [*flow.units, *answered]
            way: Where = ("evidence", position)
            yield from _known(origin, way, one, known, "step", "a value or an answered step")
        for position, one in enumerate(finding.proof):
            yield from _known(origin, ("proof", position), one, answered, "step")
        texts = {"reason": finding.reason, "repair": finding.repair}
        if finding.replacement is not None:
            texts["replacement"] = finding.replacement.text
            for key in ("microfarads", "volts"):
                value = getattr(finding.replacement, key)
                if value is not None:
                    way = ("replacement", key)
                    yield from _known(origin, way, value, flow.units, "value")
        for key, text in texts.items():
            for value in PLACEHOLDER.findall(text):
                yield from _known(origin, (key,), value, flow.units, "value")


_CHECKS: tuple[_Check, ...] = (
    _check_words,
    check_step_units,
    check_spoken,
    _check_answers,
    _check_rules,
    _check_formula,
    _check_decision,
    _check_prompts,
)
