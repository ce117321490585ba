"""Why words that a step's grammar does not take are no answer.

One sentence, and a question where an answer to it settles the matter. A correction, a denial, two
numbers or a wrong unit are refused: the technician says the reading again.
"""

from assistant.quantity import FORMS, OverLimit, Reading, Unit
from assistant.quantity import quantity as make_quantity
from assistant.spoken.grammar import grammar_for, wide_grammar
from assistant.spoken.lexicon import CORRECTIONS, CURRENTS, DENIALS, HEDGES, SPREADS
from assistant.spoken.meaning import (
    Expectation,
    Meaning,
    NumberForm,
    Trouble,
    Unclear,
    Value,
)
from assistant.spoken.phrasing import either_or
from assistant.spoken.readings import Form, SaidForm, SaidNumber
from assistant.spoken.settling import settle

_ANY_NUMBER = NumberForm((Unit.OHM,), takes_over_limit=True)
_SAY_ALONE = "Say the reading alone, as the meter shows it."
_EXACTLY = "What exactly does the meter show?"


def explain(tokens: tuple[str, ...], expectation: Expectation) -> Meaning:
    """Say why these words are no plain answer; they may still be a number out of the usual.

    Args:
        tokens: the words, none of them left out.
        expectation: the turn.
    """
    if expectation.is_held:
        return Unclear(Trouble.NOT_UNDERSTOOD, "We are on hold: say go ahead to go on.")
    words = " ".join(tokens)
    if expectation.number is not None:
        meaning = _explain_number(words, tokens, expectation, expectation.number)
    else:
        meaning = _explain_other(words, tokens, expectation)
    return meaning or _not_understood(words, expectation)


def _explain_number(
    words: str, tokens: tuple[str, ...], expectation: Expectation, form: NumberForm
) -> Meaning | None:
    comma = next((token for token in tokens if "," in token), None)
    if comma is not None:
        return _comma(comma, form)
    if expectation.digits_only and wide_grammar(form).accepts(words):
        return Unclear(Trouble.NOT_UNDERSTOOD, "Say it one digit at a time, with the point.")
    meaning = _out_of_the_usual(words, form)
    is_wrong_unit = isinstance(meaning, Unclear) and meaning.trouble is Trouble.WRONG_UNIT
    if is_wrong_unit and grammar_for(expectation).is_unfinished(words):
        return None
    return (
        meaning or _two_ratings(words, form) or _hedged(tokens, form) or _taken_back(words, tokens)
    )


def _explain_other(words: str, tokens: tuple[str, ...], expectation: Expectation) -> Unclear | None:
    if wide_grammar(_ANY_NUMBER).accepts(words):
        return Unclear(
            Trouble.NOT_UNDERSTOOD, f"A number is no answer here. {_wanted(expectation)}"
        )
    if _has_any(tokens, (*DENIALS, *CORRECTIONS)) and expectation.choices:
        return Unclear(Trouble.DENIED, f"Say only what is so. {_wanted(expectation)}")
    return None


def _comma(token: str, form: NumberForm) -> Unclear:
    why = "A comma may be a decimal point or not."
    if token.count(",") > 1 or "." in token:
        return Unclear(Trouble.AMBIGUOUS, why)
    readings: tuple[Reading, ...] = (
        make_quantity(token.replace(",", "."), form.units[0]),
        make_quantity(token.replace(",", ""), form.units[0]),
    )
    return Unclear(Trouble.AMBIGUOUS, why, either_or(readings), readings)


def of_other_current(tokens: tuple[str, ...], form: NumberForm) -> Unclear | None:
    """Refuse a reading that was taken on D C where A C is asked, and the other way round.

    On the wrong setting a meter shows about zero where there is voltage: its zero proves nothing.
    """
    if form.current is None:
        return None
    said = f" {' '.join(tokens)} "
    for current, phrases in CURRENTS:
        if current is not form.current and any(f" {phrase} " in said for phrase in phrases):
            asked, got = (" ".join(one.value.upper()) for one in (form.current, current))
            why = f"This is read on {asked}, not on {got}. Set the meter, and measure again."
            return Unclear(Trouble.WRONG_UNIT, why)
    return None


def _out_of_the_usual(words: str, form: NumberForm) -> Meaning | None:
    """Look for a whole reading in any unit, with a sign, or OL where none is possible."""
    outcomes = wide_grammar(form).parse(words)
    said = [o for o in outcomes if isinstance(o, SaidNumber | SaidForm)]
    if not said:
        return None
    fitting = [o for o in said if o.unit is None or o.unit in form.units]
    if not fitting:
        named = said[0].unit or form.units[0]
        why = f"This step reads {_names(form)}, not {_name(named)}."
        return Unclear(Trouble.WRONG_UNIT, why)
    forms = [o for o in fitting if isinstance(o, SaidForm)]
    if forms:
        return _impossible_form(forms[0], form)
    numbers = [o for o in fitting if isinstance(o, SaidNumber)]
    if not form.takes_negative and any(n.value.is_signed() for n in numbers):
        return Unclear(Trouble.OUT_OF_RANGE, "A reading below zero is not possible here.")
    return settle(tuple(numbers), form)


def _impossible_form(said: SaidForm, form: NumberForm) -> Unclear:
    unit = said.unit or form.units[0]
    if said.form in {Form.ZERO, Form.BEEPS}:
        return Unclear(Trouble.NOT_UNDERSTOOD, f"Say the number of {_name(unit)}.")
    why = f"O L is not possible on {_name(unit)}: check the meter's setting."
    question = "Does the meter show O L, or a number?"
    return Unclear(Trouble.OUT_OF_RANGE, why, question, (OverLimit(unit),))


def _two_ratings(words: str, form: NumberForm) -> Unclear | None:
    if form.is_dual or not wide_grammar(form, is_dual=True).accepts(words):
        return None
    why = "I heard two numbers, and this takes one."
    return Unclear(Trouble.AMBIGUOUS, why, "Which one number is it?")


def _hedged(tokens: tuple[str, ...], form: NumberForm) -> Unclear | None:
    """Ask for the exact figure behind "about", "almost", "or so"."""
    plain = _without(tokens, HEDGES)
    if plain == tokens:
        return None
    meaning = _out_of_the_usual(" ".join(plain), form)
    candidates: tuple[Reading, ...] = ()
    if isinstance(meaning, Value):
        candidates = (meaning.reading,)
    elif isinstance(meaning, Unclear):
        candidates = meaning.candidates
    if not candidates:
        return None
    return Unclear(Trouble.AMBIGUOUS, "That is not exact.", _EXACTLY, candidates)


def _taken_back(words: str, tokens: tuple[str, ...]) -> Unclear | None:
    """Refuse denials, corrections, ranges and two numbers in one answer."""
    count = wide_grammar(_ANY_NUMBER).count_readings(words)
    if not count:
        return None
    if _has_any(tokens, CORRECTIONS):
        return Unclear(Trouble.DENIED, f"I heard a correction. {_SAY_ALONE}")
    if _has_any(tokens, DENIALS):
        return Unclear(Trouble.DENIED, f"I heard what it is not. {_SAY_ALONE}")
    if _has_any(tokens, SPREADS):
        return Unclear(Trouble.AMBIGUOUS, f"I heard more than one possibility. {_SAY_ALONE}")
    if count > 1:
        return Unclear(Trouble.AMBIGUOUS, f"I heard more than one number. {_SAY_ALONE}")
    return None


def _not_understood(words: str, expectation: Expectation) -> Unclear:
    number = expectation.number
    is_begun = grammar_for(expectation).is_unfinished(words)
    if number is not None and wide_grammar(number).count_readings(words):
        is_begun = is_begun or wide_grammar(number).is_unfinished(words)
    if is_begun:
        return Unclear(Trouble.UNFINISHED, "I only heard the beginning. Say it again in full.")
    return Unclear(Trouble.NOT_UNDERSTOOD, f"I did not understand. {_wanted(expectation)}")


def _wanted(expectation: Expectation) -> str:
    """Say what would be an answer."""
    if expectation.number is not None:
        return f"Say the reading in {_names(expectation.number)}."
    if expectation.choices:
        said = ", or ".join(choice.phrases[0] for choice in expectation.choices[:4])
        return f"Say {said}."
    return "Say yes or no." if expectation.takes_yes_no else "Say go ahead or stop."


def _name(unit: Unit) -> str:
    if unit is Unit.IN_WC:
        return "inches of water"
    return FORMS[unit].plural or "a plain number"


def _names(form: NumberForm) -> str:
    return _name(form.units[0])


def _has_any(tokens: tuple[str, ...], phrases: tuple[str, ...]) -> bool:
    return _without(tokens, phrases) != tokens


def _without(tokens: tuple[str, ...], phrases: tuple[str, ...]) -> tuple[str, ...]:
    """Give the words without any of these phrases."""
    text = f" {' '.join(tokens)} "
    for phrase in sorted(phrases, key=len, reverse=True):
        text = text.replace(f" {phrase} ", " ")
    return tuple(text.split())
