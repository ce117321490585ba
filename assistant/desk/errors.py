"""The one error of this room."""

from assistant.errors import RungsideError


class DeskError(RungsideError):
    """Something asked of a command that cannot be put together."""
