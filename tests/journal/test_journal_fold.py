"""State is made line by line, and kinds that nobody reduces change nothing."""

from assistant.journal.fold import fold
from assistant.journal.line import Line
from assistant.journal.reading import read_content

BEGIN: tuple[str, ...] = ("begin",)


def _add(state: tuple[str, ...], line: Line) -> tuple[str, ...]:
    return (*state, f"{line.seq} {line.kind}")


def test_lines_are_folded_in_order(sealed_content: bytes) -> None:
    """Only the kinds in the table change the state, in the order of the lines."""
    lines = read_content(sealed_content).lines
    state = fold(lines, {"noted": _add, "said": _add, "never": _add}, BEGIN)
    assert ("begin", "2 said", "5 noted") == state


def test_no_lines_leave_the_first_state() -> None:
    """Nothing folded is the state given."""
    assert ("begin",) == fold((), {"noted": _add}, BEGIN)
