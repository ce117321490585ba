"""An answer's drawing: bars with their words, as places and lengths."""

from dataclasses import dataclass

from assistant.shop.answer import Answer, Cell, told

MOST_BARS = 12
WIDTH, LABEL, VALUE = 720, 250, 90
ROW, BAR = 24, 14
_LONGEST_LABEL = 38


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar.

    Args:
        label: what it is of, cut where it is long.
        words: its value.
        y: its top.
        length: how long it is.
        mark: where it is marked across; None where it is not.
    """

    label: str
    words: str
    y: int
    length: float
    mark: float | None


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing of bars.

    Args:
        title: what it shows.
        words: the same as its bars say, for those who hear the page.
        bars: the bars, in the order of the table's rows.
        height: of the drawing.
        mark: what a mark across a bar is; empty where there is none.
    """

    title: str
    words: str
    bars: tuple[Bar, ...]
    height: int
    mark: str = ""


def draw(answer: Answer, most: int = MOST_BARS) -> Chart | None:
    """Draw the first rows of an answer; None where there is nothing to draw.

    Args:
        answer: the answer.
        most: so many rows stand in the table beside it; no other is drawn.
    """
    bars = answer.bars
    if bars is None or not answer.rows:
        return None
    rows = answer.rows[: min(most, MOST_BARS)]
    value, mark = answer.place(bars.value), answer.place(bars.mark) if bars.mark else -1
    labels = [answer.place(name) for name in bars.labels]
    longest = max(
        [_number(row[value]) for row in rows] + [_number(row[mark]) for row in rows if mark >= 0],
    )
    scale = (WIDTH - LABEL - VALUE) / longest if longest else 0.0
    kind = answer.columns[value].kind
    drawn = tuple(
        Bar(
            _label([told(answer.columns[place].kind, row[place]) for place in labels]),
            told(kind, row[value]),
            number * ROW + 4,
            round(_number(row[value]) * scale, 1),
            None if mark < 0 or row[mark] is None else round(_number(row[mark]) * scale, 1),
        )
        for number, row in enumerate(rows)
    )
    words = "; ".join(f"{bar.label}: {bar.words}" for bar in drawn)
    title = answer.columns[mark].title if mark >= 0 else ""
    return Chart(bars.title, words, drawn, len(drawn) * ROW + 8, title)


def _number(cell: Cell) -> float:
    return float(cell) if isinstance(cell, int | float) else 0.0


def _label(parts: list[str]) -> str:
    text = ", ".join(part or "no name" for part in parts)
    return text if len(text) <= _LONGEST_LABEL else f"{text[: _LONGEST_LABEL - 1]}\u2026"
