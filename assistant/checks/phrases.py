"""Phrases to be heard: apart from each other by sound, no command's, of words that are known."""

from collections.abc import Iterator
from functools import lru_cache

from assistant.checks.check import Check, Subject
from assistant.checks.likeness import is_near
from assistant.checks.pronouncing import Phones, has_dictionary, sounds_of, ways_of_saying
from assistant.flow.model import NumberStep, SpokenStep
from assistant.flow.problems import Problem
from assistant.spoken.commands import NO, PHRASES, SKIP, YES
from assistant.spoken.grammar import Grammar, grammar_for, wide_grammar
from assistant.spoken.lexicon import CLOSING, OPENING
from assistant.spoken.meaning import Command, Expectation, NumberForm
from assistant.spoken.nodes import Act, Free, Maybe, same, seq
from assistant.spoken.readings import SaidForm, SaidNumber
from assistant.spoken.tokens import tokenise
from assistant.walk.expecting import step_expectation

ALIKE = 1.3
"""Two answers of one step nearer than this are taken for each other. Measured: "tight" and "type"
0.5, "hold" and "holds" 0.6, "hot" and "not" 1.0; the nearest of the shipped flows 1.5."""
ALIKE_COMMAND = 0.8
"""An answer nearer than this to a standing command; the nearest of the shipped flows 0.9."""

Phrase = tuple[str, int, str]
"""A choice, the place of the phrase in it, and the phrase in the spelling of grammars."""


def find_alike(subject: Subject) -> Iterator[Problem]:
    """Complain of two answers of one step that sound alike, at both of them."""
    for name, step in _answered(subject):
        for (choice, place, phrase), (other, at, heard) in _alike(_phrases(step)):
            message = f"'{phrase}' ({choice}) sounds like '{heard}' ({other})."
            hint = "Say one of them in other words."
            yield subject.problem(name, ("choices", choice, "phrases", place), message, hint)
            yield subject.problem(name, ("choices", other, "phrases", at), message, hint)


@lru_cache(maxsize=1024)
def _alike(phrases: tuple[Phrase, ...]) -> tuple[tuple[Phrase, Phrase], ...]:
    return tuple(
        (one, other)
        for position, one in enumerate(phrases)
        for other in phrases[position + 1 :]
        if one[0] != other[0] and _is_alike(one[2], other[2], ALIKE)
    )


def _is_alike(one: str, other: str, limit: float) -> bool:
    heard = sounds_of(other)
    return one == other or any(is_near(a, b, limit) for a in sounds_of(one) for b in heard)


def find_colliding(subject: Subject) -> Iterator[Problem]:
    """Complain of an answer that is a command, yes or no, a reading, or another answer as well."""
    for name, step in _answered(subject):
        phrases = _phrases(step)
        for choice, place, phrase in phrases:
            other = _command_meant(phrase) or _reading_meant(subject, name, phrase)
            other = other or _choice_meant(choice, phrase, phrases)
            if other:
                message = f"'{phrase}' ({choice}) also means {other}."
                hint = "Choose words that mean only this answer."
                yield subject.problem(name, ("choices", choice, "phrases", place), message, hint)


@lru_cache(maxsize=8192)
def _command_meant(phrase: str) -> str:
    """Give the standing command that a phrase is, or sounds like; empty where it is none."""
    if phrase in _YES_NO:
        return f"'{phrase}', yes or no, when it is asked back"
    for outcome in grammar_for(Expectation()).parse(phrase):
        if isinstance(outcome, Command):
            return f"the command {outcome.kind.value}"
    for sound in sounds_of(phrase)[:1]:
        for kind, said in _command_sounds():
            if is_near(sound, said, ALIKE_COMMAND):
                return f"the command {kind}, which sounds like it"
    return ""


@lru_cache(maxsize=1)
def _command_sounds() -> tuple[tuple[str, Phones], ...]:
    """Give how each standing command usually sounds."""
    return tuple((kind, sound) for said, kind in _COMMANDS.items() for sound in sounds_of(said)[:1])


_YES_NO = frozenset(" ".join(tokenise(phrase)) for phrase in (*YES, *NO))
_COMMANDS = {
    " ".join(tokenise(phrase)): kind.value for kind, all_ in PHRASES.items() for phrase in all_
} | {" ".join(tokenise(phrase)): "skip" for phrase in SKIP}


def _reading_meant(subject: Subject, name: str, phrase: str) -> str:
    """Give the reading that a phrase is at a step that takes a number."""
    step = subject.flow.steps[name]
    if not isinstance(step, NumberStep) or not _is_any_reading(phrase):
        return ""
    form = step_expectation(subject.flow, name).number
    outcomes = grammar_for(Expectation(number=form)).parse(phrase)
    found = [one for one in outcomes if isinstance(one, SaidNumber | SaidForm)]
    return "a reading at this step" if found else ""


@lru_cache(maxsize=8192)
def _is_any_reading(phrase: str) -> bool:
    return bool(wide_grammar(NumberForm(())).parse(phrase))


def _choice_meant(choice: str, phrase: str, phrases: tuple[Phrase, ...]) -> str:
    """Give another choice that a phrase means once openers as "it is" are left out."""
    cores = _cores(phrase)
    others = [other for other, _, said in phrases if other != choice and said in cores]
    return f"the answer '{others[0]}'" if others else ""


@lru_cache(maxsize=8192)
def _cores(phrase: str) -> frozenset[str]:
    """Give what is left of a phrase without the words that are passed over around an answer."""
    return frozenset(str(core) for core in _PASSED_OVER.parse(phrase))


_ARTICLE = Maybe(same(None, "the", "a", "an"))
_PASSED_OVER = Grammar(
    Act(seq(OPENING, _ARTICLE, Free((), 16), CLOSING), lambda parts: (parts[2],))
)


def find_unknown_words(subject: Subject) -> Iterator[Problem]:
    """Complain of words that the recogniser's dictionary lacks, in phrases that must be heard."""
    if not has_dictionary():
        return
    for name, step in _answered(subject):
        for choice, place, phrase in _phrases(step):
            for word in _unknown(phrase):
                way = ("choices", choice, "phrases", place)
                yield subject.problem(name, way, *_about(word))
    for caution, said in subject.flow.cautions.items():
        for place, phrase in enumerate(said.answer):
            for word in _unknown(" ".join(tokenise(phrase))):
                where = ("cautions", caution, "answer", place)
                yield subject.text_problem(where, *_about(word))


def _unknown(phrase: str) -> list[str]:
    return [word for word in phrase.split() if not ways_of_saying(word)]


def _about(word: str) -> tuple[str, str]:
    return f"The recogniser's dictionary lacks the word '{word}'.", "Say it in plainer words."


def _answered(subject: Subject) -> Iterator[tuple[str, SpokenStep]]:
    return ((n, s) for n, s in subject.flow.steps.items() if isinstance(s, SpokenStep))


def _phrases(step: SpokenStep) -> tuple[Phrase, ...]:
    return tuple(
        (choice, place, " ".join(tokenise(phrase)))
        for choice, answer in step.choices.items()
        for place, phrase in enumerate(answer.phrases)
    )


CHECKS = (
    Check(
        "sound-alike",
        "Two answers that sound alike are taken for each other, and the walk goes the wrong way.",
        find_alike,
    ),
    Check(
        "choice-collides",
        "An answer that is a command too is swallowed by it.",
        find_colliding,
    ),
    Check(
        "word-unknown",
        "A word that the recogniser does not know is never heard.",
        find_unknown_words,
    ),
)
