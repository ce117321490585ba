"""The Markdown record: what it holds, and that no text can break out of its place.

markdown-it-py, a CommonMark parser that is not ours, reads what is written.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from report_accounts import (
    GOOD,
    LEFT,
    REPAIRED,
    TO_CAN,
    TO_RATING,
    a_finding,
    a_nasty_account,
    a_value,
    an_account,
    walk_fan,
)

from assistant.report import render
from assistant.report.markdown import escape_markdown
from assistant.report.plain_text import make_harmless

HEBREW = "\u05d9\u05d7\u05d9\u05d3\u05d4"
"""A word for "unit", right to left."""

READER = MarkdownIt("gfm-like")


def sections(markdown: str) -> dict[str, str]:
    """Give a record's sections by their headings."""
    parts = markdown.split("\n## ")
    return {part.partition("\n")[0]: part.partition("\n")[2] for part in parts[1:]}


def kinds(markdown: str) -> set[str]:
    """Give every kind of mark-up that a reader finds."""
    found = set()
    for token in READER.parse(markdown):
        found.add(token.type)
        found |= {child.type for child in token.children or ()}
    return found


def text_of(markdown: str) -> str:
    """Give the text that a reader of one paragraph sees."""
    tokens = READER.parse(markdown)
    assert ["paragraph_open", "inline", "paragraph_close"] == [token.type for token in tokens]
    children = tokens[1].children or []
    assert {"text", "text_special"} >= {child.type for child in children}
    return "".join(child.content for child in children)


def test_the_record_of_a_repair() -> None:
    """Finding, evidence, replacement, readings before and after, cautions and seal are there."""
    account = walk_fan(*REPAIRED)
    record = sections(render(account, "md"))
    assert "Run capacitor" in record["Findings"]
    assert "- Replacement: 10 µF, the same or higher volts." in record["Findings"]
    assert "- can reading: 6.2 µF" in record["Findings"]
    assert "| 6.2 µF | 9.4 to 10.6 µF | FAIL |" in record["Readings"]
    assert "| 10.1 µF | 9.4 to 10.6 µF | pass |" in record["Readings"]
    assert (
        "| can reading | 6.2 µF, FAIL | 10.1 µF | pass | 9.4 to 10.6 µF |"
        in record["Checks after repair"]
    )
    assert "| r low | not taken |" in record["Checks after repair"]
    assert "safe: lock (hold point)" in record["Answers and hold points"]
    assert 'answered "it may be charged" after 4 s' in record["Cautions: 3 of 3 answered"]
    assert f"sealed and whole. Its code is {account.seal_code}" in record["Integrity"]
    assert "licensed practice come first" in render(account, "md")


def test_every_table_is_a_table() -> None:
    """A reader finds each table with all its rows, head and checks after the repair among them."""
    account = walk_fan(*REPAIRED)
    tokens = [token.type for token in READER.parse(render(account, "md"))]
    assert 6 == tokens.count("table_open")
    rows = {"head": 10, "nameplate": 1, "readings": 7, "checks": 5, "answers": 6, "cautions": 3}
    assert sum(rows.values()) + 6 == tokens.count("tr_open")


def test_a_walk_without_a_fault_says_so() -> None:
    """No finding is told as none made, and nothing is told of a repair."""
    record = sections(render(walk_fan(*GOOD), "md"))
    assert "No finding was made." in record["Findings"]
    assert "Checks after repair" not in record


def test_a_stopped_walk_clears_nothing() -> None:
    """A walk stopped early says that what was not checked is not cleared."""
    record = render(walk_fan(*TO_RATING, "stop", "yes"), "md")
    assert "What was not checked is not cleared." in record
    assert "| Outcome | **stopped before the end** |" in record


def test_a_repair_that_was_not_made_is_said() -> None:
    """A finding that was left for another day says that no repair was recorded."""
    record = sections(render(walk_fan(*LEFT), "md"))
    assert "No repair was recorded in this session." in record["Checks after repair"]


def test_a_skipped_step_has_its_reason() -> None:
    """A skipped step is listed with the reason that was said."""
    account = walk_fan("ladder is good", "it hums", "skip", "can't reach it")
    assert "- wheel: can't reach it" in sections(render(account, "md"))["Skipped steps"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"is_sealed": False, "seal_code": ""}, "not sealed: the walk is open"),
        ({"problems": ("line 7: Line 7 was edited.",)}, "changed or damaged in 1 place"),
    ],
)
def test_a_record_not_to_be_relied_on_says_so_first(changes: dict[str, object], words: str) -> None:
    """An open or damaged record says so before anything else it tells."""
    record = render(an_account(**changes), "md")
    assert words in record.partition("| Item |")[0]
    assert all(f"- {problem}" in record for problem in changes.get("problems", ()))  # type: ignore[attr-defined]


def test_a_waiting_caution_stands_out() -> None:
    """A caution without an answer says so in words and in the count."""
    record = sections(render(walk_fan(*TO_RATING, "ten"), "md"))
    assert "NOT ANSWERED" in record["Cautions: 1 of 2 answered"]


def test_no_text_breaks_out_of_its_place() -> None:
    """Texts full of mark-up leave the structure that harmless ones have: no link, HTML or code."""
    nasty = a_nasty_account()
    found = kinds(render(nasty, "md"))
    assert not found & {"html_block", "html_inline", "link_open", "image", "code_inline", "fence"}
    assert not found & {"code_block", "ordered_list_open", "lheading_open"}
    record = render(nasty, "md")
    tokens = READER.parse(record)
    levels = [token.tag for token in tokens if token.type == "heading_open"]
    assert ["h1", "h2", "h2", "h2", "h3", *["h2"] * 8] == levels
    rows = [line for line in sections(record)["Readings"].split("\n") if line.startswith("|")]
    assert {8} == {len(re.findall(r"(?<!\\)(?:\\\\)*\|", row)) for row in rows}
    for mark in "\u202e\x1b\x00\ud800":
        assert mark not in record
    assert record.encode()


@given(st.text())
def test_escaped_text_reads_as_it_was(text: str) -> None:
    """Whatever a text holds, a reader sees it to the letter, made harmless, and no mark-up."""
    seen = text_of(f"x {escape_markdown(text)} x")
    assert " ".join(f"x {make_harmless(text)} x".split()) == " ".join(seen.split())


@given(st.text(alphabet="-+=.)#> 1\n*_`[]()!<&:/w@|~$\\", min_size=1))
def test_escaped_text_begins_no_list(text: str) -> None:
    """A text at the beginning of a list entry or table cell starts nothing of its own."""
    escaped = escape_markdown(text)
    tokens = [token.type for token in READER.parse(f"- {escaped}\n")]
    assert 1 == tokens.count("bullet_list_open")
    assert not set(tokens) & {"ordered_list_open", "heading_open", "hr", "fence", "code_block"}
    table = READER.parse(f"| a | b |\n|---|---|\n| {escaped} | end |\n")
    cells = [token.content for token in table if token.type == "inline"]
    assert 4 == len(cells)
    assert "end" == cells[-1]


def test_a_very_long_note_stays_one_entry() -> None:
    """A note of ten thousand marks with line breaks is one list entry, whole."""
    note = "first line\nsecond | line\r\n" + "long " * 2000
    record = render(an_account(notes=(note,)), "md")
    (entry,) = [line for line in record.splitlines() if line.startswith("- first line")]
    assert "first line / second \\| line / long" in entry
    assert 2000 == entry.count("long")


def test_right_to_left_words_are_isolated() -> None:
    """Right-to-left words stay readable but cannot turn what stands beside them around."""
    record = render(an_account(unit=f"{HEBREW} 3"), "md")
    assert f"| Unit | \u2068{HEBREW} 3\u2069 |" in record


def test_over_limit_is_shown_as_the_meter_showed_it() -> None:
    """OL is OL in the table, with no unit that would make a number of it."""
    value = a_value(
        value="", over_limit=True, verdict="fail", low="", high="", expected="a reading"
    )
    assert "| OL | a reading | FAIL |" in render(an_account(values=(value,)), "md")


def test_a_walk_at_its_beginning_has_a_record() -> None:
    """A record can be made of a walk at any point, also of nothing at all."""
    for phrases in ((), TO_RATING, TO_CAN):
        assert "# Work record: Bench fan" in render(walk_fan(*phrases), "md")


@pytest.mark.parametrize("is_licensed", [True, False])
def test_a_finding_for_a_licensed_person_says_so(is_licensed: bool) -> None:
    """Only a finding that a licensed person must take over says so."""
    record = render(an_account(findings=(a_finding(licensed=is_licensed),)), "md")
    assert is_licensed == ("**A licensed person must take over.**" in record)
