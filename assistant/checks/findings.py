"""Findings that are complete, made on evidence, and faults that some path finds."""

import re
from collections.abc import Iterator

from assistant.checks import grounds
from assistant.checks.check import Check, Subject, spread
from assistant.flow.model import FindStep
from assistant.flow.problems import Problem, nearest

_REPLACES = re.compile(
    r"(?<!or )\breplace (?!what)|\b(?:are|is) replaced\b|"
    r"\b(?:a|an|one|the|another) new (?!terminal)|"
    r"(?<!never )(?<!not )\b(?:fit|install|put in) "
    r"(?:one|the|what|another|a (?!clean|term|new term))",
    re.IGNORECASE,
)
"""Not "or replace", one way of several, nor "replace what is open", which is matched by itself."""
_NOTHING = re.compile(
    r"\W*(todo|tbd|fixme|n\W?a|none|nothing|unknown|repair( it)?|fix( it)?)?\W*", re.IGNORECASE
)
_FEWEST_WORDS = 2


def find_unrepaired(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding that does not say what is wrong, or what to do about it."""
    for name, finding in subject.flow.findings.items():
        for key in ("part", "reason", "repair"):
            text = getattr(finding, key)
            is_short = key != "part" and len(text.split()) < _FEWEST_WORDS
            if is_short or _NOTHING.fullmatch(text):
                message = f"The finding '{name}' has no {key} that helps anyone."
                yield subject.finding_problem(name, (key,), message, "Write one plain sentence.")


def find_unreplaced(subject: Subject) -> Iterator[Problem]:
    """Complain of a part that is replaced without a rule of what may be put in."""
    for name, finding in subject.flow.findings.items():
        text = None if finding.replacement is None else finding.replacement.text
        if text is None and _REPLACES.search(finding.repair):
            message = f"The finding '{name}' replaces a part and does not say what may be put in."
            hint = "Add 'replacement: {text: what it must match}'."
            yield subject.finding_problem(name, (), message, hint)
        elif text is not None and len(text.split()) < _FEWEST_WORDS:
            message = f"The replacement of '{name}' says nothing."
            yield subject.finding_problem(
                name, ("replacement",), message, "Say what it must match."
            )


def find_unshown(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding that nothing shows."""
    for name, finding in subject.flow.findings.items():
        if not finding.evidence and not finding.licensed:
            message = f"The finding '{name}' has no evidence."
            hint = "Name the values and answered steps that show it."
            yield subject.finding_problem(name, ("evidence",), message, hint)


def find_unproven(subject: Subject) -> Iterator[Problem]:
    """Complain of a repair that no step proves."""
    for name, finding in subject.flow.findings.items():
        if not finding.proof and not finding.licensed:
            message = f"No step proves the repair of '{name}'."
            hint = "Name under 'proof' the steps that show it is mended."
            yield subject.finding_problem(name, ("proof",), message, hint)


def find_unreached_proof(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding behind which the walk comes to no step that proves its repair."""
    for name, steps in _found_at(subject).items():
        finding = subject.flow.findings[name]
        ahead = {one for step in steps for one in _ahead(subject, step)}
        if finding.proof and not finding.licensed and not ahead & set(finding.proof):
            message = f"No path leads from the finding '{name}' to a step that proves its repair."
            hint = "Lead it through one of them, or name others under 'proof'."
            yield subject.finding_problem(name, ("proof",), message, hint)


def _ahead(subject: Subject, step: str) -> set[str]:
    return spread([step], subject.onward)


def _found_at(subject: Subject) -> dict[str, list[str]]:
    """Give the reached steps that make each finding."""
    found: dict[str, list[str]] = {}
    for name in subject.flow.steps:
        step = subject.flow.steps[name]
        if isinstance(step, FindStep) and name in subject.reached:
            found.setdefault(step.finding, []).append(name)
    return found


def find_uncovered(subject: Subject) -> Iterator[Problem]:
    """Complain of a fault that the flow says it finds, and no finding on any path names."""
    flow = subject.flow
    named = {fault for one in _found_at(subject) for fault in flow.findings[one].faults}
    for position, fault in enumerate(flow.covers):
        if fault not in named:
            message = f"The flow covers '{fault}', and no path finds it."
            hint = "Name it under the 'faults' of a finding that a path makes, or take it out."
            yield subject.flow_problem(("covers", position), message, hint)


def find_unlisted(subject: Subject) -> Iterator[Problem]:
    """Complain of a finding for a fault that the flow does not say it covers."""
    flow = subject.flow
    if not flow.covers:
        return
    for name in _found_at(subject):
        for position, fault in enumerate(flow.findings[name].faults):
            if fault not in flow.covers:
                message = f"'{name}' stands for '{fault}', which is not among what the flow covers."
                hint = nearest(fault, flow.covers)
                yield subject.finding_problem(name, ("faults", position), message, hint)


def find_odd_groups(subject: Subject) -> Iterator[Problem]:
    """Complain of a group of faults that cannot be told apart and is none, or stands twice."""
    seen: set[frozenset[str]] = set()
    for position, group in enumerate(subject.flow.ambiguous):
        if len(set(group)) < _FEWEST_WORDS or frozenset(group) in seen:
            message = (
                "A group of faults that cannot be told apart has two of them, and stands once."
            )
            yield subject.flow_problem(("ambiguous", position), message, "Take it out.")
        seen.add(frozenset(group))


CHECKS: tuple[Check, ...] = (
    Check(
        "finding-unrepaired",
        "A finding without a repair leaves the technician where he began.",
        find_unrepaired,
    ),
    Check(
        "finding-unreplaced",
        "Without its rule the wrong part goes in, and the fault comes back.",
        find_unreplaced,
    ),
    Check(
        "finding-unshown",
        "A part that nothing shows bad is condemned by guess.",
        find_unshown,
    ),
    Check(
        "finding-unproven",
        "A repair that nobody proves is a call-back.",
        find_unproven,
    ),
    Check(
        "proof-unreached",
        "A walk that ends at the finding leaves the repair to be proven by hand.",
        find_unreached_proof,
        severity="warning",
    ),
    *grounds.CHECKS,
    Check(
        "fault-uncovered",
        "A fault that a flow promises to find and cannot is looked for in vain.",
        find_uncovered,
    ),
    Check(
        "fault-unlisted",
        "What a flow finds and does not list is never tried on the bench.",
        find_unlisted,
    ),
    Check(
        "group-odd",
        "A group of one, or one that stands twice, hides what can be told apart.",
        find_odd_groups,
    ),
)
