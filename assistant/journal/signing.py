"""Who signs a session off: what a lead is warned of before, and whether it was the technician."""

import re
from collections.abc import Iterator

from assistant.journal.account import Account

_NO_LETTER = re.compile(r"[\W_]+")


def is_same_person(one: str, other: str) -> bool:
    """Say whether two names or initials are, as far as they tell, the same person's.

    Case and dots do not count, and a name in several words is also its initials.

    Args:
        one: a name or initials as given.
        other: another.
    """
    return bool(_written(one) & _written(other))


def _written(name: str) -> set[str]:
    words = [word for word in _NO_LETTER.split(name.casefold()) if word]
    initials = [word[0] for word in words] if len(words) > 1 else []
    return {"".join(words), "".join(initials)} - {""}


def cares_before_signing(account: Account, author: str) -> Iterator[str]:
    """Give what is to be known before a session is signed off; it may be signed all the same.

    Args:
        account: what the session came to.
        author: who is about to sign.
    """
    if account.problems:
        yield "This record was changed or damaged; do not rely on it as it stands."
    if not account.is_sealed:
        yield "This session is not sealed: the walk is open or was interrupted."
    if is_same_person(author, account.technician):
        yield f"{author.strip()} walked this session; somebody else should sign it off."
