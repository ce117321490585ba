"""Prompts that are short enough for an ear, with help and a reason behind them."""

import re
from collections.abc import Iterator
from functools import lru_cache

from assistant.checks.check import Check, Subject
from assistant.checks.texts import LEVELS, plain, shared_texts, spoken_steps
from assistant.flow.model import SpokenStep
from assistant.flow.names import PLACEHOLDER
from assistant.flow.problems import Problem

WORDS_A_MINUTE = 165
"""The rate that Rungside speaks at where nobody changed it."""
LONGEST_SECONDS = {"say": 11.0, "again": 9.0, "help": 14.5, "why": 8.5}
"""How long each level of prompt may take; the longest of the shipped flows take 10, 8, 13 and 7."""
LONGEST_TASK = 22
"""Words of `say` besides the answers it names; up to 21 in the shipped flows."""
LONGEST_CAUTION, LONGEST_FINDING = 45, 40

_NOTHING = re.compile(
    r"(todo|tbd|fixme|n\s?a|none|no help|no reason|see above|as above|same|because|help|why|x+)?"
    r"\W*",
    re.IGNORECASE,
)
_FEWEST_WORDS = 2


def find_long(subject: Subject) -> Iterator[Problem]:
    """Complain of what takes too long to listen to, with both hands on probes."""
    for name, step in spoken_steps(subject):
        for level, longest in LONGEST_SECONDS.items():
            seconds = _seconds(getattr(step, level))
            if seconds > longest:
                message = (
                    f"'{level}' takes {seconds:.0f} seconds to say, and {longest:.0f} is a lot."
                )
                yield subject.problem(
                    name, (level,), message, "Say one thing; move the rest to help."
                )
        task = len(_task(step).split())
        if task > LONGEST_TASK:
            message = f"'say' has {task} words besides its answers, and {LONGEST_TASK} is a lot."
            yield subject.problem(name, ("say",), message, "Say one thing; move the rest to help.")
    for where, text in shared_texts(subject):
        longest = LONGEST_CAUTION if where[0] == "cautions" else LONGEST_FINDING
        if len(text.split()) > longest:
            message = f"This has {len(text.split())} words, and {longest} is a lot for the ear."
            yield subject.text_problem(where, message, "Say what matters.")


@lru_cache(maxsize=16384)
def _seconds(text: str) -> float:
    """Give how long a voice takes; a quoted value is about three words."""
    words = len(PLACEHOLDER.sub("one two three", text).split())
    return words * 60 / WORDS_A_MINUTE


def _task(step: SpokenStep) -> str:
    """Give what `say` asks to be done, without the answers it names."""
    said = f" {plain(step.say)} "
    phrases = [plain(p) for answer in step.choices.values() for p in answer.phrases]
    for phrase in sorted(phrases, key=len, reverse=True):
        said = said.replace(f" {phrase} ", "  ")
    return said


def find_missing_help(subject: Subject) -> Iterator[Problem]:
    """Complain of help and reasons that are empty, or only say the prompt once more."""
    for name, step in spoken_steps(subject):
        texts = {level: plain(getattr(step, level)) for level in LEVELS}
        for level in ("say", "again"):
            if not texts[level]:
                yield subject.problem(name, (level,), f"'{level}' is empty.", "Say what to do.")
        for level in ("help", "why"):
            others = {one: text for one, text in texts.items() if one != level}
            same = [one for one, text in others.items() if text == texts[level]]
            is_nothing = _NOTHING.fullmatch(texts[level]) is not None
            if is_nothing or len(texts[level].split()) < _FEWEST_WORDS:
                hint = "Tell how it is done." if level == "help" else "Tell what it is good for."
                yield subject.problem(name, (level,), f"'{level}' says nothing.", hint)
            elif same and not (level == "help" and same == ["why"]):
                message = f"'{level}' only says '{same[0]}' once more."
                yield subject.problem(name, (level,), message, "Say it another way.")


CHECKS = (
    Check(
        "prompt-too-long",
        "A long prompt is forgotten before the probes are on.",
        find_long,
    ),
    Check(
        "help-missing",
        "Who asks for help or a reason in the middle of a test needs one.",
        find_missing_help,
    ),
)
