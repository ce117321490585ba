"""An answer written: for a terminal, for a spreadsheet, for another program."""

import csv
import io
import json
from typing import Any

from assistant.shop.answer import Answer, Column, Kind, counted, told
from assistant.shop.errors import ShopError

_NUMBERS = frozenset(Kind) - {Kind.TEXT}
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet takes a cell for a formula by (common practice, no source)."""


def as_table(answer: Answer, about: str, top: int) -> str:
    """Write an answer as a plain table.

    Args:
        answer: the answer.
        about: which sessions count, in words.
        top: so many rows; 0 for all.
    """
    rows = answer.rows[:top] if top else answer.rows
    cells = [[column.title for column in answer.columns]]
    cells += [
        [told(column.kind, cell) for column, cell in zip(answer.columns, row, strict=True)]
        for row in rows
    ]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    lines = [_line(row, answer.columns, widths) for row in cells]
    lines.insert(1, "  ".join("-" * width for width in widths))
    head = [answer.title, f"Sessions: {about}.", ""]
    if not answer.rows:
        lines = ["There is nothing to show."]
    return "\n".join([*head, *lines, "", *shown(answer, len(rows)), *answer.notes]) + "\n"


def shown(answer: Answer, count: int) -> tuple[str, ...]:
    """Say how many rows of an answer are shown; nothing where all are."""
    if count == len(answer.rows):
        return ()
    return (f"The first {counted(count, 'row')} of {len(answer.rows):,}; --top 0 gives all.",)


def _line(row: list[str], columns: tuple[Column, ...], widths: list[int]) -> str:
    cells = (
        cell.rjust(width) if column.kind in _NUMBERS else cell.ljust(width)
        for cell, column, width in zip(row, columns, widths, strict=True)
    )
    return "  ".join(cells).rstrip()


def as_csv(answer: Answer) -> str:
    """Write an answer as CSV: names of columns, then all rows; shares are 0 to 1.

    A text that a spreadsheet would take for a formula has an apostrophe before it.
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([column.name for column in answer.columns])
    writer.writerows([_cell(cell) for cell in row] for row in answer.rows)
    return stream.getvalue()


def _cell(cell: object) -> object:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_FORMULA) else cell


def as_json(answer: Answer, about: str) -> str:
    """Write an answer as JSON: what it is, then a mapping a row."""
    names = [column.name for column in answer.columns]
    rows = [dict(zip(names, row, strict=True)) for row in answer.rows]
    whole = {
        "question": answer.name,
        "title": answer.title,
        "sessions": about,
        "columns": [
            {"name": column.name, "title": column.title, "kind": column.kind.value}
            for column in answer.columns
        ],
        "rows": rows,
        "notes": list(answer.notes),
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def as_parquet(answer: Answer) -> bytes:
    """Write an answer as a Parquet file.

    Raises:
        ShopError: where pyarrow is not installed.
    """
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ModuleNotFoundError as error:
        raise ShopError(
            "Parquet needs pyarrow, which is not installed.",
            "Install it: pip install 'rungside[parquet]'.",
        ) from error
    kinds: dict[Kind, Any] = {Kind.TEXT: pa.string(), Kind.COUNT: pa.int64()}
    arrays = {
        column.name: pa.array(answer.column(column.name), kinds.get(column.kind, pa.float64()))
        for column in answer.columns
    }
    sink = io.BytesIO()
    parquet.write_table(pa.table(arrays), sink)
    return sink.getvalue()
