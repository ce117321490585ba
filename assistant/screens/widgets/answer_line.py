"""The line that an answer is typed into; an empty one leaves the talk key alone."""

from textual.widgets import Input


class AnswerLine(Input):
    """An input line that does not take the talk key while nothing is typed.

    `talk_key` is that key's name; empty where there is none.
    """

    talk_key = ""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Tell whether a key is typed text here."""
        is_talk = key == self.talk_key and not self.value
        return not is_talk and super().check_consume_key(key, character)
