"""Marks and abbreviations that a voice reads as other words, or not at all."""

import re
from collections.abc import Iterator
from functools import lru_cache

from assistant.checks.check import Check, Subject
from assistant.checks.texts import LEVELS, shared_texts, spoken_steps
from assistant.flow.names import PLACEHOLDER
from assistant.flow.problems import Problem

_MARKS = re.compile(r"[%/°µμΩ&+=<>~#*@^|\\()\[\]$£€±≥≤\u00d7·²³½¼¾\"]|--|\.\.\.|…")
_GLUED = re.compile(r"\d[A-Za-z]|[A-Za-z]\d")
_CAPITALS = re.compile(r"\b[A-Z]{2,}s?\b")
_DOTTED = re.compile(r"\b[A-Za-z]\.(?=[A-Za-z]\b)")
_SHORT = re.compile(
    r"\b(uf|ufd|mfd|mf|hz|khz|cfm|fpm|rpm|wc|vac|vdc|kva|va|kw|hp|psi|psig|btu|btuh|fla|rla|lra|"
    r"tstat|xfmr|approx|min|max|misc|qty|vs|etc|eg|ie|ft|lbs?|oz|secs?|deg|amps?ac|volts?ac|"
    r"volts?dc|temps?|diag|req|specs?|hrs?)\b\.?",
    re.IGNORECASE,
)
_LETTER_UNIT = re.compile(r"(?<=\d )[vVaAwW]\b|\b[vw]\b")
"""A letter for a unit; capitals alone are terminals, as R, C, W."""


def find_unspeakable(subject: Subject) -> Iterator[Problem]:
    """Complain of marks and abbreviations that a voice reads as something else."""
    for name, step in spoken_steps(subject):
        for level in LEVELS:
            mark = _misread(getattr(step, level))
            if mark:
                message = f"A voice misreads '{mark}'."
                yield subject.problem(name, (level,), message, "Write it as it is said.")
    for where, text in shared_texts(subject):
        mark = _misread(text)
        if mark:
            yield subject.text_problem(
                where, f"A voice misreads '{mark}'.", "Write it as it is said."
            )


@lru_cache(maxsize=16384)
def _misread(text: str) -> str:
    plain = PLACEHOLDER.sub("", text)
    for pattern in (_MARKS, _GLUED, _CAPITALS, _DOTTED, _SHORT, _LETTER_UNIT):
        found = pattern.search(plain)
        if found:
            start, end = found.span()
            before = plain[:start].split(" ")[-1]
            return f"{before}{plain[start:end]}{plain[end:].split(' ')[0]}"
    return ""


CHECKS = (
    Check(
        "not-for-the-ear",
        "Marks and abbreviations are read as other words, or not at all.",
        find_unspeakable,
    ),
)
