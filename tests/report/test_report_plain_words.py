"""What the owner is told: what was wrong, what was done, what to watch."""

import pytest
from report_accounts import LEFT, REPAIRED, a_finding, a_value, an_account, walk_fan

from assistant.journal.account import Account, NamedAnswer
from assistant.report.plain_words import tell_customer

FIXED = NamedAnswer("fix", "repaired", "it is repaired", "fixed", False, 5)
SKIPPED = NamedAnswer("wheel", "skipped", "no time", "no time", False, 4)
PUT_RIGHT = "What was found is not put right yet"


def watched(account: Account) -> str:
    """Give what to watch as one text."""
    return " ".join(tell_customer(account).watch)


def test_a_repair_is_told_with_what_was_read_before_and_after() -> None:
    """Readings before the repair and after it are counted apart: the old part's is no alarm."""
    told = tell_customer(walk_fan(*REPAIRED))
    done = " ".join(told.done)
    assert "the repair was made" in done
    assert "Before the repair: 2 readings, 1 as it should be, 1 not as it should be." in done
    assert "After the repair: 4 readings, 4 as they should be." in done
    assert "not as it should be" not in " ".join(told.watch)
    assert PUT_RIGHT not in " ".join(told.watch)


def test_a_fault_that_was_left_is_to_be_watched() -> None:
    """A finding without a repair says that it is not put right."""
    assert PUT_RIGHT in watched(walk_fan(*LEFT))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"findings": (a_finding(licensed=True),)}, "A licensed person must take over."),
        ({"outcome": "stopped", "findings": ()}, "What was not checked is not cleared"),
        ({"answers": (SKIPPED,)}, "1 check was left out"),
        ({"values": (a_value(verdict="marginal"),)}, "close to the limit at the end."),
        ({"values": (a_value(verdict="cannot_tell"),)}, "Have it measured again."),
        ({"values": (a_value(verdict="fail"),), "findings": ()}, "still to be found."),
        (
            {"values": (a_value(verdict="fail", answer=9),), "answers": (FIXED,)},
            "1 reading was not as it should be at the end.",
        ),
    ],
)
def test_what_to_watch(changes: dict[str, object], words: str) -> None:
    """Each thing that is open at the end has its sentence."""
    assert words in watched(an_account(**changes))
    assert words not in watched(an_account())


def test_what_a_finding_has_said_is_not_said_again() -> None:
    """A failed reading behind a finding that stands is not told as unexplained."""
    assert "still to be found" not in watched(an_account(values=(a_value(verdict="fail"),)))


def test_a_walk_that_was_sent_on_is_no_clean_bill() -> None:
    """Being sent on is told as that, not as checks carried to their end."""
    told = " ".join(tell_customer(an_account(outcome="sent", findings=())).wrong)
    assert "led on to other checks" in told
    assert "carried to their end" not in told


def test_no_sentence_is_empty() -> None:
    """Whatever is left out leaves no empty line."""
    for account in (an_account(), an_account(findings=(), values=(), cautions=(), answers=())):
        told = tell_customer(account)
        assert all((*told.wrong, *told.done, *told.watch))
