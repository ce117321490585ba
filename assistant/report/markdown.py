r"""The record for the work order, as Markdown (CommonMark with tables).

Everything that fills the template is escaped on its way in, so no place of the template can forget
it: a note cannot become a heading, a link, a table cell or HTML.
"""

import re
from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from assistant.journal.account import Account
from assistant.report.beside import Beside
from assistant.report.plain_text import make_harmless
from assistant.report.view import view

_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
_MARKS = re.compile(r"([\\`*_\[\]#|~$@])")
_LINK_STARTS = re.compile(r"(:(?=//)|(?<=\w)\.(?=[^\W\d]{2}))")
_LIST_START = re.compile(r"^(\d{1,9})?([-+=.)])(?=\s|$|[-+=])")


def escape_markdown(value: object) -> str:
    """Write a value so that Markdown shows it to the letter, on one line.

    Args:
        value: a text, or what `str` makes one of.
    """
    text = _MARKS.sub(r"\\\1", make_harmless(str(value)))
    text = "".join(_ENTITIES.get(mark, mark) for mark in text)
    text = _LINK_STARTS.sub(r"\\\1", text)
    return _LIST_START.sub(r"\1\\\2", text)


def write_markdown(account: Account, beside: Beside | None = None) -> str:
    """Write an account as Markdown."""
    return _template().render(record=view(account, beside))


@lru_cache(maxsize=1)
def _template() -> Template:
    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=False,  # noqa: S701 - this is no HTML; `finalize` escapes each value
        finalize=escape_markdown,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("record.md.jinja")
