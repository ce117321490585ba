"""The words of the screens, in one place: verdicts, outcomes, roles, keys."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.voice import written

VERDICT_WORDS: Mapping[str, str] = {
    "pass": "GOOD",
    "marginal": "MARGINAL",
    "fail": "FAILS",
    "cannot_tell": "CANNOT TELL",
}
"""A verdict by its name in a journal, as the word that is also said aloud."""

VERDICT_PURPOSES: Mapping[str, str] = {
    "pass": "good",
    "marginal": "marginal",
    "fail": "fail",
    "cannot_tell": "unsure",
}
"""A verdict by its name in a journal, as the purpose its colours are named by."""

OUTCOME_WORDS: Mapping[str, str] = {
    "found": "A fault was found",
    "no_fault": "No fault was found",
    "stopped": "Stopped before the end",
    "sent": "Goes on with another flow",
}
"""How a walk ended."""

ROLE_WORDS: Mapping[str, str] = {role.value: word for role, word in written.ROLE_WORDS.items()}
"""What an utterance is for, by its name in a journal."""

DEFERENCE = (
    "The equipment's own instructions, local codes and a licensed person come before this tool."
)


@dataclass(frozen=True, slots=True)
class KeyHint:
    """A key and what it does, as a screen lists it.

    Args:
        key: the key as it stands on a keyboard: `F2`, `Ctrl+Q`, `Page Up`.
        words: what it does, a word or two.
    """

    key: str
    words: str


def either_case(keys: str) -> str:
    """Give keys as a binding names them, each letter small, capital, and with Shift.

    A key line lists letters as capitals, Caps Lock may be on, and some terminals send Shift as a
    key of its own.

    Args:
        keys: names of keys with commas between them, as `escape,q`.
    """
    return ",".join(
        f"{key},{key.upper()},shift+{key}" if len(key) == 1 and key.isalpha() else key
        for key in keys.split(",")
    )


def verdict_word(name: str) -> str:
    """Give a verdict's word; empty where nothing was judged."""
    return VERDICT_WORDS.get(name, name.replace("_", " ").upper())


def spaced(name: str) -> str:
    """Give a name of a flow as words: `make_safe/cap_reading` is "cap reading"."""
    return name.rpartition("/")[2].replace("_", " ")


def counted(number: int, one: str, many: str = "") -> str:
    """Count things: "1 turn", "3 turns"."""
    return f"{number} {one if number == 1 else many or one + 's'}"
