"""Phrases of a step's choices that something else already means: for the check of flows."""

from dataclasses import dataclass, replace

from assistant.spoken.grammar import Outcome, grammar_for
from assistant.spoken.matching import is_typed_number
from assistant.spoken.meaning import Choice, Command, Expectation, Picked, YesNo
from assistant.spoken.readings import SaidForm
from assistant.spoken.tokens import tokenise


@dataclass(frozen=True, slots=True)
class Collision:
    """A phrase of a choice that cannot be told from something else, or cannot be said.

    Args:
        choice: the choice's id.
        phrase: the phrase as the flow has it.
        other: what else it means, a few words.
    """

    choice: str
    phrase: str
    other: str


def collisions(expectation: Expectation) -> tuple[Collision, ...]:
    """Give every phrase of the choices that collides, in the order of the choices."""
    return tuple(
        Collision(choice.id, phrase, other)
        for choice in expectation.choices
        for phrase in choice.phrases
        for other in _others(phrase, choice, expectation)
    )


def _others(phrase: str, choice: Choice, expectation: Expectation) -> list[str]:
    tokens = tokenise(phrase)
    if not tokens or any(is_typed_number(token) or "," in token for token in tokens):
        return ["it has no words that can be said; write numbers as words"]
    unnamed = Choice(choice.id, ())
    rest = tuple(unnamed if other is choice else other for other in expectation.choices)
    outcomes = grammar_for(replace(expectation, choices=rest)).parse(phrase)
    return [_name(found) for found in outcomes if found != Picked(choice.id)]


def _name(outcome: Outcome) -> str:
    match outcome:
        case Picked():
            return f"the choice {outcome.choice}"
        case YesNo():
            return "yes" if outcome.is_yes else "no"
        case Command():
            return f"the command {outcome.kind.value}"
        case SaidForm():
            return f"the reading {outcome.form.value}"
        case _:
            return f"the number {outcome.value}"
