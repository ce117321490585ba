"""Values taken before they are used, on every path, and used once they are taken."""

from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.checks.possibilities import DECLINED, NEVER, TAKEN
from assistant.checks.uses import Use, uses
from assistant.flow.model import AskStep, MeasureStep, WorkOutStep, value_name
from assistant.flow.problems import Problem


def find_used_before_taken(subject: Subject) -> Iterator[Problem]:
    """Complain of a use that some path reaches before any step asked for the value."""
    for use, is_always in _too_early(subject):
        where = "here" if is_always else "on some path that leads here"
        message = f"'{use.value}' was not taken {where}."
        takers = _takers(subject, use.value)
        listed = " or ".join(f"'{one}'" for one in takers[:2])
        hint = f"Lead every path through {listed} first."
        if use.finding and subject.flow.findings:
            yield subject.finding_problem(use.finding, use.way, message, hint)
        else:
            yield subject.problem(use.step, use.way, message, hint)


_NEEDED = frozenset({"rule", "formula", "prompt"})
"""Uses that want their value on every path; a finding reads "the rating" where it was not asked."""


def _too_early(subject: Subject) -> Iterator[tuple[Use, bool]]:
    """Give each use of a value that may never have been asked for, and whether it never is taken.

    A value that was asked for and is declined on every path, as behind a skip, is never taken; a
    reading that a prompt says is taken on every path.
    """
    knowing = subject.knowing
    maybe: dict[str, list[Use]] = {}
    for use in uses(subject.flow):
        if use.how == "decision" or use.step not in knowing.arrival:
            continue
        status = knowing.value_status(use.step, use.value)
        if TAKEN not in status:
            yield use, True
        elif DECLINED in status and use.how == "prompt" and _is_measured(subject, use.value):
            yield use, False
        elif NEVER in status and use.how in _NEEDED:
            maybe.setdefault(use.value, []).append(use)
    for value, doubted in maybe.items():
        reached = knowing.arrival_without(value, {use.step for use in doubted})
        yield from ((use, False) for use in doubted if use.step in reached)


def _is_measured(subject: Subject, value: str) -> bool:
    """Whether no step asks for a value: a label that is not there reads "the rating" aloud."""
    takers = _takers(subject, value)
    return not any(isinstance(subject.flow.steps[name], AskStep) for name in takers)


def _takers(subject: Subject, value: str) -> list[str]:
    return [
        name
        for name, step in subject.flow.steps.items()
        if isinstance(step, MeasureStep | AskStep | WorkOutStep)
        and value in {value_name(name, step), f"{value_name(name, step)}_second"}
    ]


def find_unused(subject: Subject) -> Iterator[Problem]:
    """Complain of a value that nothing judges, compares, says or shows."""
    flow = subject.flow
    used = {use.value for use in uses(flow)}
    used |= {one for finding in flow.findings.values() for one in finding.evidence}
    proven = {one for finding in flow.findings.values() for one in finding.proof}
    for name, step in flow.steps.items():
        if not isinstance(step, MeasureStep | AskStep | WorkOutStep):
            continue
        if flow.origins[name].source is not flow.source:
            continue  # what is shared is written for other flows too
        value = value_name(name, step)
        is_told = {value, name, f"{value}_second"} & used or name in proven
        if not is_told and not step.judge and not (isinstance(step, WorkOutStep) and step.label):
            message = f"Nothing judges, compares or says '{value}'."
            hint = "Judge it, name it as evidence, or take the step out."
            yield subject.problem(name, (), message, hint)


CHECKS: tuple[Check, ...] = (
    Check(
        "used-before-taken",
        "A verdict on a value that was never taken cannot tell, and a prompt would say no number.",
        find_used_before_taken,
    ),
    Check(
        "value-never-used",
        "A reading that nothing needs costs time with hands near live parts.",
        find_unused,
        "warning",
    ),
)
