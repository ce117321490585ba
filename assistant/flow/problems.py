"""What is wrong with a flow file, as data: where, what, and the nearest right thing."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Literal

from assistant.errors import RungsideError

Severity = Literal["error", "warning"]
"""An error keeps a flow from being walked; a warning does not."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One complaint about a flow file.

    Args:
        file: the file.
        line: counted from 1.
        column: counted from 1.
        message: what is wrong, one sentence.
        hint: the nearest thing that would be right, one sentence; may be empty.
        check: the name of the check that found it.
        severity: whether the flow can be walked all the same.
    """

    file: Path
    line: int
    column: int
    message: str
    hint: str = ""
    check: str = "wrong-form"
    severity: Severity = "error"

    def __str__(self) -> str:
        """Give `file:line:column: check: sentence. Nearest right thing`, a warning named so."""
        place = f"{self.file}:{self.line}:{self.column}"
        name = self.check if self.severity == "error" else f"{self.check} (warning)"
        return f"{place}: {name}: {self.message} {self.hint}".strip()


class FlowError(RungsideError):
    """A flow that cannot be walked.

    Args:
        problems: all that is wrong with it, at least one.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        more = len(self.problems) - 1
        behind = f" And {more} more; 'rungside check' lists them." if more else ""
        super().__init__(f"{self.problems[0]}{behind}")


def nearest(word: str, known: Iterable[str]) -> str:
    """Give the hint that names the known word nearest to a wrong one, or the known words."""
    names = sorted(known)
    close = get_close_matches(word, names, n=1, cutoff=0.5)
    if close:
        return f"Did you mean '{close[0]}'?"
    listed = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")  # noqa: PLR2004
    return f"Known here: {listed}." if names else ""
