"""Words for what a record holds: names, readings, verdicts, times; for the eye."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from assistant.flow.judging import VerdictKind
from assistant.journal.account import TakenValue
from assistant.quantity import OverLimit, Quantity, QuantityError, Unit, format_for_eye, in_fit_unit
from assistant.report.beside import PlaceName
from assistant.report.selection import WORKED_OUT

VERDICT_WORDS: Mapping[str, str] = {
    VerdictKind.PASS: "pass",
    VerdictKind.MARGINAL: "marginal",
    VerdictKind.FAIL: "FAIL",
    VerdictKind.CANNOT_TELL: "cannot tell",
    "": "not judged",
}
"""Each verdict as a word, so that no report needs a colour to tell them apart."""

OUTCOME_WORDS: Mapping[str, str] = {
    "found": "fault found",
    "no_fault": "no fault found",
    "stopped": "stopped before the end",
    "sent": "sent on to another flow",
}

DEFERENCE = (
    "Rungside is a helper. The equipment's own instructions, local codes and licensed practice"
    " come first, wherever they ask for more or for something else."
)
"""What every report ends with."""

_MOST_PLACES = 30  # a record may claim a number of a million places; it is told as it stands
_FIGURES_SHOWN = 6
_FIGURES_KEPT = 4


def spaced(name: str) -> str:
    """Give a name of the flow as words: `safe/dead_volts` is "safe: dead volts"."""
    return name.replace("/", ": ").replace("_", " ")


def verdict_word(verdict: str) -> str:
    """Give a verdict as a word; one that this edition does not know is given as it stands."""
    return VERDICT_WORDS.get(verdict, spaced(verdict))


def outcome_words(outcome: str) -> str:
    """Give an outcome as words."""
    return OUTCOME_WORDS.get(outcome, spaced(outcome))


def shown_value(value: TakenValue) -> str:
    """Write a value for the eye, digits as said: `17.50 Ω`, `OL`.

    A value that a formula gave may have a tail of digits that nobody measured; it is then
    shortened, with "about" before it.
    """
    if value.over_limit:
        return format_for_eye(OverLimit(Unit.COUNT))
    try:
        number, unit = Decimal(value.value), Unit(value.unit)
        if number.is_finite() and abs(number.adjusted()) > _MOST_PLACES:
            return f"{value.value} {spaced(value.unit)}".strip()
        if value.origin == WORKED_OUT:
            return _shown_result(number, unit)
        return format_for_eye(Quantity(number, unit))
    except (InvalidOperation, ValueError, QuantityError):
        return f"{value.value} {spaced(value.unit)}".strip()


def judged_value(value: TakenValue) -> str:
    """Write a value with its verdict: "6.2 µF, FAIL"; without one where none was judged."""
    shown = shown_value(value)
    return f"{shown}, {verdict_word(value.verdict)}" if value.verdict else shown


def _shown_result(number: Decimal, unit: Unit) -> str:
    shown = in_fit_unit(Quantity(number, unit))
    if len(shown.value.as_tuple().digits) <= _FIGURES_SHOWN:
        return format_for_eye(shown)
    places = shown.value.adjusted() - _FIGURES_KEPT + 1
    rounded = shown.value.quantize(Decimal(1).scaleb(min(places, 0)))
    return f"about {format_for_eye(Quantity(rounded, shown.unit))}"


def place_name(place: str, names: Mapping[str, PlaceName] = MappingProxyType({})) -> str:
    """Give what a place is called; one that no vocabulary names is told by its id."""
    return names[place].say if place in names else spaced(place)


def place_words(value: TakenValue, names: Mapping[str, PlaceName] = MappingProxyType({})) -> str:
    """Say where a reading was taken: "resistance, common to low"; empty where nowhere.

    Args:
        value: the reading.
        names: what places are called.
    """
    if value.origin == WORKED_OUT:
        return "worked out"
    kind, *places = value.places
    between = " to ".join(place_name(place, names) for place in places if place)
    return ", ".join(part for part in (spaced(kind), between) if part)


def remarks(value: TakenValue, *, is_replaced: bool = False) -> str:
    """Say what else is to be known of a reading: its words, asked back, taken again."""
    parts = []
    if value.said:
        parts.append(f'said "{value.said}"')
    if value.confirmed:
        parts.append("confirmed")
    if is_replaced:
        parts.append("taken again later")
    elif value.retaken:
        parts.append("taken again")
    return "; ".join(parts)


def moment_words(time: str) -> str:
    """Give a line's time to the second, with its zone: "2026-02-03 14:05:06 UTC"."""
    try:
        moment = datetime.fromisoformat(time)
    except ValueError:
        return time
    return f"{moment:%Y-%m-%d %H:%M:%S} UTC"


def clock_words(time: str, started: str) -> str:
    """Give a line's time of day; with its date where that is not the day of the walk's start."""
    is_same_day = len(time) > len("2026-02-03T") and time[:11] == started[:11]
    words = moment_words(time)
    return words.partition(" ")[2] if is_same_day and words != time else words


def duration_words(seconds: float) -> str:
    """Give a duration: "12 min 5 s"."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h" if hours else "", f"{minutes} min" if hours or minutes else ""]
    return " ".join([*(part for part in parts if part), f"{rest} s"])


def counted(number: int, one: str, many: str = "") -> str:
    """Give a number with its noun: "1 reading", "3 readings"."""
    return f"{number} {one if number == 1 else many or one + 's'}"
