"""Prompts that say what may be answered: a phrase, a unit, what to expect."""

import re
from collections.abc import Iterator

from assistant.checks.check import Check, Subject
from assistant.checks.texts import plain, spoken_steps
from assistant.flow.model import (
    MeasureStep,
    NumberStep,
    QuantityKind,
    SpokenStep,
    value_name,
)
from assistant.flow.names import PLACEHOLDER
from assistant.flow.problems import Problem
from assistant.quantity import FORMS
from assistant.spoken.lexicon import NUMERAL_WORDS


def find_unsaid_answers(subject: Subject) -> Iterator[Problem]:
    """Complain of a prompt that does not say what may be answered."""
    for name, step in spoken_steps(subject):
        if not isinstance(step, NumberStep):
            yield from _none_named(subject, name, step, "say")
        elif not _names_number(subject, step) and not _is_retaken(subject, name, step):
            message = f"'{name}' says neither its unit nor what to expect."
            yield subject.problem(name, ("say",), message, "Say the unit, or 'Expect …'.")


def find_unrepeated_answers(subject: Subject) -> Iterator[Problem]:
    """Complain of a prompt said again without its answers, and of an answer never named."""
    for name, step in spoken_steps(subject):
        if not isinstance(step, NumberStep):
            yield from _none_named(subject, name, step, "again")
            continue
        for choice in _unsaid(step, f"{step.say} | {step.again}"):
            message = f"Neither 'say' nor 'again' names the answer '{choice}'."
            hint = "Add: or say, and its phrase."
            yield subject.problem(name, ("choices", choice), message, hint)


def _none_named(subject: Subject, name: str, step: SpokenStep, level: str) -> Iterator[Problem]:
    if step.choices and len(_unsaid(step, getattr(step, level))) == len(step.choices):
        phrases = [answer.phrases[0] for answer in step.choices.values() if answer.phrases]
        message = f"'{level}' names none of its answers."
        hint = f"Add: Say: {', or '.join(phrases[:2])}."
        yield subject.problem(name, (level,), message, hint)


def _unsaid(step: SpokenStep, text: str) -> list[str]:
    """Give the choices of which a prompt names no phrase."""
    said = f" {plain(text)} "
    return [
        choice
        for choice, answer in step.choices.items()
        if not any(f" {plain(phrase)} " in said for phrase in answer.phrases)
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


def _names_number(subject: Subject, step: NumberStep) -> bool:
    """Whether `say` names the unit, a number or both places; `again` alone comes too late."""
    said = plain(step.say)
    form = FORMS[step.unit]
    words = [form.singular, form.plural, step.unit.value.split("_")[0]]
    if isinstance(step, MeasureStep):
        words.append(_KIND_WORDS.get(step.quantity, ""))
    is_named = any(word and word.rstrip("s") in said for word in words)
    is_told = bool(_EXPECTING.search(said) or _NUMBERS.search(said))
    is_quoted = bool(PLACEHOLDER.search(step.say))
    return is_named or is_quoted or is_told or _names_places(subject, step)


def _names_places(subject: Subject, step: NumberStep) -> bool:
    """Whether an `ask` is heard, or the two places of a reading: it goes on from the one before."""
    if not isinstance(step, MeasureStep):
        return True
    words = subject.flow.vocabulary.places
    places = [words[one].say for one in (step.from_, step.to) if one]
    return len(places) > 1 and all(f" {plain(one)} " in f" {plain(step.say)} " for one in places)


CHECKS = (
    Check(
        "answer-unsaid",
        "Who does not know what may be answered says something else.",
        find_unsaid_answers,
    ),
    Check(
        "answer-unrepeated",
        "Who asks for a prompt again has most often forgotten what may be answered.",
        find_unrepeated_answers,
        severity="warning",
    ),
)
