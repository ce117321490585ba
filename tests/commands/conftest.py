"""The virtual sound service, for the tests of this folder."""

from tests.tools.virtual_sound import virtual_sound

__all__ = ["virtual_sound"]
