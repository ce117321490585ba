"""Prompts for the ear: short, no marks that a voice misreads, the form of answer, help and why."""

import re
from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.flow.model import (
    AskStep,
    MeasureStep,
    NumberStep,
    QuantityKind,
    SpokenStep,
    value_name,
)
from assistant.flow.names import PLACEHOLDER
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.quantity import FORMS
from assistant.spoken.lexicon import NUMERAL_WORDS
from assistant.spoken.tokens import tokenise

WORDS_A_MINUTE = 165
"""The rate that Rungside speaks at where nobody changed it."""
LONGEST_SECONDS = {"say": 11.0, "again": 9.0, "help": 14.5, "why": 8.5}
"""How long each level of prompt may take; the longest of the shipped flows take 10, 8, 13 and 7."""
LONGEST_TASK = 22
"""Words of `say` besides the answers it names; up to 21 in the shipped flows."""
LONGEST_CAUTION, LONGEST_FINDING = 45, 40

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
_NOTHING = re.compile(
    r"(todo|tbd|fixme|n\s?a|none|no help|no reason|see above|as above|same|because|help|why|x+)?"
    r"\W*",
    re.IGNORECASE,
)
_FEWEST_WORDS = 3


def find_long(subject: Subject) -> Iterator[Problem]:
    """Complain of what takes too long to listen to, with both hands on probes."""
    for name, step in _spoken(subject):
        for level, longest in LONGEST_SECONDS.items():
            seconds = _seconds(getattr(step, level))
            if seconds > longest:
                message = (
                    f"'{level}' takes {seconds:.0f} seconds to say, and {longest:.0f} is a lot."
                )
                yield subject.problem(
                    name, (level,), message, "Say one thing; move the rest to help."
                )
        task = len(tokenise(_task(step)))
        if task > LONGEST_TASK:
            message = f"'say' has {task} words besides its answers, and {LONGEST_TASK} is a lot."
            yield subject.problem(name, ("say",), message, "Say one thing; move the rest to help.")
    for where, text in _texts(subject):
        longest = LONGEST_CAUTION if where[0] == "cautions" else LONGEST_FINDING
        if len(text.split()) > longest:
            message = f"This has {len(text.split())} words, and {longest} is a lot for the ear."
            yield subject.text_problem(where, message, "Say what matters.")


def _seconds(text: str) -> float:
    """Give how long a voice takes; a quoted value is about three words."""
    words = len(PLACEHOLDER.sub("one two three", text).split())
    return words * 60 / WORDS_A_MINUTE


def _task(step: SpokenStep) -> str:
    """Give what `say` asks to be done, without the answers it names."""
    said = " ".join(tokenise(step.say))
    phrases = [" ".join(tokenise(p)) for a in step.choices.values() for p in a.phrases]
    for phrase in sorted(phrases, key=len, reverse=True):
        said = re.sub(rf"\b{re.escape(phrase)}\b", "", said)
    return said


def find_unspeakable(subject: Subject) -> Iterator[Problem]:
    """Complain of marks and abbreviations that a voice reads as something else."""
    for name, step in _spoken(subject):
        for level in LONGEST_SECONDS:
            mark = _misread(getattr(step, level))
            if mark:
                message = f"A voice misreads '{mark}'."
                yield subject.problem(name, (level,), message, "Write it as it is said.")
    for where, text in _texts(subject):
        mark = _misread(text)
        if mark:
            yield subject.text_problem(
                where, f"A voice misreads '{mark}'.", "Write it as it is said."
            )


def _misread(text: str) -> str:
    plain = PLACEHOLDER.sub("", text)
    for pattern in (_MARKS, _GLUED, _CAPITALS, _DOTTED, _SHORT, _LETTER_UNIT):
        found = pattern.search(plain)
        if found:
            start, end = found.span()
            before = plain[:start].split(" ")[-1]
            return f"{before}{plain[start:end]}{plain[end:].split(' ')[0]}"
    return ""


def find_unsaid_answers(subject: Subject) -> Iterator[Problem]:
    """Complain of a prompt that does not say what may be answered."""
    for name, step in _spoken(subject):
        if isinstance(step, NumberStep):
            if not _names_number(step) and not _is_retaken(subject, name, step):
                message = f"'{name}' says neither its unit nor what to expect."
                yield subject.problem(name, ("say",), message, "Say the unit, or 'Expect …'.")
            for choice in _unsaid(step, f"{step.say} | {step.again}"):
                message = f"Neither 'say' nor 'again' names the answer '{choice}'."
                hint = "Add: or say, and its phrase."
                yield subject.problem(name, ("choices", choice), message, hint)
            continue
        for level in ("say", "again"):
            if step.choices and len(_unsaid(step, getattr(step, level))) == len(step.choices):
                phrases = [a.phrases[0] for a in step.choices.values() if a.phrases]
                message = f"'{level}' names none of its answers."
                hint = f"Add: Say: {', or '.join(phrases[:2])}."
                yield subject.problem(name, (level,), message, hint)


def _unsaid(step: SpokenStep, text: str) -> list[str]:
    """Give the choices of which a prompt names no phrase."""
    said = f" {' '.join(tokenise(text))} "
    return [
        choice
        for choice, answer in step.choices.items()
        if not any(f" {' '.join(tokenise(phrase))} " in said for phrase in answer.phrases)
    ]


def _is_retaken(subject: Subject, name: str, step: NumberStep) -> bool:
    """Whether "the same again" is enough: another step takes this value, and said what it is."""
    value = value_name(name, step)
    is_known = any(
        value_name(other, one) == value
        for other, one in subject.flow.steps.items()
        if isinstance(one, NumberStep) and other != name
    )
    return is_known and re.search(r"\bsame\b.*\bagain\b", step.say) is not None


_EXPECTING = re.compile(
    r"\b(expect|o l|zero|highest|lowest|decimals?|what it shows|how many|number|of all|reading)\b"
)
_NUMBERS = re.compile(rf"\b({'|'.join(NUMERAL_WORDS)})\b")
_KIND_WORDS = {
    QuantityKind.CAPACITANCE: "capacitance",
    QuantityKind.STATIC_PRESSURE: "static",
    QuantityKind.SPEED: "speed",
    QuantityKind.RESISTANCE: "resistance",
    QuantityKind.TEMPERATURE: "temperature",
    QuantityKind.CURRENT: "amp",
    QuantityKind.INSULATION: "megohm",
    QuantityKind.POWER: "watt",
}


def _names_number(step: NumberStep) -> bool:
    said = " ".join(tokenise(f"{step.say} {step.again}"))
    form = FORMS[step.unit]
    words = [form.singular, form.plural, step.unit.value.split("_")[0]]
    if isinstance(step, MeasureStep):
        words.append(_KIND_WORDS.get(step.quantity, ""))
    is_named = any(word and word.rstrip("s") in said for word in words)
    is_quoted = bool(PLACEHOLDER.search(f"{step.say} {step.again}"))
    is_told = bool(_EXPECTING.search(said) or _NUMBERS.search(said))
    return is_named or is_quoted or is_told or isinstance(step, AskStep)


def find_missing_help(subject: Subject) -> Iterator[Problem]:
    """Complain of help and reasons that are empty, or only say the prompt once more."""
    for name, step in _spoken(subject):
        texts = {level: _plain(getattr(step, level)) for level in LONGEST_SECONDS}
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


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\w\s']", " ", text.lower()).split())


def _spoken(subject: Subject) -> Iterator[tuple[str, SpokenStep]]:
    return ((n, s) for n, s in subject.flow.steps.items() if isinstance(s, SpokenStep))


def _texts(subject: Subject) -> Iterator[tuple[Where, str]]:
    """Give what is said of findings and cautions, with the way to each."""
    for name, caution in subject.flow.cautions.items():
        yield ("cautions", name, "say"), caution.say
    for name, finding in subject.flow.findings.items():
        for key in ("part", "reason", "repair"):
            yield ("findings", name, key), getattr(finding, key)
        if finding.replacement is not None:
            yield ("findings", name, "replacement"), finding.replacement.text


CHECKS = (
    Check(
        "prompt-too-long",
        "A long prompt is forgotten before the probes are on.",
        find_long,
    ),
    Check(
        "not-for-the-ear",
        "Marks and abbreviations are read as other words, or not at all.",
        find_unspeakable,
    ),
    Check(
        "answer-unsaid",
        "Who does not know what may be answered says something else.",
        find_unsaid_answers,
    ),
    Check(
        "help-missing",
        "Who asks for help or a reason in the middle of a test needs one.",
        find_missing_help,
    ),
)
