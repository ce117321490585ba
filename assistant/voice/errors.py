"""What a person is told when the voice cannot do its work."""

from assistant.errors import RungsideError


class VoiceError(RungsideError):
    """No synthesiser, no loudspeaker, or one that stopped working."""
