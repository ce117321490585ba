"""The room's error."""

from collections.abc import Iterable

from assistant.errors import RungsideError
from assistant.flow.problems import Problem


class BenchError(RungsideError):
    """A unit or a fault that the bench cannot stand up."""


_ABSENT = "is missing here"
"""A mistyped key is also a missing one; the mistyped one is told."""


def broken_file(problems: Iterable[Problem]) -> BenchError:
    """Make the error for a file with complaints, each `file:line:column: sentence`."""
    first, *rest = sorted(problems, key=lambda p: (_ABSENT in p.message, p))
    place = f"{first.file}:{first.line}:{first.column}: {first.message}"
    more = f" And {len(rest)} more." if rest else ""
    return BenchError(f"{place}{more}", first.hint)
