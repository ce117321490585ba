"""An answer written for people and for programs: nothing lost, nothing that runs."""

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from pyarrow import parquet

from assistant.shop.answer import Answer, Bars, Column, Kind, told
from assistant.shop.formats import as_csv, as_json, as_parquet, as_table
from assistant.shop.page import as_page

ANSWER = Answer(
    "made",
    "Made up",
    (
        Column("unit", "unit"),
        Column("count", "how many", Kind.COUNT),
        Column("share", "share", Kind.SHARE),
        Column("took", "it took", Kind.SECONDS),
        Column("size", "size", Kind.FIGURE),
    ),
    (
        ("RTU-3 <script>alert(1)</script>", 1234, 0.5, 61.25, 7.5),
        ("=cmd|' /C calc'!A0", 0, None, None, None),
        ("\x1b[31mred\u202e", 3, 0.123, 0.04, 0.0),
    ),
    ("One sentence.",),
    Bars(("unit",), "count", "How many", mark="size"),
)


def test_a_table_has_every_cell_in_words() -> None:
    """Numbers stand to the right, what is not known is a dash, no mark moves another."""
    lines = as_table(ANSWER, "all that the index holds", 0).splitlines()
    assert "Made up" == lines[0]
    assert "Sessions: all that the index holds." == lines[1]
    assert "1,234  50.0 %   61.2 s   7.5" in lines[5]
    assert lines[6].endswith("0       -        -     -")
    assert "\ufffd[31mred\ufffd" in lines[7]
    assert "One sentence." == lines[-1]


def test_a_table_says_what_it_leaves_out() -> None:
    """Of three rows two are shown, and that is said."""
    text = as_table(ANSWER, "", 2)
    assert "The first 2 rows of 3; --top 0 gives all." in text
    assert "red" not in text


def test_csv_has_all_rows_and_no_formula() -> None:
    """What a spreadsheet would run has an apostrophe before it; figures are plain."""
    rows = list(csv.reader(io.StringIO(as_csv(ANSWER))))
    assert ["unit", "count", "share", "took", "size"] == rows[0]
    assert ["RTU-3 <script>alert(1)</script>", "1234", "0.5", "61.25", "7.5"] == rows[1]
    assert ["'=cmd|' /C calc'!A0", "0", "", "", ""] == rows[2]


def test_json_has_all_rows_with_their_columns() -> None:
    """Each row is a mapping; what is not known is null."""
    whole = json.loads(as_json(ANSWER, "some"))
    assert ("made", "some", 3) == (whole["question"], whole["sessions"], len(whole["rows"]))
    assert {"unit": "=cmd|' /C calc'!A0", "count": 0} | dict.fromkeys(
        ("share", "took", "size")
    ) == whole["rows"][1]
    assert {"name": "took", "title": "it took", "kind": "seconds"} == whole["columns"][3]


def test_parquet_is_read_back_as_it_was() -> None:
    """Types are kept: texts, whole numbers, fractions."""
    table = parquet.read_table(io.BytesIO(as_parquet(ANSWER)))
    assert list(ANSWER.rows) == [tuple(row.values()) for row in table.to_pylist()]
    assert ["string", "int64", "double"] == [str(field.type) for field in table.schema][:3]


def test_an_answer_without_rows_is_written_in_every_format() -> None:
    """Nothing to show is said, and is a table without rows for programs."""
    empty = Answer("made", "Made up", ANSWER.columns, (), (), ANSWER.bars)
    assert "There is nothing to show." in as_table(empty, "", 0)
    assert "There is nothing to show." in as_page([empty], "", "now", 0)
    assert 1 == len(as_csv(empty).splitlines())
    assert 0 == parquet.read_table(io.BytesIO(as_parquet(empty))).num_rows


class Seen(HTMLParser):
    """What stands on a page: tags, texts, and what names something elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.texts: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep tags and links."""
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in {"href", "src"}]

    def handle_data(self, data: str) -> None:
        """Keep texts."""
        self.texts.append(data.strip())


def test_a_page_shows_each_bar_as_a_row_and_runs_nothing() -> None:
    """Every drawn value stands in the table in the same words; nothing is loaded or run."""
    page = as_page([ANSWER, ANSWER], "all", "2026-02-03", 0)
    seen = Seen()
    seen.feed(page)
    assert "script" not in seen.tags
    assert all(link.startswith("#") for link in seen.links)
    assert "default-src 'none'" in page
    assert 2 * 3 == seen.tags.count("rect")
    for row in ANSWER.rows:
        words = told(Kind.COUNT, row[1])
        assert 4 <= seen.texts.count(words)
    assert seen.texts.count("How many. Bar: as counted; line across: size") == 2


def test_a_page_draws_no_row_that_its_table_leaves_out() -> None:
    """Of three rows one is shown, so one bar is drawn."""
    seen = Seen()
    seen.feed(as_page([ANSWER], "all", "2026-02-03", 1))
    assert 1 == seen.tags.count("rect")
    assert "The first 1 row of 3; --top 0 gives all." in seen.texts


def _contrast(one: str, other: str) -> float:
    """Give the contrast of two colours. Source: WCAG 2.2, relative luminance."""

    def light(colour: str) -> float:
        parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    bright, dark = sorted((light(one), light(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_both_themes_and_print_can_be_read() -> None:
    """Ink on paper and on shade has 7 to 1, lines and marks 3 to 1 (WCAG 2.2: 1.4.6, 1.4.11)."""
    style = (
        Path(__file__).parents[2] / "assistant" / "shop" / "templates" / "page.css.jinja"
    ).read_text(encoding="utf-8")
    themes = [
        dict(re.findall(r"--(\w+): (#\w+)", block))
        for block in re.findall(r":root \{([^}]*)\}", style)
    ]
    assert 3 == len(themes)
    for theme in themes:
        for ground in ("paper", "shade"):
            assert 7 <= _contrast(theme["ink"], theme[ground])
        assert 3 <= _contrast(theme["rule"], theme["paper"])
        assert 3 <= _contrast(theme["ink"], theme["bar"])
        assert 3 <= _contrast(theme["mark"], theme["paper"])
        assert 3 <= _contrast(theme["mark"], theme["bar"])


@pytest.mark.parametrize(
    ("kind", "cell", "words"),
    [
        (Kind.SHARE, 0.0, "0.0 %"),
        (Kind.SHARE, 1, "100.0 %"),
        (Kind.SECONDS, 3600.0, "3,600.0 s"),
        (Kind.FIGURE, 12345.678, "1.235e+04"),
        (Kind.COUNT, 1000000, "1,000,000"),
        (Kind.TEXT, None, "-"),
    ],
)
def test_a_cell_in_words(kind: Kind, cell: float | None, words: str) -> None:
    """Each kind of column is written in its own way."""
    assert words == told(kind, cell)
