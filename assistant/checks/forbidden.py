"""Acts that the trade forbids in every flow: a tool across a capacitor, a bridge across a safety.

A sentence that warns of the act, as "never with a screwdriver", is not one that tells to do it.
"""

import re
from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.checks.texts import LEVELS, spoken_steps
from assistant.flow.problems import Problem

_ACTS: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (
        re.compile(
            r"\b(short|discharge|bleed|drain|touch|bridge)\b.*"
            r"\b(screwdriver|pliers|wrench|blade|bare wire)\b"
        ),
        "This tells to empty a capacitor with a tool.",
        "Bleed it through a resistor, as shared/bleed.yaml does.",
    ),
    (
        re.compile(
            r"\b(jumper|jump|bypass|bridge|defeat|override|tape|wedge|short)\b.*"
            r"\b(limit|rollout|safety|safeties|float switch|pressure switch|door switch|"
            r"overload|breaker|fuse)\b"
        ),
        "This tells to bridge a safety.",
        "Measure across it instead, with a meter.",
    ),
    (
        re.compile(r"\b(larger|bigger|heavier|higher|stronger) (fuse|breaker)\b"),
        "This tells to fit a larger fuse.",
        "Write the size that its label asks for.",
    ),
)
"""What 29 CFR 1910.333 and the makers' own instructions forbid; common practice, no source."""
_WARNS = re.compile(
    r"\b(never|not|no|without|nor|off|can burn|may burn|burns?|whether|was|were|look|find)\b|n't\b"
)
_SENTENCE = re.compile(r"(?<=[.:;!?])\s+|,\s+")


def find_forbidden_acts(subject: Subject) -> Iterator[Problem]:
    """Complain of a prompt or a repair that tells to do what hurts people."""
    for name, step in spoken_steps(subject):
        for level in LEVELS[:3]:
            for message, hint in _acts_in(getattr(step, level)):
                yield subject.problem(name, (level,), message, hint)
    for name, finding in subject.flow.findings.items():
        for message, hint in _acts_in(finding.repair):
            yield subject.finding_problem(name, ("repair",), message, hint)


def _acts_in(text: str) -> Iterator[tuple[str, str]]:
    for sentence in _SENTENCE.split(text.lower()):
        if not _WARNS.search(sentence):
            for pattern, message, hint in _ACTS:
                if pattern.search(sentence):
                    yield message, hint


CHECKS = (
    Check(
        "forbidden-act",
        "A tool across a capacitor burns, and a bridged safety burns the house.",
        find_forbidden_acts,
    ),
)
