"""Drawing a flow: one function, three formats, with or without a walk marked in it."""

from collections.abc import Callable, Mapping
from typing import Literal, TypeAlias

from assistant.checks.drawing_mermaid import draw_mermaid
from assistant.checks.drawing_svg import draw_svg
from assistant.checks.drawing_text import draw_text
from assistant.checks.outline import Outline
from assistant.checks.outlining import outline_flow
from assistant.checks.trail import follow_trail
from assistant.errors import RungsideError
from assistant.flow.linked import Flow
from assistant.journal.reading import Record

DrawingFormat: TypeAlias = Literal["text", "mermaid", "svg"]
"""What a flow can be drawn as."""

_DRAWERS: Mapping[DrawingFormat, Callable[[Outline], str]] = {
    "text": draw_text,
    "mermaid": draw_mermaid,
    "svg": draw_svg,
}


class DrawingError(RungsideError):
    """A drawing that would show what is not so."""


def draw_flow(flow: Flow, form: DrawingFormat, record: Record | None = None) -> str:
    """Draw a flow.

    Args:
        flow: the flow; it need not pass its checks.
        form: `text`, `mermaid` or `svg`.
        record: the journal of a walk to mark; of another edition, what matches is marked.

    Raises:
        DrawingError: when the walk was one of another flow.
    """
    if record is None:
        return _DRAWERS[form](outline_flow(flow))
    trail = follow_trail(record)
    if trail.flow != flow.id:
        walked = f"of '{trail.flow}'" if trail.flow else "of no flow that it names"
        raise DrawingError(
            f"The session is {walked}, not of '{flow.id}'.", "Name a session of this flow."
        )
    return _DRAWERS[form](outline_flow(flow, trail))
