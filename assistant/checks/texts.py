"""The texts of a flow that are said aloud: of its steps, its findings and its cautions."""

import re
from collections.abc import Iterator
from functools import lru_cache

from assistant.checks.check import Subject
from assistant.flow.model import SpokenStep
from assistant.flow.plain import Where

LEVELS = ("say", "again", "help", "why")
"""What a step can be asked to say."""


@lru_cache(maxsize=16384)
def plain(text: str) -> str:
    """Give the words of a text, small and without punctuation."""
    return " ".join(re.sub(r"[^\w\s']", " ", text.lower()).split())


def spoken_steps(subject: Subject) -> Iterator[tuple[str, SpokenStep]]:
    """Give the steps that say something, by id."""
    return ((n, s) for n, s in subject.flow.steps.items() if isinstance(s, SpokenStep))


def shared_texts(subject: Subject) -> Iterator[tuple[Where, str]]:
    """Give what is said of findings and cautions, with the way to each."""
    for name, caution in subject.flow.cautions.items():
        yield ("cautions", name, "say"), caution.say
    for name, finding in subject.flow.findings.items():
        for key in ("part", "reason", "repair"):
            yield ("findings", name, key), getattr(finding, key)
        if finding.replacement is not None:
            yield ("findings", name, "replacement"), finding.replacement.text
