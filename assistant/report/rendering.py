"""A report in one of its formats, by the format's name."""

import json
from collections.abc import Callable, Mapping

from assistant.journal.account import Account
from assistant.report.beside import Beside
from assistant.report.content import content
from assistant.report.errors import ReportError
from assistant.report.html import write_html
from assistant.report.markdown import write_markdown


def write_json(account: Account, beside: Beside | None = None) -> str:
    """Write an account as JSON in ASCII, so that any terminal or pipe can carry it."""
    return json.dumps(content(account, beside), indent=2) + "\n"


FORMATS: Mapping[str, Callable[[Account, Beside | None], str]] = {
    "md": write_markdown,
    "html": write_html,
    "json": write_json,
}
"""Each format by its name on the command line."""


def render(
    account: Account,
    format: str,  # noqa: A002 - the option's own name
    beside: Beside | None = None,
) -> str:
    """Write a report.

    Args:
        account: what the session came to.
        format: `md`, `html` or `json`.
        beside: names of places, remarks, sounds; where it is not given, none of them.

    Raises:
        ReportError: when there is no such format.
    """
    write = FORMATS.get(format)
    if write is None:
        names = ", ".join(FORMATS)
        raise ReportError(f"There is no report format '{format}'.", f"Choose one of: {names}.")
    return write(account, beside)
