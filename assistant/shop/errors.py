"""What can go wrong with an index."""

from assistant.errors import RungsideError


class ShopError(RungsideError):
    """An index that cannot be opened, filled or asked."""
