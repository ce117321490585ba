"""Two sessions of one unit side by side, and one reading over all its visits. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from assistant.journal.account import Account, TakenValue
from assistant.screens.reviewing.roll import fit
from assistant.screens.reviewing.wording import day_words, value_words
from assistant.screens.words import spaced, verdict_word

_LEAST_LINE = 12
_DAY, _SHOWN, _WORD = 10, 12, 11


@dataclass(frozen=True, slots=True)
class Pair:
    """One value in two sessions.

    Args:
        id: its name in the flow.
        one: as it stood in the first; None where it was not taken.
        other: as it stood in the second.
        difference: the change from the earlier to the later, in words; empty where none is known.
    """

    id: str
    one: TakenValue | None
    other: TakenValue | None
    difference: str


@dataclass(frozen=True, slots=True)
class Visit:
    """One value at one visit.

    Args:
        started: the session's first time.
        value: as it stood at its end; None where it was not taken.
    """

    started: str
    value: TakenValue | None


def pair_values(one: Account, other: Account) -> tuple[Pair, ...]:
    """Set the values of two sessions side by side, readings before what was read off labels."""
    first, second = ({v.id: v for v in account.values} for account in (one, other))
    names = sorted(dict.fromkeys([*first, *second]), key=lambda name: _rank(name, first, second))
    is_first_earlier = one.started <= other.started
    return tuple(
        Pair(
            name,
            first.get(name),
            second.get(name),
            _change(first.get(name), second.get(name))
            if is_first_earlier
            else _change(second.get(name), first.get(name)),
        )
        for name in names
    )


def _rank(name: str, *sides: dict[str, TakenValue]) -> int:
    value = next(side[name] for side in sides if name in side)
    is_capacitor = value.unit == "microfarad"
    if value.origin == "measured":
        return 0 if is_capacitor else 1
    return 2 if value.origin == "worked_out" else 3


def _change(earlier: TakenValue | None, later: TakenValue | None) -> str:
    if earlier is None or later is None:
        return "only once"
    if earlier.unit != later.unit or earlier.over_limit or later.over_limit:
        return "same" if value_words(earlier) == value_words(later) else "changed"
    before, after = number_of(earlier), number_of(later)
    if before is None or after is None:
        return ""
    change = after - before
    if not change:
        return "same"
    share = f" ({change / abs(before) * 100:+.1f} %)" if before else ""
    return f"{change:+f}{share}"


def number_of(value: TakenValue | None) -> Decimal | None:
    """Give a value's number; None where it has none."""
    try:
        return None if value is None or value.over_limit else Decimal(value.value)
    except InvalidOperation:
        return None


def visits_of(name: str, accounts: Sequence[Account]) -> tuple[Visit, ...]:
    """Give one value over all visits, the earliest first."""
    ordered = sorted(accounts, key=lambda account: account.started)
    return tuple(
        Visit(one.started, next((v for v in one.values if v.id == name), None)) for one in ordered
    )


def draw_visits(name: str, visits: Sequence[Visit], columns: int) -> tuple[str, ...]:
    """Draw one value over the visits, all on one scale, as rows of text.

    Each row has the day, a line with the value's mark, its own limits as `[` and `]`, the value and
    its verdict in words.

    Args:
        name: the value's name in the flow.
        visits: the visits, the earliest first.
        columns: how wide a row may be.
    """
    numbers = [number for visit in visits for number in _numbers(visit)]
    if not numbers:
        return (f"{spaced(name).capitalize()}: no number at any visit.",)
    low, high = min(numbers), max(numbers)
    room = max(columns - _DAY - _SHOWN - _WORD - 3, _LEAST_LINE)
    head = f"{spaced(name).capitalize()} over {len(visits)} visits, {low:f} to {high:f}"
    rows = (_row(visit, low, high, room) for visit in visits)
    return (fit(head, columns), *(fit(row, columns) for row in rows))


def _numbers(visit: Visit) -> Iterator[Decimal]:
    if visit.value is None:
        return
    for text in (visit.value.value, visit.value.low, visit.value.high):
        try:
            yield Decimal(text)
        except InvalidOperation:
            continue


def _row(visit: Visit, low: Decimal, high: Decimal, room: int) -> str:
    value = visit.value
    if value is None:
        return f"{day_words(visit.started)} {'not taken':<{room}}"
    cells = ["·"] * room
    for limit, mark in ((value.low, "["), (value.high, "]")):
        try:
            cells[_cell(Decimal(limit), low, high, room)] = mark
        except InvalidOperation:
            continue
    number = number_of(value)
    if number is not None:
        cells[_cell(number, low, high, room)] = "●"
    word = verdict_word(value.verdict) if value.verdict else ""
    line, shown = "".join(cells), fit(value_words(value), _SHOWN)
    return f"{day_words(visit.started)} {line} {shown} {word}"


def _cell(number: Decimal, low: Decimal, high: Decimal, room: int) -> int:
    if high == low:
        return room // 2
    return int(((number - low) / (high - low) * (room - 1)).to_integral_value())
