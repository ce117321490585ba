"""The few lines at the end of a walk."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_accounts import (
    GOOD,
    REPAIRED,
    TO_RATING,
    a_finding,
    a_nasty_account,
    a_value,
    an_account,
    walk_fan,
)

from assistant.journal.account import Account
from assistant.report import tell


def test_the_end_of_a_repair() -> None:
    """The lines of a walk that found and repaired a weak capacitor, all of them."""
    account = walk_fan(*REPAIRED)
    assert tell(account, Path("/sessions/one")).splitlines() == [
        "Bench fan on RTU 3: fault found.",
        "Finding: Run capacitor. It reads 6.2 µF against 10 µF.",
        "  Repair: Replace the capacitor.",
        "  Replacement: 10 µF, the same or higher volts.",
        "6 readings as they stand: 5 pass, 1 not judged.",
        "  can reading: 6.2 µF, FAIL (expected 9.4 to 10.6 µF); taken again",
        "  can reading: 10.1 µF, pass (expected 9.4 to 10.6 µF)",
        "  dead volts: 0 V, pass (expected about 0, at most 2 volts)",
        "  r low: 17.5 Ω, pass (expected a reading)",
        "  r high: 9.87 Ω, pass (expected a reading)",
        "  frame ohms: OL, pass (expected OL)",
        "Cautions: 3 of 3 answered.",
        "Record: /sessions/one",
        f"This record is sealed and whole. Its code is {account.seal_code}.",
    ]


@pytest.mark.parametrize(
    ("account", "line"),
    [
        (walk_fan(*GOOD), "Bench fan on RTU 3: no fault found."),
        (walk_fan(*TO_RATING, "stop", "yes"), "Why: The technician stopped the walk."),
        (walk_fan(*TO_RATING, "ten"), "Cautions: 1 of 2 answered."),
        (walk_fan(), "No reading was taken."),
        (walk_fan(), "Record: not kept on the disk"),
        (
            an_account(problems=("line 7: Line 7 was edited.", "line 9: x")),
            "This record was changed or damaged in 2 places; do not rely on it as it stands.",
        ),
        (
            an_account(findings=(a_finding(licensed=True, reason="Short."),)),
            "Finding: Run capacitor. Short. A licensed person must take over.",
        ),
    ],
)
def test_what_each_end_says(account: Account, line: str) -> None:
    """Each state of a record has its line."""
    assert line in tell(account).splitlines()


def test_what_fails_is_shown_before_what_passes() -> None:
    """Of many readings those that fail are among the few shown."""
    values = [a_value(f"v{number}", answer=number) for number in range(30)]
    values += [a_value("bad", verdict="fail", answer=31)]
    values += [a_value(f"w{number}", answer=32 + number) for number in range(30)]
    assert "  bad: 17.5 Ω, FAIL (expected 14 to 20 Ω)" in tell(an_account(values=values))


def test_what_is_left_out_is_counted() -> None:
    """Of more readings than are shown the rest is said, and none where all are shown."""
    values = [a_value(f"v{number}", answer=number) for number in range(30)]
    lines = tell(an_account(values=values, findings=())).splitlines()
    assert "  and 24 more in the record" in lines
    assert 6 == sum("Ω, pass" in line for line in lines)
    assert "more in the record" not in tell(an_account(values=values[:7], findings=()))


def test_the_finding_s_evidence_and_what_failed_come_first() -> None:
    """Dead tests that passed give way to what the finding rests on, though it passed too."""
    values = [a_value(f"dead{number}", answer=number) for number in range(10)]
    values += [a_value("can_reading", answer=11), a_value("later", answer=12)]
    values += [a_value("bad", verdict="fail", answer=13)]
    told = tell(an_account(values=values)).splitlines()
    shown = [line.partition(":")[0].strip() for line in told if "Ω, " in line]
    assert ["can reading", "bad"] == shown[:2]
    assert "later" in shown
    assert "dead0" not in shown


@given(
    findings=st.integers(0, 5),
    values=st.integers(0, 20),
    outcome=st.sampled_from(["found", "no_fault", "stopped", "new word"]),
    verdict=st.sampled_from(["pass", "fail", "marginal", "cannot_tell", "", "new word"]),
)
def test_it_is_always_5_to_15_lines(findings: int, values: int, outcome: str, verdict: str) -> None:
    """However much a walk found, the end of it is read at a glance."""
    account = an_account(
        outcome=outcome,
        findings=tuple(a_finding(f"f{number}", part=str(number)) for number in range(findings)),
        values=tuple(a_value(f"v{number}", verdict=verdict) for number in range(values)),
    )
    assert 5 <= len(tell(account).splitlines()) <= 15


def test_no_text_makes_a_line_of_its_own() -> None:
    """Texts with line breaks and terminal codes stay in their line and do nothing."""
    told = tell(a_nasty_account(), Path("/sessions/one\nRecord: /other"))
    assert len(told.split("\n")) == len(told.splitlines()) <= 15
    for mark in "\u202e\x1b\x00\ud800":
        assert mark not in told


def test_long_texts_are_cut_and_show_it() -> None:
    """A very long unit's name is cut at a word, with a mark that it was."""
    first = tell(an_account(unit="roof " * 500)).splitlines()[0]
    assert len(first) <= 300
    assert first.endswith("roof…")
