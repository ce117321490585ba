"""The JSON of a report: its keys are a promise, its values are what was said."""

import json
from typing import Any

import pytest
from report_accounts import (
    FAN,
    GOOD,
    LEFT,
    NASTY,
    OPEN_WINDING,
    REPAIRED,
    TO_CAN,
    TO_RATING,
    a_caution,
    a_finding,
    a_nasty_account,
    a_value,
    an_account,
    journal_of,
    walk_fan,
)

from assistant.flow.library import open_flow
from assistant.journal.account import NamedAnswer, give_account
from assistant.journal.reading import read_content
from assistant.report import ReportError, content, render
from assistant.walk.walk import Walk


def by_id(rows: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Give rows by their ids."""
    return {row["id"]: row for row in rows}


def test_the_promised_keys_are_there() -> None:
    """Every key that others rely on is there, spelled so; keys are added, never renamed."""
    told = content(walk_fan(*REPAIRED))
    promised = {
        *("flow", "edition", "outcome", "findings", "readings", "cautions"),
        *("nameplate", "turns", "seconds", "sealed"),
    }
    assert promised <= told.keys()
    assert {"id", "part", "reason", "evidence", "repair", "replacement"} <= told["findings"][
        0
    ].keys()
    reading = {"id", "said", "value", "unit", "over_limit", "verdict", "measured", "expected"}
    assert reading | {"reason", "retaken"} <= told["readings"][0].keys()
    assert {"id", "given", "answered"} <= told["cautions"][0].keys()
    assert {"given_at", "answered_at", "said", "seconds_to_answer"} <= told["cautions"][0].keys()
    assert {"value", "unit", "said"} == told["nameplate"]["rated"].keys()


def test_a_found_fault_is_told_whole() -> None:
    """A walk that finds a weak capacitor tells outcome, finding, evidence and replacement."""
    told = content(walk_fan(*REPAIRED))
    assert ("fan", "7", "found", True) == tuple(
        told[key] for key in ("flow", "edition", "outcome", "sealed")
    )
    (finding,) = told["findings"]
    assert finding["id"] == "weak"
    assert finding["part"] == "Run capacitor"
    assert finding["reason"] == "It reads 6.2 µF against 10 µF."
    assert finding["evidence"] == ["can reading: 6.2 µF", "it hums"]
    assert finding["repair"] == "Replace the capacitor."
    assert finding["replacement"] == "10 µF, the same or higher volts."
    assert told["complaint"] == "it hums"
    assert told["turns"] == len(REPAIRED)
    assert told["seconds"] == 4.0 * (len(REPAIRED) + 1)


def test_readings_keep_the_digits_that_were_said() -> None:
    """A reading's value is the string of its digits; OL has no value but says so."""
    rows = by_id(content(walk_fan(*GOOD))["readings"])
    assert {"dead_volts", "can_reading", "r_low", "r_high", "gap_ohms", "frame_ohms"} == rows.keys()
    assert ("17.5", "ohm", False, "17.5 Ω") == tuple(
        rows["r_low"][key] for key in ("value", "unit", "over_limit", "measured")
    )
    assert ("seventeen point five", "pass") == (rows["r_low"]["said"], rows["r_low"]["verdict"])
    assert (None, "ohm", True, "OL") == tuple(
        rows["frame_ohms"][key] for key in ("value", "unit", "over_limit", "measured")
    )
    assert ("9.4 to 10.6 µF", "9.40", "10.60") == tuple(
        rows["can_reading"][key] for key in ("expected", "low", "high")
    )


def test_a_trailing_zero_is_a_digit_too() -> None:
    """17.50 stays 17.50: what the meter showed is not rounded."""
    (row,) = content(an_account(values=(a_value(value="17.50", measured="17.50 Ω"),)))["readings"]
    assert ("17.50", "17.50 Ω") == (row["value"], row["measured"])


def test_what_no_rule_judged_has_no_verdict() -> None:
    """A worked-out value without a rule has a null verdict, limits and reason, but a value."""
    row = by_id(content(walk_fan(*GOOD))["readings"])["gap_ohms"]
    assert [None, None, None] == [row[key] for key in ("verdict", "expected", "reason")]
    assert ("7.63", "7.63 Ω", "worked_out") == (row["value"], row["measured"], row["origin"])


def test_a_label_is_no_reading_unless_it_was_judged() -> None:
    """Asked values are the nameplate; one that a rule judged is a reading as well."""
    plate = a_value("plate", origin="asked", value="240", unit="volt", verdict="", said="two forty")
    judged = a_value("new_part", origin="asked")
    told = content(an_account(values=(plate, judged)))
    assert {"plate", "new_part"} == told["nameplate"].keys()
    assert {"value": "240", "unit": "volt", "said": "two forty"} == told["nameplate"]["plate"]
    assert ["new_part"] == [row["id"] for row in told["readings"]]


def test_a_reading_taken_again_keeps_its_first_taking() -> None:
    """After a repair the new reading stands and the one that condemned the part is kept."""
    told = content(walk_fan(*REPAIRED))
    now = by_id(told["readings"])["can_reading"]
    (before,) = told["earlier_readings"]
    assert ("10.1", "pass", True, True) == tuple(
        now[key] for key in ("value", "verdict", "retaken", "after_repair")
    )
    assert ("6.2", "fail", False, False) == tuple(
        before[key] for key in ("value", "verdict", "retaken", "after_repair")
    )


def test_a_scratched_reading_leaves_no_trace_but_a_count() -> None:
    """A reading taken back is no earlier reading: the words were wrong, not the part."""
    told = content(walk_fan(*TO_CAN, "six point two", "yes", "scratch that", "ten", "yes"))
    assert [] == told["earlier_readings"]
    assert 1 == told["scratched"]
    assert by_id(told["readings"])["can_reading"]["retaken"]


def test_cautions_tell_when_they_were_said_and_answered() -> None:
    """Each caution has both times, the words and how long the answer took."""
    told = content(walk_fan(*GOOD))["cautions"]
    assert ["ladder", "lockout", "stored_energy"] == [row["id"] for row in told]
    assert all(row["given"] is True and row["answered"] is True for row in told)
    assert "2026-02-03T14:05:06.000Z" == told[0]["given_at"]
    assert ("ladder is good", 4.0) == (told[0]["said"], told[0]["seconds_to_answer"])


def test_a_caution_that_waits_is_not_answered() -> None:
    """A walk that ends at a caution tells it as given and not answered."""
    (*_, last) = content(walk_fan(*TO_RATING, "ten"))["cautions"]
    assert ("lockout", True, False, None, None) == tuple(
        last[key] for key in ("id", "given", "answered", "answered_at", "seconds_to_answer")
    )


def test_a_caution_answered_again_is_told_once() -> None:
    """Taking an answer back asks the caution again; it is told once, as said twice."""
    told = content(walk_fan("ladder is good", "scratch that", "ladder is good", "it hums"))
    (ladder,) = told["cautions"]
    assert ("ladder", True, 2) == tuple(ladder[key] for key in ("id", "answered", "times_given"))


def test_two_steps_may_give_the_same_caution() -> None:
    """The same caution at another step is another caution, each with its own answer."""
    here, there = a_caution(), a_caution(step="other", answered_at="", said="", answer=0)
    told = content(an_account(cautions=(here, there)))["cautions"]
    assert [True, False] == [row["answered"] for row in told]


def test_the_same_finding_is_told_once() -> None:
    """A finding recorded twice is one; the same fault with other evidence is another."""
    twice = (a_finding(), a_finding(answer=12), a_finding(evidence=("it hums",)))
    told = content(an_account(findings=twice))["findings"]
    assert [["can reading: 6.2 µF"], ["it hums"]] == [row["evidence"] for row in told]


@pytest.mark.parametrize(
    ("phrases", "outcome", "findings"),
    [
        (GOOD, "no_fault", []),
        (REPAIRED, "found", ["weak"]),
        (LEFT, "found", ["weak"]),
        (OPEN_WINDING, "found", ["open_winding"]),
        ((*TO_RATING, "stop", "yes"), "stopped", []),
        ((*TO_CAN[:-3], "one twenty", "yes"), "stopped", []),
        ((), "stopped", []),
    ],
)
def test_outcomes(phrases: tuple[str, ...], outcome: str, findings: list[str]) -> None:
    """Each way a walk can end is told by its own word."""
    told = content(walk_fan(*phrases))
    assert (outcome, findings) == (told["outcome"], [row["id"] for row in told["findings"]])


def test_only_a_whole_record_is_told_as_sealed() -> None:
    """An open walk is not sealed; neither is one whose sealed journal was changed."""
    assert content(walk_fan(*TO_CAN))["sealed"] is False
    journal = journal_of(Walk(open_flow(str(FAN))), REPAIRED)
    changed = journal.replace(b'"value":"6.2"', b'"value":"9.2"')
    assert journal != changed
    told = content(give_account(read_content(changed)))
    assert told["sealed"] is False
    assert told["problems"]
    assert all(problem.startswith("line ") for problem in told["problems"])


def test_json_is_ascii_and_comes_back_to_the_letter() -> None:
    """What is printed is ASCII JSON that reads back as it was, control marks and all."""
    account = a_nasty_account()
    printed = render(account, "json")
    assert printed.isascii()
    assert content(account) == json.loads(printed)
    assert NASTY == json.loads(printed)["unit"]


def test_an_unknown_format_is_one_sentence() -> None:
    """An unknown format says which it was and which there are."""
    with pytest.raises(ReportError) as caught:
        render(an_account(), "docx")
    assert str(caught.value) == ("There is no report format 'docx'. Choose one of: md, html, json.")


def test_checks_count_from_the_last_repair() -> None:
    """Of two repairs the last one counts: what was read between them did not prove it."""
    told = content(
        an_account(
            values=(a_value("first", answer=3), a_value("between", answer=5), a_value(answer=7)),
            answers=(
                NamedAnswer("fit", "repaired", "it is repaired", "fixed", False, 4),
                NamedAnswer("fit_again", "repaired", "it is repaired", "fixed", False, 6),
            ),
        )
    )
    assert [False, False, True] == [row["after_repair"] for row in told["readings"]]


def test_a_clock_set_back_gives_no_time_to_answer() -> None:
    """An answer that seems to come before its caution has no duration, but is an answer."""
    set_back = a_caution(answered_at="2026-02-03T14:05:05.000Z")
    (row,) = content(an_account(cautions=(set_back,)))["cautions"]
    assert (True, None) == (row["answered"], row["seconds_to_answer"])
