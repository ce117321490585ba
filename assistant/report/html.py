"""The record as one HTML file: a half in plain words for the customer, a technical half.

The file needs nothing else: no link leads out, no script runs, and a policy in its head forbids
both. Values are escaped by Jinja2 and made harmless on their way in. It prints on two pages where
that can be: the technical half begins a page of its own where it fits on one, and otherwise follows
at once. A walk of thirty readings and more takes three.
"""

from base64 import b64encode
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from assistant.journal.account import Account
from assistant.journal.clips import Clip
from assistant.report import drawing
from assistant.report.band import WIDTH
from assistant.report.beside import Beside
from assistant.report.plain_text import make_harmless
from assistant.report.reviewed import tell_clips
from assistant.report.view import View, view

_PAGE = 235.0
"""So many millimetres of a Letter page are for text, with some to spare; A4 has some more."""

_HEADINGS, _ROW, _TEXT_LINE, _DRAWN = 40.0, 6.0, 3.1, 0.21
_MARKS_A_LINE = 150
_TWO_PAGES = 1.35
"""Measured on printed reports: millimetres of the headings, a row of the readings, a line of text
and a unit of a drawing; how many letters are on a line; how many pages there are besides the
customer's half, which takes the greater part of one."""


def write_html(account: Account, beside: Beside | None = None) -> str:
    """Write an account as one self-contained HTML file."""
    record = view(account, beside)
    return _template().render(
        record=record,
        width=WIDTH,
        drawing_width=drawing.WIDTH,
        layout=_layout(_height(record)),
        sounds=_sounds((beside.clips if beside else None) or ()),
    )


def _sounds(clips: Sequence[Clip]) -> list[tuple[str, ...]]:
    """Give the sounds with their data; base64 has no mark that HTML would take for its own."""
    return [
        (*row, Markup(b64encode(clip.wave).decode("ascii")))  # noqa: S704 - base64 alone
        for row, clip in zip(tell_clips(clips), clips, strict=True)
    ]


def _layout(height: float) -> str:
    """Say how the technical half of such a height is printed.

    On a page of its own; where it does not fit on one, from the customer's page on; where it would
    not fit there either, in smaller letters.
    """
    if height <= _PAGE:
        return "starts"
    return "" if height <= _PAGE * _TWO_PAGES else "dense"


def _height(record: View) -> float:
    """Estimate the printed height of the technical half, in millimetres."""
    drawn = sum(one.height + 16 for one in record.drawings) * _DRAWN / 2
    lines = (
        sum(len(text) for text, _ in record.cautions_by_text) / _MARKS_A_LINE
        + sum(len(f"{step}{meaning}") + 4 for step, meaning, _ in record.answers + record.holds)
        / _MARKS_A_LINE
        + len(record.cautions) / 2
        + len(record.cautions_by_text) / 2
        + 3 * len(record.findings)
        + len(record.nameplate) / 3
        + len(record.checks)
        + 2 * len(record.reviewed.remarks + record.reviewed.sign_offs)
        + len(record.problems + record.skipped + record.clips)
    )
    return _HEADINGS + _ROW * len(record.readings) + drawn + _TEXT_LINE * lines


def _finalize(value: object) -> object:
    """Make each text harmless; what a macro gave is markup already, with its texts made so."""
    if hasattr(value, "__html__") or not isinstance(value, str):
        return value
    return make_harmless(value)


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=True,
        finalize=_finalize,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("record.html.jinja")
