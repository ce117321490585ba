"""The record as one HTML file: a half in plain words for the customer, a technical half.

The file needs nothing else: no link leads out, no script runs, and a policy in its head forbids
both. Values are escaped by Jinja2 and made harmless on their way in.
"""

from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from assistant.journal.account import Account
from assistant.report.band import WIDTH
from assistant.report.plain_text import make_harmless
from assistant.report.plain_words import tell_customer
from assistant.report.view import view


def write_html(account: Account) -> str:
    """Write an account as one self-contained HTML file."""
    return _template().render(record=view(account), customer=tell_customer(account), width=WIDTH)


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
