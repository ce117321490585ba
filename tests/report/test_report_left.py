"""How the unit was left stands in every report, near its top."""

import json

import pytest
from report_accounts import TO_CAN, TO_RATING, an_account, walk_fan

from assistant.flow.library import shipped
from assistant.flow.source import read_source
from assistant.journal.account import Account
from assistant.journal.left import CONDITION_WORDS, left_words
from assistant.report import FORMATS, content, render

STOPPED = (*TO_CAN, "six point two", "yes", "stop", "yes")
"""A walk that is stopped at the repair, the lock still on."""


def test_a_unit_left_locked_and_open_says_so() -> None:
    """A walk that ends with the lock on and the panels off says both."""
    account = an_account(conditions=(("lock", "locked"), ("power", "off"), ("panels", "open")))
    assert "locked out and tagged, power proven off, panels open" == left_words(account)


@pytest.mark.parametrize("form", sorted(FORMATS))
def test_every_format_says_how_it_was_left(form: str) -> None:
    """What the terminal said at the end of the walk is in the record."""
    written = render(walk_fan(*STOPPED), form)
    assert "locked out and tagged, power proven off" in written
    assert written.index("locked out and tagged") < written.index("Replace the capacitor")


def test_json_has_the_words_and_the_conditions() -> None:
    """A script reads either."""
    told = json.loads(render(walk_fan(*STOPPED), "json"))
    assert left_words(walk_fan(*STOPPED)) == told["left"]
    assert ("locked", "off") == (told["conditions"]["lock"], told["conditions"]["power"])


def test_a_walk_without_its_end_does_not_say_how_it_stands() -> None:
    """Nobody knows what was done after a walk broke off; what was known last is told as such."""
    words = left_words(walk_fan(*TO_CAN))
    assert words.startswith("not known, as the walk has no end; what was known last: locked out")


def test_what_was_taken_back_is_not_believed() -> None:
    """A lock whose answer was taken back is not told as locked."""
    assert "locked out and tagged" not in left_words(walk_fan(*TO_CAN[:6], "scratch that"))


@pytest.mark.parametrize(
    ("account", "words"),
    [
        (an_account(), "power not proven"),
        (an_account(outcome="sent"), ""),
        (
            an_account(conditions=(("power", "on"), ("lock", "unlocked"))),
            "not locked out, power on",
        ),
        (an_account(conditions=(("panels", "unsure"),)), "power not proven, panels not certain"),
        (an_account(conditions=(("leads", "connected"),)), "power not proven"),
        (an_account(conditions=(("lock", "half_on"),)), "lock: half on, power not proven"),
    ],
)
def test_edges(account: Account, words: str) -> None:
    """What was never said is not told; power that nobody proved is."""
    assert words == left_words(account)


def test_nothing_is_told_of_a_walk_that_only_sent_on() -> None:
    """No line says how it was left where nothing was done to it."""
    account = an_account(outcome="sent")
    assert "How the unit was left" not in render(account, "md")
    assert content(account)["left"] is None


def test_a_walk_that_began_has_power_not_proven() -> None:
    """A stop before the lock says that nothing was proven."""
    assert "power not proven" in left_words(walk_fan(*TO_RATING, "stop", "yes"))


def test_the_words_are_those_of_the_shipped_vocabulary() -> None:
    """The terminal and the report say the same of the same state."""
    conditions = read_source(shipped("flows") / "vocabulary.yaml").data["conditions"]
    for name, words in CONDITION_WORDS.items():
        shipped_words = dict(conditions[name]["values"])
        for value, text in words.items():
            assert value == "unsure" or shipped_words[value] == text
