"""Numbers that can be said: the ends of a range, a label's values, the limits of a rule."""

from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache

from assistant.checks.check import Check, Subject
from assistant.errors import RungsideError
from assistant.flow.model import NumberStep
from assistant.flow.plain import Where
from assistant.flow.problems import Problem
from assistant.quantity import Quantity, Unit
from assistant.spoken.grammar import Grammar, grammar_for
from assistant.spoken.meaning import Expectation, NumberForm
from assistant.spoken.phrasing import say_reading
from assistant.spoken.readings import SaidNumber
from assistant.walk.expecting import FAMILIES

_LARGEST = Decimal(100_000_000)


def find_unsayable(subject: Subject) -> Iterator[Problem]:
    """Complain of a number at a step that no words of its grammar come to."""
    for name, step in subject.flow.steps.items():
        if isinstance(step, NumberStep):
            for way, value in _numbers(step):
                if not is_sayable(value, step.unit, takes_negative=step.plausible[0] < 0):
                    message = f"Nobody can say {value:f} {step.unit.value} at '{name}'."
                    hint = "Use a unit that makes it a plain number, or a nearer value."
                    yield subject.problem(name, way, message, hint)


def _numbers(step: NumberStep) -> Iterator[tuple[Where, Decimal]]:
    """Give the numbers that must be sayable; where only printed values count, no others."""
    yield from ((("allowed", place), value) for place, value in enumerate(step.allowed))
    if step.allowed:
        return
    yield from ((("plausible", place), value) for place, value in enumerate(step.plausible))
    for place, rule in enumerate(step.judge):
        for key in ("low", "high", "limit", "rating", "other"):
            value = getattr(rule, key, None)
            if isinstance(value, Decimal):
                yield ("judge", place, key), value


@lru_cache(maxsize=4096)
def is_sayable(value: Decimal, unit: Unit, *, takes_negative: bool) -> bool:
    """Whether some words at a step of this unit come to exactly this number."""
    grammar = _grammar(unit, takes_negative=takes_negative)
    units = next((family for family in FAMILIES if unit in family), (unit,))
    return any(
        _comes_to(grammar, words, Quantity(value, unit))
        for other in dict.fromkeys((unit, *units))
        for words in _ways(Quantity(value, unit), other)
    )


def _ways(quantity: Quantity, unit: Unit) -> tuple[str, ...]:
    try:
        return say_reading(quantity.to(unit))
    except (RungsideError, IndexError, RecursionError):
        return ()


def _comes_to(grammar: Grammar, words: str, wanted: Quantity) -> bool:
    said = (one for one in grammar.parse(words) if isinstance(one, SaidNumber))
    return any(Quantity(n.value, n.unit or wanted.unit).to(wanted.unit) == wanted for n in said)


@lru_cache(maxsize=64)
def _grammar(unit: Unit, *, takes_negative: bool) -> Grammar:
    family = next((family for family in FAMILIES if unit in family), (unit,))
    units = (unit, *(other for other in family if other is not unit))
    least = -_LARGEST if takes_negative else Decimal(0)
    form = NumberForm(units, plausible=(least, _LARGEST), takes_negative=takes_negative)
    return grammar_for(Expectation(number=form))


CHECKS = (
    Check(
        "unsayable",
        "A number that cannot be said is never heard, so its branch is never taken.",
        find_unsayable,
    ),
)
