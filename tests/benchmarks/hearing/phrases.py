"""What technicians say at the steps: readings in every style, choices, yes and no, commands.

Wording: common practice, no source. Every phrase is read back by the project's own parser when it
is made, so that a phrase which cannot mean its truth is a mistake of this file and not of the ears.
"""

import random
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from decimal import Decimal
from functools import lru_cache

from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import InteractiveStep
from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Command, Expectation, Meaning, Picked, Unclear, Value, YesNo
from assistant.spoken.phrasing import say_digits, say_number, say_reading
from assistant.spoken.understanding import understand
from assistant.walk.hearing import Bench, stand_at

TUNING, HELD_OUT = "tuning", "held_out"


@dataclass(frozen=True, slots=True)
class Truth:
    """What was meant.

    Args:
        value: digits, or `yes`, `no`, or the name of a choice; empty for OL and commands.
        unit: of a value or OL; else empty.
        over_limit: whether OL was meant.
        command: a standing command; else empty.
    """

    value: str = ""
    unit: str = ""
    over_limit: bool = False
    command: str = ""

    @property
    def is_reading(self) -> bool:
        """Whether a number or OL was meant."""
        return bool(self.unit)

    def as_record(self) -> dict[str, object]:
        """Give the fields of a line of the manifest."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Phrase:
    """One thing said at one turn.

    Args:
        words: as written for a synthesizer.
        place: a unit's name, `yes_no`, or `flow:step`.
        truth: what it means.
        style: how it is said, for the table.
        clear: how it is said when it must be said again, digit by digit; empty: the same way.
    """

    words: str
    place: str
    truth: Truth
    style: str
    clear: str = ""


@lru_cache(maxsize=512)
def place_named(name: str) -> Bench:
    """Give where an answer is heard: `flow:step`, or a unit; the flow is not checked again."""
    flow, _, step = name.rpartition(":")
    return stand_at(open_flow(flow), step) if flow else Bench(expectation_for_unit(name))


def truth_of(meaning: Meaning) -> Truth | None:
    """Give a meaning as a truth; None where it has none."""
    match meaning:
        case Value(reading=reading):
            return reading_truth(reading)
        case YesNo():
            return Truth("yes" if meaning.is_yes else "no")
        case Picked():
            return Truth(meaning.choice)
        case Command():
            return Truth(command=meaning.kind.value)
        case _:
            return None


def reading_truth(reading: Reading) -> Truth:
    """Give a reading as a truth."""
    if isinstance(reading, OverLimit):
        return Truth(unit=reading.unit.value, over_limit=True)
    return Truth(f"{reading.value:f}", reading.unit.value)


def can_mean(words: str, truth: Truth, expectation: Expectation) -> bool:
    """Whether typed words mean the truth, or it is among the values that would be asked about."""
    meaning = understand(words, expectation)
    if isinstance(meaning, Unclear):
        return truth in [reading_truth(one) for one in meaning.candidates]
    return truth_of(meaning) == truth


# What a meter shows: lowest, highest, decimals; the first row of a unit is drawn most often.
_SPANS: dict[str, tuple[tuple[str, str, int], ...]] = {
    "ohm": (("0.4", "60", 1), ("10", "400", 1), ("1", "2000", 0), ("0.1", "9", 2)),
    "microfarad": (("2", "60", 1), ("2", "12", 2), ("5", "160", 0)),
    "volt": (("100", "260", 0), ("0.1", "30", 1), ("100", "500", 1), ("0", "9", 0)),
    "ampere": (("0.3", "20", 1), ("0.05", "9", 2), ("10", "60", 0)),
    "in_wc": (("0.01", "0.99", 2), ("0.1", "2", 1)),
}
_PLACES: dict[str, tuple[str, ...]] = {
    "ohm": ("ohm", "ohm", "condenser-fan:r_common_cap_start", "blower-psc:cap_ohms"),
    "microfarad": ("microfarad", "microfarad", "condenser-fan:cap/ends"),
    "volt": ("volt", "volt", "blower-psc:line_dead", "capacitor:cap_run_volts"),
    "ampere": ("ampere", "ampere", "blower-psc:full_load_unit"),
    "in_wc": ("in_wc",),
}
_OFTEN = {
    "with_unit": 3.0,
    "bare": 3.0,
    "hundreds": 4.0,
    "half": 3.0,
    "point_first": 3.0,
    "digits": 1.5,
    "digits_oh": 1.5,
    "no_point": 0.7,
}
"""How often each style is drawn where it can be said, against the others."""

_LEAD_INS = ("it's", "I got", "I've got", "reads", "it reads", "uh", "okay", "the meter says")
_FIRST_SPAN_SHARE, _LEAD_IN_SHARE, _OVER_LIMIT_SHARE, _ZERO_SHARE = 0.5, 0.2, 0.06, 0.04


def _drawn_value(unit: str, chance: random.Random) -> Decimal:
    spans = _SPANS[unit]
    low, high, decimals = (
        spans[0] if chance.random() < _FIRST_SPAN_SHARE else chance.choice(spans[1:] or spans)
    )
    scale: int = 10**decimals
    steps = chance.randint(int(Decimal(low) * scale), int(Decimal(high) * scale))
    return (Decimal(steps) / scale).quantize(Decimal(1).scaleb(-decimals))


def _digits_casually(value: Decimal) -> str:
    """Say digits with "oh" for zero: "two oh eight point five", "point oh five"."""
    said = say_digits(Quantity(value, Unit.OHM)).replace("zero", "oh")
    return said.removeprefix("oh ") if value < 1 else said


def _hundreds_casually(value: Decimal) -> str:
    """Say "one eighteen point five" and "two oh eight"; empty where it is not said so."""
    whole = int(value)
    if not 100 < whole < 1000 or whole % 100 == 0:
        return ""
    rest = say_number(Decimal(whole % 100))
    oh = "oh " if whole % 100 < 10 else ""
    _, point, decimals = f"{value:f}".partition(".")
    behind = f" point {' '.join(say_number(Decimal(d)) for d in decimals)}" if point else ""
    return f"{say_number(Decimal(whole // 100))} {oh}{rest}{behind}"


def _without_point(value: Decimal) -> str:
    """Say 17.5 as "seventeen five", which must be asked about; empty where it is not said so."""
    whole, _, decimal = f"{value:f}".partition(".")
    if len(decimal) != 1 or decimal == "0" or not 10 < int(whole) < 100 or int(whole) % 10 == 0:
        return ""
    return f"{say_number(Decimal(whole))} {say_number(Decimal(decimal))}"


def _styles(value: Decimal, unit: str) -> dict[str, str]:
    reading = Quantity(value, Unit(unit))
    said = say_reading(reading)
    number = say_number(value)
    styles = {
        "with_unit": said[0],
        "bare": number,
        "digits": say_digits(reading),
        "digits_oh": _digits_casually(value),
        "hundreds": _hundreds_casually(value),
        "no_point": _without_point(value),
        "half": next((way for way in said if "half" in way or "quarter" in way), ""),
        "point_first": number.removeprefix("zero ") if value < 1 else "",
    }
    distinct = {words: style for style, words in reversed(styles.items()) if words}
    return {style: words for words, style in reversed(distinct.items())}


def _reading_phrase(chance: random.Random) -> Phrase:
    unit = chance.choice(("ohm", "ohm", "ohm", "microfarad", "volt", "volt", "ampere", "in_wc"))
    place = chance.choice(_PLACES[unit])
    if unit == "ohm" and chance.random() < _OVER_LIMIT_SHARE * 2:
        words = chance.choice(("O L", "over limit", "it says O L", "O L"))
        return Phrase(words, place, Truth(unit=unit, over_limit=True), "over_limit", "over limit")
    if chance.random() < _ZERO_SHARE:
        words = chance.choice(("zero", f"zero {say_reading(Quantity(Decimal(0), Unit(unit)))[0]}"))
        words = words if words == "zero" else words.removeprefix("zero ")
        return Phrase(words, place, Truth("0", unit), "zero", "zero")
    value = _drawn_value(unit, chance)
    styles = _styles(value, unit)
    style = chance.choices(list(styles), [_OFTEN[one] for one in styles])[0]
    words = styles[style]
    if chance.random() < _LEAD_IN_SHARE:
        words = f"{chance.choice(_LEAD_INS)} {words}"
    truth = reading_truth(Quantity(value, Unit(unit)))
    return Phrase(words, place, truth, style, say_digits(Quantity(value, Unit(unit))))


_YES = ("yes", "yeah", "yep", "correct", "that's right", "that is correct", "affirmative", "yup")
_NO = (
    "no",
    "nope",
    "negative",
    "wrong",
    "that's wrong",
    "incorrect",
    "no it's not",
    "that is wrong",
)
_COMMANDS = (
    *("say again", "repeat", "what was that", "go back", "back up", "help", "what do you mean"),
    *("why", "what for", "hold on", "hang on", "stand by", "scratch that", "take that back"),
    *("skip it", "can't do that", "where am I", "where are we", "slower", "faster", "louder"),
    *("quieter", "stop", "stop the walk", "undo that", "come again"),
)


def _split(words: list[str] | tuple[str, ...], part: str) -> list[str]:
    return list(words)[0 if part == TUNING else 1 :: 2]


def _choices() -> Iterator[Phrase]:
    """Give every phrase of every choice of the flows."""
    seen: set[tuple[str, str]] = set()
    for flow in flow_names():
        opened = open_flow(flow)
        for name, step in opened.steps.items():
            if not isinstance(step, InteractiveStep) or name.split("/")[0].startswith("safe_"):
                continue
            for choice in stand_at(opened, name).expectation.choices:
                for words in choice.phrases:
                    if (name, words) not in seen:
                        seen.add((name, words))
                        yield Phrase(words, f"{flow}:{name}", Truth(choice.id), "choice")


def _of_place(place: str, words: str) -> Phrase | None:
    truth = truth_of(understand(words, place_named(place).expectation))
    return None if truth is None else Phrase(words, place, truth, "command")


def phrases(part: str, readings: int, others: int) -> list[Phrase]:
    """Draw the phrases of one part; the two parts share no reading, choice or command in words.

    Args:
        part: `tuning` or `held_out`.
        readings: how many readings.
        others: how many choices; a third as many commands, and a quarter as many yes and no.
    """
    chance = random.Random(f"rungside {part}")  # noqa: S311 - a sample, no secret
    found: dict[tuple[str, str], Phrase] = {}
    while len(found) < readings:
        phrase = _reading_phrase(chance)
        is_own = (hash_of(phrase.words) % 2 == 0) == (part == TUNING)
        is_common = phrase.style in {"over_limit", "zero"}
        fits = can_mean(phrase.words, phrase.truth, place_named(phrase.place).expectation)
        if (is_own or is_common) and fits:
            found[phrase.words, phrase.place] = phrase
    chosen = _split(sorted(f"{p.place}|{p.words}" for p in _choices()), part)
    picked = set(chance.sample(chosen, min(others, len(chosen))))
    rest = [p for p in _choices() if f"{p.place}|{p.words}" in picked]
    said = [(w, "ohm") for w in _split(_COMMANDS, part)][: max(others // 3, 1)]
    commands = [p for w, place in said if (p := _of_place(place, w)) is not None]
    answers = [(w, "yes") for w in _split(_YES, part)] + [(w, "no") for w in _split(_NO, part)]
    yes_no = [Phrase(w, "yes_no", Truth(v), "yes_no") for w, v in answers][: max(others // 4, 1)]
    return [*found.values(), *rest, *commands, *yes_no]


def hash_of(words: str) -> int:
    """Give a number that is the same in every run."""
    import hashlib

    return int.from_bytes(hashlib.sha256(words.encode()).digest()[:6], "big")


@dataclass(frozen=True, slots=True)
class Broken:
    """A number with a pause in it.

    Args:
        before: what is said before the pause.
        behind: what is said behind it.
        pause: seconds.
        phrase: the whole.
    """

    before: str
    behind: str
    pause: float
    phrase: Phrase


def broken_numbers(part: str, count: int) -> list[Broken]:
    """Draw numbers that are said with a pause before or behind the point, or inside."""
    chance = random.Random(f"rungside broken {part}")  # noqa: S311 - a sample, no secret
    found: list[Broken] = []
    while len(found) < count:
        phrase = _reading_phrase(chance)
        words = phrase.words.split()
        if phrase.style not in {"bare", "with_unit", "hundreds", "digits"} or "point" not in words:
            continue
        at = words.index("point")
        cut = chance.choice((at, at + 1))
        is_own = (hash_of(phrase.words) % 2 == 0) == (part == TUNING)
        fits = can_mean(phrase.words, phrase.truth, place_named(phrase.place).expectation)
        if cut == 0 or not is_own or not fits:
            continue
        pause = round(chance.uniform(0.6, 1.2), 2)
        found.append(Broken(" ".join(words[:cut]), " ".join(words[cut:]), pause, phrase))
    return found
