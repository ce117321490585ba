"""The one base error; each room has a subclass of its own beside the code that raises it."""


class RungsideError(Exception):
    """Something a person must be told in one sentence.

    Not being understood is never an error; a broken file, a missing device or a full disk is.

    Args:
        message: what is wrong and where, one sentence.
        hint: what would be right, one sentence; may be empty.
    """

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        """Give the sentence that is shown, with its hint behind it."""
        return f"{self.message} {self.hint}".strip()
