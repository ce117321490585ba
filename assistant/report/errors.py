"""What goes wrong with a report, as one sentence."""

from assistant.errors import RungsideError


class ReportError(RungsideError):
    """A report cannot be made as asked."""
