"""Respellings for the words of the trade that espeak-ng reads wrongly; for the ear only.

Each was found by asking the library (1.51 and 1.52, American English) for its phonemes; the tests
ask again. "Lead", "leads", "live", "tap", "O L" and "P S C" are read rightly and need none.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Respelling:
    """One thing read wrongly.

    Args:
        pattern: what is written; a regular expression that is tried without regard to case.
        said_as: what is given to the engine instead; may name groups of the pattern.
        why: what the engine would say otherwise.
    """

    pattern: str
    said_as: str
    why: str


OBJECT = r"(?= (?:the|it|this|that|these|them|each|every|all|your|its|a|an|one|both)\b)"

RESPELLINGS = (
    Respelling(r"\bOL\b", "O L", "all"),
    # Not "a C terminal": only where the words around it are about current.
    Respelling(r"\b(volts?|amps?|voltage) a c\b", r"\1 AC", "uh see"),
    Respelling(r"\ba c (volts|voltage|amps|power|line|supply|disconnect)\b", r"AC \1", "uh see"),
    Respelling(r"\bN F P A\b", "NFPA", "en ef pea uh"),
    Respelling(r"\bC A T\b", "cat", "see uh tea"),
    Respelling(r"\bF A N\b", "fan", "ef uh en"),
    Respelling(r"\bFLA\b", "F L A", "flah"),
    Respelling(r"\bclose" + OBJECT, "cloze", "the near kind of close, at the start of a sentence"),
    Respelling(r"\brecord" + OBJECT, "recorde", "the thing, not the doing"),
    Respelling(r"\bseparate" + OBJECT, "seperate", "the state, not the doing"),
    Respelling(r"\buse" + OBJECT, "uze", "the thing, not the doing"),
    Respelling(r"\b((?:has|have|had|was|were|been|be|is|are) )read\b", r"\1red", "reed"),
    Respelling(r"\bwound\b", "wownd", "an injury"),
    Respelling(r"\btear(s?)\b", r"tair\1", "what an eye sheds"),
    Respelling(r"\bkilohm(s?)\b", r"killohm\1", "kye-lohm"),
    Respelling(r"\bauxiliary\b", "augzilliary", "awk-silly-airy"),
)

_COMPILED = tuple((re.compile(item.pattern, re.IGNORECASE), item.said_as) for item in RESPELLINGS)


def respell(text: str) -> str:
    """Give the text with every word respelled that would be read wrongly."""
    for pattern, said_as in _COMPILED:
        text = pattern.sub(said_as, text)
    return text
