"""The leads of a unit as a drawing: the places that were measured, and what they read.

Places stand at the left, one under the other; a measurement is a bracket between its two places, or
a line from its one place, with a number; the numbers are told at the right. Generic over the kinds
of places that a vocabulary has: places of kinds that were measured against each other are drawn
together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from assistant.journal.account import TakenValue
from assistant.report import labels
from assistant.report.beside import PlaceName
from assistant.report.fitting import wrap

WIDTH = 440.0
"""The width of a drawing, in its own units."""

SIZE = 12.0
"""The size of its letters."""

MOST_MEASUREMENTS = 4
"""More than so many measurements are shared out among several drawings."""

_LINE = 14.0
_GAP = 7.0
_NAMES = 148.0
_DOT = 156.0
_FIRST_COLUMN, _COLUMN = 174.0, 19.0
_RADIUS = 7.5
_MOST_NAME_LINES, _MOST_TOLD_LINES = 2, 4
_MOST_TOLD = 3


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text; `x` is its end where it is a place's name, else its beginning."""

    x: float
    y: float
    text: str
    is_place: bool = False


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A ring with a number in it."""

    x: float
    y: float
    number: int


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing.

    Args:
        title: what the places belong to.
        words: each measurement as words, for who cannot see the drawing.
        height: its height; its width is `WIDTH`.
        labels: names of places and what was read.
        strokes: the brackets.
        dots: where a bracket meets a place.
        marks: the numbers.
    """

    title: str
    words: tuple[str, ...]
    height: float
    labels: tuple[Label, ...]
    strokes: tuple[Stroke, ...]
    dots: tuple[tuple[float, float], ...]
    marks: tuple[Mark, ...]


@dataclass(slots=True)
class _Measurement:
    quantity: str
    places: tuple[str, ...]
    values: list[TakenValue] = field(default_factory=list)


def draw_leads(values: Sequence[TakenValue], names: Mapping[str, PlaceName]) -> tuple[Drawing, ...]:
    """Draw where readings were taken and what they were.

    Args:
        values: the readings, in order; those without a place are left out.
        names: what places are called and what they belong to.
    """
    drawings = []
    for kinds, measured in _parts(_measurements(values), names):
        words = " and ".join(labels.spaced(kind) for kind in kinds if kind)
        title = words[:1].upper() + words[1:]
        share = -(-len(measured) // -(-len(measured) // MOST_MEASUREMENTS))
        for start in range(0, len(measured), share):
            some = measured[start : start + share]
            drawings.append(_lay_out(title or "Places", some, start, names))
    return tuple(drawings)


def _measurements(values: Sequence[TakenValue]) -> list[_Measurement]:
    """Put what was read at the same place together; taken again means the same bracket."""
    found: dict[tuple[str, ...], _Measurement] = {}
    for value in values:
        quantity, *spots = value.places
        places = tuple(dict.fromkeys(spot for spot in spots if spot))
        if places and value.origin == "measured":
            one = found.setdefault((quantity, *places), _Measurement(quantity, places))
            one.values.append(value)
    return list(found.values())


def _parts(
    measured: Sequence[_Measurement], names: Mapping[str, PlaceName]
) -> list[tuple[list[str], list[_Measurement]]]:
    """Put measurements together whose places belong to the same things."""
    parts: list[tuple[list[str], list[_Measurement]]] = []
    for one in measured:
        kinds = [names[place].kind if place in names else "" for place in one.places]
        kinds = list(dict.fromkeys(kinds))
        touched = [part for part in parts if set(part[0]) & set(kinds)]
        joined_kinds = [kind for part in touched for kind in part[0]]
        joined = [other for part in touched for other in part[1]]
        parts = [part for part in parts if part not in touched]
        parts.append((list(dict.fromkeys([*joined_kinds, *kinds])), [*joined, one]))
    return parts


def _lay_out(
    title: str, measured: Sequence[_Measurement], before: int, names: Mapping[str, PlaceName]
) -> Drawing:
    rows, place_labels, places_end = _place_rows(measured, names)
    told_at = _FIRST_COLUMN + _COLUMN * len(measured) + 4
    told, told_ends = _told(measured, told_at + _RADIUS * 2 + 4)
    strokes: list[Stroke] = []
    dots: list[tuple[float, float]] = []
    marks: list[Mark] = []
    for column, one in enumerate(measured):
        x = _FIRST_COLUMN + _COLUMN * column
        ys = [rows[place] for place in one.places]
        strokes += [Stroke(_DOT, y, x, y) for y in ys]
        dots += [(_DOT, y) for y in ys]
        if len(ys) > 1:
            strokes.append(Stroke(x, min(ys), x, max(ys)))
            dots += [(x, y) for y in ys]
        number = before + column + 1
        marks.append(Mark(x, _ring(ys, sorted(rows.values())), number))
        marks.append(Mark(told_at + _RADIUS, told_ends[column] + _LINE - 4, number))
    return Drawing(
        title=title,
        words=tuple(_sentence(one, names) for one in measured),
        height=max(places_end, told_ends[-1]) + 2,
        labels=(*place_labels, *told),
        strokes=tuple(strokes),
        dots=tuple(dict.fromkeys(dots)),
        marks=tuple(marks),
    )


def _place_rows(
    measured: Sequence[_Measurement], names: Mapping[str, PlaceName]
) -> tuple[dict[str, float], list[Label], float]:
    """Give the height at which each place stands, its name, and where the last one ends."""
    taken = list(dict.fromkeys(place for one in measured for place in one.places))
    known = [place for place in names if place in taken]
    rows: dict[str, float] = {}
    found: list[Label] = []
    top = _GAP / 2
    for place in [*known, *(place for place in taken if place not in known)]:
        lines = wrap(labels.place_name(place, names), _NAMES, SIZE, _MOST_NAME_LINES)
        rows[place] = top + len(lines) * _LINE / 2
        found += [
            Label(_NAMES, top + (number + 1) * _LINE - 3, line, is_place=True)
            for number, line in enumerate(lines)
        ]
        top += max(len(lines) * _LINE, _RADIUS * 2) + _GAP
    return rows, found, top


def _told(measured: Sequence[_Measurement], x: float) -> tuple[list[Label], list[float]]:
    """Give what was read as lines, and where each measurement's lines begin; the end comes last."""
    blocks = [wrap(_reads(one), WIDTH - x, SIZE, _MOST_TOLD_LINES) for one in measured]
    tops = list(accumulate((len(block) * _LINE + _GAP for block in blocks), initial=_GAP / 2))
    found = [
        Label(x, top + (number + 1) * _LINE - 3, line)
        for top, block in zip(tops, blocks, strict=False)
        for number, line in enumerate(block)
    ]
    return found, tops


def _ring(ys: Sequence[float], rows: Sequence[float]) -> float:
    """Give where a number stands on its bracket: in the middle, but on no place's own line."""
    if len(ys) == 1:
        return ys[0]
    low, high = min(ys), max(ys)
    between = [row for row in rows if low <= row <= high]
    gaps = [(first + second) / 2 for first, second in pairwise(between)]
    middle = (low + high) / 2
    return min(gaps, key=lambda gap: abs(gap - middle), default=middle)


def _reads(one: _Measurement) -> str:
    """Tell what was read: "resistance: 17.5 Ω, pass; then 17.6 Ω, pass"."""
    shown = [labels.judged_value(value) for value in one.values]
    if len(shown) > _MOST_TOLD:
        shown = [shown[0], f"{len(shown) - 2} more", f"at last {shown[-1]}"]
    told = "; then ".join(shown)
    return f"{labels.spaced(one.quantity)}: {told}" if one.quantity else told


def _sentence(one: _Measurement, names: Mapping[str, PlaceName]) -> str:
    return f"{' to '.join(labels.place_name(place, names) for place in one.places)}: {_reads(one)}"
