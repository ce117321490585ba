"""Answers as one page: each drawing with its table, readable in both themes and in print."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from assistant.shop import chart
from assistant.shop.answer import Answer, Kind, told
from assistant.shop.formats import shown


@dataclass(frozen=True, slots=True)
class Section:
    """One answer as the page shows it.

    Args:
        answer: the answer.
        drawing: its bars; None where there are none.
        rows: its cells in words.
        is_number: whether each column holds numbers.
        left: how many rows are left out, in a sentence; empty where none are.
    """

    answer: Answer
    drawing: chart.Chart | None
    rows: tuple[tuple[str, ...], ...]
    is_number: tuple[bool, ...]
    left: tuple[str, ...]


def as_page(answers: Sequence[Answer], about: str, made: str, top: int) -> str:
    """Write answers as an HTML page that needs nothing beside itself.

    Args:
        answers: the answers, in order.
        about: which sessions count, in words.
        made: when it was made, in words.
        top: so many rows of each table; 0 for all.
    """
    sections = [_section(answer, top) for answer in answers]
    return _template().render(sections=sections, about=about, made=made, chart=chart)


def _section(answer: Answer, top: int) -> Section:
    rows = answer.rows[:top] if top else answer.rows
    return Section(
        answer,
        chart.draw(answer, len(rows)),
        tuple(
            tuple(told(c.kind, cell) for c, cell in zip(answer.columns, row, strict=True))
            for row in rows
        ),
        tuple(column.kind is not Kind.TEXT for column in answer.columns),
        shown(answer, len(rows)),
    )


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("page.html.jinja")
