"""How a unit was left when its walk ended: locked or not, live or not, open or not, in words.

A record outlives its flow, so the words of the shipped vocabulary stand here; what they do not
name is told as it stands.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from assistant.journal.account import Account

CONDITION_WORDS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "lock": {"locked": "locked out and tagged", "unlocked": "not locked out"},
        "power": {
            "on": "power on",
            "off": "power proven off",
            "unknown": "power not proven",
        },
        "leads": {"isolated": "motor leads apart"},
        "panels": {
            "open": "panels open",
            "closed": "panels fitted",
            "unsure": "panels not certain",
        },
    }
)
"""What is told of each condition, in this order; leads that are connected are not told of."""

_SILENT = {("leads", "connected")}


def left_words(account: Account) -> str:
    """Say how the unit was left; empty where a walk was sent on before anything was done to it.

    Of a walk without its end nobody knows: then it is what was known last, and that is said.

    Args:
        account: what the session came to.
    """
    known = dict(account.conditions)
    if account.has_ended and account.outcome == "sent" and not known:
        return ""
    words = ", ".join(_told({"power": "unknown"} | known))
    if account.has_ended:
        return words
    return f"not known, as the walk has no end; what was known last: {words}"


def _told(known: Mapping[str, str]) -> Iterator[str]:
    for name, words in CONDITION_WORDS.items():
        value = known.get(name, "")
        if value and (name, value) not in _SILENT:
            yield words.get(value, f"{name}: {value}").replace("_", " ")
