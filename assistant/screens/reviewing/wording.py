"""Words for what a record holds, for the eye: values, times, sessions in a list."""

from datetime import datetime
from decimal import Decimal, InvalidOperation

from assistant.journal.account import TakenValue
from assistant.journal.flags import flag_words
from assistant.journal.gist import Gist
from assistant.journal.transcript import plain
from assistant.quantity import OverLimit, Quantity, QuantityError, Unit, format_for_eye
from assistant.screens.words import OUTCOME_WORDS

_FIGURES_SHOWN = 6


def tidy(text: str) -> str:
    """Give a text on one line, with whatever would turn a terminal round made visible."""
    return plain(" ".join(text.split()))


def value_words(value: TakenValue) -> str:
    """Write a value for the eye, digits as said; a formula's long tail is shortened, "about"."""
    if value.over_limit:
        return format_for_eye(OverLimit(Unit.COUNT))
    try:
        number, unit = Decimal(value.value), Unit(value.unit)
        if value.origin == "worked_out" and len(number.as_tuple().digits) > _FIGURES_SHOWN:
            number = Decimal(f"{number:.4g}")
            return f"about {format_for_eye(Quantity(Decimal(f'{number:f}'), unit))}"
        return format_for_eye(Quantity(number, unit))
    except (InvalidOperation, ValueError, QuantityError):
        return tidy(f"{value.value} {value.unit}")


def day_words(time: str) -> str:
    """Give the date of a line's time: "2026-02-03"; what is no time is "no date"."""
    return time[:10] if _is_time(time) else "no date"


def minute_words(time: str) -> str:
    """Give date and minute: "2026-02-03 14:05"."""
    return f"{time[:10]} {time[11:16]}" if _is_time(time) else "no date"


def clock_words(time: str) -> str:
    """Give the time of day to the second, UTC: "14:05:06"."""
    return time[11:19]


def _is_time(time: str) -> bool:
    try:
        datetime.fromisoformat(time)
    except ValueError:
        return False
    return True


def span_words(seconds: float) -> str:
    """Give a duration: "45 s", "12 min 5 s", "3 h 2 min"."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def found_words(gist: Gist) -> str:
    """Say what a session found, or how it ended."""
    if gist.findings:
        return tidy("; ".join(gist.findings))
    return OUTCOME_WORDS.get(gist.outcome, tidy(gist.outcome)) or "What it came to is not known"


def unit_words(gist: Gist) -> str:
    """Name a session's unit; the folder where the record does not even say how it began."""
    return tidy(gist.unit) or ("no unit named" if gist.started else f"folder {tidy(gist.name)}")


def state_words(gist: Gist) -> str:
    """Say in a few words what a lead should know first: damage, seal, sign-off, flags."""
    parts = []
    if gist.damage:
        parts.append("DAMAGED")
    if not gist.is_sealed and not gist.damage:
        parts.append("not sealed")
    if gist.signed:
        parts.append(f"lead {gist.signed}")
    known = {"damaged", "unsealed"}
    parts += [
        flag_words(name) if count == 1 else f"{flag_words(name)} x{count}"
        for name, count in gist.flags
        if name not in known
    ]
    if not gist.is_looked:
        parts.append("flags not looked for yet")
    return ", ".join(parts) or "no flags"
