"""What a question comes to: a table with its title, what its columns are, and how it is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

Cell: TypeAlias = "str | int | float | None"


class Kind(StrEnum):
    """What a column holds, and so how it is written."""

    TEXT = "text"
    COUNT = "count"
    SHARE = "share"
    SECONDS = "seconds"
    FIGURE = "figure"


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    Args:
        name: in files, as `asked_back`.
        title: for people, as `asked back`.
        kind: what it holds; shares are 0 to 1.
    """

    name: str
    title: str
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True)
class Bars:
    """How a table is drawn: a bar a row.

    Args:
        labels: the columns that say what a bar is.
        value: the column that is its length.
        mark: a column that is marked across the bar, as what was expected; empty for none.
        title: what the drawing shows.
    """

    labels: tuple[str, ...]
    value: str
    title: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a question comes to.

    Args:
        name: the question's name.
        title: for people.
        columns: the columns.
        rows: the rows, what matters most first.
        notes: what one must know to read it, a sentence each.
        bars: how it is drawn; None where a drawing says no more.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    bars: Bars | None = None

    def place(self, name: str) -> int:
        """Give the place of a column."""
        return [column.name for column in self.columns].index(name)

    def column(self, name: str) -> tuple[Cell, ...]:
        """Give what stands in a column."""
        place = self.place(name)
        return tuple(row[place] for row in self.rows)


def told(kind: Kind, cell: Cell) -> str:
    """Write a cell for people; what is not known is a dash."""
    if cell is None:
        return "-"
    if isinstance(cell, str):
        return harmless(cell)
    if kind is Kind.SHARE:
        return f"{cell * 100:.1f} %"
    if kind is Kind.SECONDS:
        return f"{cell:,.1f} s"
    if kind is Kind.FIGURE:
        return f"{cell:,.4g}"
    return f"{cell:,}"


def harmless(text: str) -> str:
    """Give a text as one line in which every mark is seen and none moves another."""
    return "".join(mark if mark.isprintable() else "\ufffd" for mark in text)


def counted(count: int, one: str, many: str = "") -> str:
    """Say how many there are: `1 row`, `2 rows`."""
    return f"{count:,} {one if count == 1 else many or f'{one}s'}"


def listed(names: Sequence[str]) -> str:
    """Give names in a row of words: `a, b and c`."""
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)
