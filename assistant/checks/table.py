"""The table of all checks, and what runs it over a flow or a file."""

from collections.abc import Iterable
from pathlib import Path

from assistant.checks import (
    bench_values,
    decisions,
    findings,
    graph,
    limits,
    safety,
    speech,
    values,
)
from assistant.checks.check import Check, Subject
from assistant.flow.library import open_flow
from assistant.flow.linked import Flow
from assistant.flow.problems import FlowError, Problem

CHECKS: tuple[Check, ...] = (
    *graph.CHECKS,
    *decisions.CHECKS,
    *limits.CHECKS,
    *values.CHECKS,
    *bench_values.CHECKS,
    *safety.CHECKS,
    *speech.CHECKS,
    *findings.CHECKS,
)


def check_flow(flow: Flow) -> tuple[Problem, ...]:
    """Give all that the checks say of a flow, by file and line, each place and check once."""
    subject = Subject(flow)
    return once(problem for check in CHECKS for problem in check.run(subject))


def check_file(file: Path) -> tuple[Problem, ...]:
    """Give all that is wrong with a flow file; where it does not load, why it does not."""
    try:
        flow = open_flow(str(file))
    except FlowError as error:
        return once(error.problems)
    return check_flow(flow)


def once(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Give problems in order, each once: a shared file is looked at for every include of it."""
    kept: dict[tuple[Path, int, int, str], Problem] = {}
    for problem in sorted(problems):
        kept.setdefault((problem.file, problem.line, problem.column, problem.check), problem)
    return tuple(kept.values())
