"""Who signs: the technician's own sign-off and a session without a seal are told of before."""

from dataclasses import replace

import pytest

from assistant.journal.account import Account
from assistant.journal.signing import cares_before_signing, is_same_person

SOUND = Account(technician="R.K.", is_sealed=True)


@pytest.mark.parametrize(
    ("one", "other", "is_same"),
    [
        ("RK", "RK", True),
        ("rk", "R.K.", True),
        ("R K", "rk", True),
        ("Rita Kern", "RK", True),
        ("Rita Kern", "rita kern", True),
        ("Rita", "RK", False),
        ("RK", "LT", False),
        ("Rita Kern", "Rudi Kern", True),
        ("", "", False),
        ("RK", "", False),
        ("...", "--", False),
    ],
)
def test_names_and_initials(one: str, other: str, is_same: bool) -> None:
    """Case and dots do not count, and a name is also its initials; nobody is nobody's like.

    Two people of the same initials cannot be told apart by them, so they are warned too.
    """
    assert is_same is is_same_person(one, other)
    assert is_same is is_same_person(other, one)


@pytest.mark.parametrize(
    ("account", "author", "words"),
    [
        (SOUND, "LT", []),
        (SOUND, "rk", ["rk walked this session"]),
        (replace(SOUND, is_sealed=False), "LT", ["not sealed"]),
        (replace(SOUND, is_sealed=False), "RK", ["not sealed", "RK walked this session"]),
        (replace(SOUND, problems=("line 3: changed",)), "LT", ["changed or damaged"]),
    ],
)
def test_what_is_told_before_signing(account: Account, author: str, words: list[str]) -> None:
    """Each has one sentence, and none stands where nothing is to be known."""
    told = list(cares_before_signing(account, author))
    assert len(words) == len(told)
    assert all(word in sentence for word, sentence in zip(words, told, strict=True))
