"""How values are said: in words, digit by digit, as a question."""

import re
from decimal import Decimal

from assistant.quantity import (
    OverLimit,
    Quantity,
    Reading,
    Unit,
    digit_words,
    format_for_ear,
    number_words,
    unit_words,
)

_HALVES = {"5": "a half", "25": "a quarter", "75": "three quarters"}
_PAIR_UNITS = frozenset({Unit.VOLT, Unit.RPM, Unit.CFM})
_NAMES_OF_SUPPLIES = frozenset({Decimal(110), Decimal(220)})


def say_number(value: Decimal) -> str:
    """Say a number without its unit."""
    return number_words(value)


def capital(text: str) -> str:
    """Put a capital in front."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Make words into a sentence: a capital in front, a full stop behind."""
    return f"{capital(text)}."


def say_reading(reading: Reading) -> tuple[str, ...]:
    """Give the ways in which a reading may be said and is understood, the preferred one first.

    Every way ends with the unit and has one meaning only; the parser reads each of them back.
    """
    if isinstance(reading, OverLimit):
        return ("over limit", "o l", "infinity", "open line")
    unit = unit_words(reading.unit, reading.value)
    forms = (number_words(reading.value), *_with_and(reading.value), *_shares(reading.value))
    said = [format_for_ear(reading)]
    said += [f"{form} {unit}".strip() for form in (*forms, *_pairs(reading))]
    return tuple(dict.fromkeys(said))


def _with_and(value: Decimal) -> tuple[str, ...]:
    words = number_words(value)
    head, hundred, rest = words.partition(" hundred ")
    is_plain = hundred and "thousand" not in words and not rest.startswith("point")
    return (f"{head} hundred and {rest}",) if is_plain else ()


def _shares(value: Decimal) -> tuple[str, ...]:
    whole, _, decimals = f"{value:f}".partition(".")
    share = _HALVES.get(decimals)
    if share is None or whole.startswith("-"):
        return ()
    return (f"{number_words(Decimal(whole))} and {share}",) if int(whole) else ()


def _pairs(reading: Quantity) -> tuple[str, ...]:
    """Say 240 volts as "two forty" where no decimals are read."""
    value = reading.value
    is_pair = value == value.to_integral() and value.as_tuple().exponent == 0
    if reading.unit not in _PAIR_UNITS or not is_pair or value in _NAMES_OF_SUPPLIES:
        return ()
    head, rest = divmod(int(value), 100)
    if head not in range(1, 10) or rest == 0:
        return ()
    oh = "oh " if rest in range(1, 10) else ""
    return (f"{number_words(Decimal(head))} {oh}{number_words(Decimal(rest))}",)


def say_digits(reading: Reading) -> str:
    """Say a reading one digit at a time: "one seven point five"; OL is "O L"."""
    return "O L" if isinstance(reading, OverLimit) else digit_words(reading.value)


def ask_back(reading: Reading) -> str:
    """Ask for a yes to a reading, digit by digit: "One seven point five ohms?"."""
    if isinstance(reading, OverLimit):
        return "O L, over limit?"
    said = f"{digit_words(reading.value)} {unit_words(reading.unit, reading.value)}".strip()
    return f"{capital(said)}?"


def as_spoken(phrase: str) -> str:
    """Give a phrase as a person writes it: the one word that is always a capital."""
    return re.sub(r"\bi\b", "I", phrase)


def ask_back_choice(phrase: str) -> str:
    """Ask for a yes to a choice, by the phrase that names it."""
    return f"Did you say: {as_spoken(phrase)}?"


def either_or(readings: tuple[Reading, ...]) -> str:
    """Ask which of the readings is meant: "Seven point five, or seventy five?"."""
    said = [
        "O L" if isinstance(reading, OverLimit) else number_words(reading.value)
        for reading in readings
    ]
    listed = said[0] if len(said) == 1 else f"{', '.join(said[:-1])}, or {said[-1]}"
    return f"{capital(listed)}?"
