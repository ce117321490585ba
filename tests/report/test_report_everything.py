"""Whatever a record holds is in each format, and no text of it becomes part of the format."""

import html
import json
import re
from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from report_accounts import (
    GOOD,
    LEFT,
    OPEN_WINDING,
    REPAIRED,
    a_caution,
    a_finding,
    a_value,
    an_account,
    walk_fan,
)

from assistant.flow.judging import VerdictKind
from assistant.journal.account import Account, NamedAnswer
from assistant.journal.clips import Clip, ClipState
from assistant.journal.problem import Fault, Problem
from assistant.journal.remarks import Remark, Remarks, SignOff
from assistant.report import FORMATS, Beside, render, selection
from assistant.report.labels import shown_value, spaced
from assistant.report.markdown import escape_markdown
from assistant.report.plain_text import make_harmless

TIME = "2026-02-04T08:00:00.000Z"
REMARKS = Remarks(
    (Remark(2, TIME, "LD", "Take the winding again.", 31), Remark(3, TIME, "LD", "Well done.")),
    (SignOff(4, TIME, "LD", agrees=False, why="The wheel was not seen.", findings=("weak",)),),
)


class Skeleton(HTMLParser):
    """The tags of a page with their attributes' names, and nothing of its texts."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.bones: list[object] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag."""
        self.bones.append((tag, tuple(name for name, _ in attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Keep an end."""
        self.bones.append(f"/{tag}")

    def handle_comment(self, data: str) -> None:
        """Keep a comment; there is none."""
        self.bones.append(("comment", data))

    def unknown_decl(self, data: str) -> None:
        """Keep a declaration; there is none but the first."""
        self.bones.append(("declaration", data))


def written(account: Account, form: str, beside: Beside | None = None) -> str:
    """Give a report as its reader sees it: entities and escapes undone, on one line."""
    text = render(account, form, beside)
    if form == "html":
        return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", text)).split())
    return json.dumps(json.loads(text), ensure_ascii=False) if form == "json" else text


def shown(text: str, form: str) -> str:
    """Give how a text stands in a report's form."""
    if form == "md":
        return escape_markdown(text)
    return json.dumps(text, ensure_ascii=False)[1:-1] if form == "json" else make_harmless(text)


@pytest.mark.parametrize("form", FORMATS)
@pytest.mark.parametrize(
    "account",
    [walk_fan(*REPAIRED), walk_fan(*GOOD), walk_fan(*OPEN_WINDING), walk_fan(*LEFT)],
    ids=["repaired", "good", "open_winding", "left"],
)
def test_nothing_of_a_walk_is_left_out(account: Account, form: str) -> None:
    """Each reading, finding, caution, hold point and note of a walk is in each format."""
    text = written(account, form)
    for value in selection.all_readings(account):
        name = value.id if form == "json" else shown(spaced(value.id), form)
        assert name in text
        assert shown(shown_value(value), form) in text
        assert shown(value.reason, form) in text
        assert shown(value.said, form) in text
    for finding in account.findings:
        for told in (finding.part, finding.reason, finding.repair, *finding.evidence):
            assert shown(told, form) in text
        assert shown(finding.replacement, form) in text
    for caution in account.cautions:
        for told in (caution.text, caution.said):
            assert shown(told, form) in text
        time = caution.answered_at if form == "json" else caution.answered_at[11:19]
        assert time in text
    for answer in account.answers:
        assert shown(answer.meaning, form) in text
    assert account.seal_code in text


@pytest.mark.parametrize("form", FORMATS)
def test_remarks_and_sign_off_are_told(form: str) -> None:
    """What a lead said is told with its author and line, and whether the lead agrees."""
    text = written(an_account(), form, Beside(remarks=REMARKS))
    for told in ("Take the winding again.", "Well done.", "The wheel was not seen.", "LD"):
        assert told in text
    if form == "json":
        (off,) = json.loads(text)["sign_offs"]
        assert (False, ["weak"], True) == (off["agrees"], off["findings"], off["stands"])
        assert [31, None] == [one["line"] for one in json.loads(text)["remarks"]]
    else:
        assert "LD does NOT agree with: weak." in text
        assert "on line 31" in text


@pytest.mark.parametrize("form", FORMATS)
def test_damaged_remarks_are_told_as_damaged(form: str) -> None:
    """Remarks that were changed say so beside the sign-off that may have been."""
    damaged = Remarks(
        REMARKS.remarks, REMARKS.sign_offs, (Problem(3, Fault.EDITED, "Line 3 was edited."),)
    )
    text = written(an_account(), form, Beside(remarks=damaged))
    assert "Line 3 was edited." in text
    if form != "json":
        assert "changed or damaged since" in text


@pytest.mark.parametrize("form", ["md", "html"])
def test_without_remarks_there_is_no_such_section(form: str) -> None:
    """A session that nobody looked at has no section of remarks, sounds or next session."""
    text = written(an_account(), form)
    for heading in ("Remarks and sign-off", "Sounds", "Sent on to", "Follows"):
        assert heading not in text


@pytest.mark.parametrize("form", FORMATS)
def test_a_session_that_was_sent_on(form: str) -> None:
    """A session tells where the walk went on, and one that goes on tells whence."""
    sent = an_account(outcome="sent", sent_to="blower-psc", after="first")
    text = written(sent, form, Beside(next_session="third"))
    for told in ("blower-psc", "first", "third", "other checks, which have a record of their own"):
        assert shown(told, form) in text


@pytest.mark.parametrize("form", FORMATS)
def test_damage_is_told_by_line(form: str) -> None:
    """Each damaged line of a record is named in each format."""
    account = an_account(problems=("line 7: Line 7 was edited.", "line 9: Line 9 is missing."))
    text = written(account, form)
    assert "Line 7 was edited." in text
    assert "Line 9 is missing." in text


_TEXT = st.text(max_size=30) | st.sampled_from(
    ["</p><script>", "<!--", "]]>", "&lt;", "\"'>", "</style>", "<svg onload=x>", "{{ x }}", "\x00"]
)


@st.composite
def accounts(draw: st.DrawFn) -> tuple[Account, Account, Beside, Beside]:
    """Make two accounts of the same shape, one with any texts and one with harmless ones."""
    verdict = draw(st.sampled_from([*VerdictKind, ""]))

    def fill(text: st.SearchStrategy[str]) -> tuple[Account, Beside]:
        def one() -> str:
            return draw(text)

        account = an_account(
            **{name: one() for name in ("session", "flow", "title", "unit", "technician", "why")},
            values=(
                a_value(one(), said=one(), reason=one(), verdict=verdict, places=(one(),) * 3),
            ),
            cautions=(a_caution(one(), text=one(), said=one()),),
            findings=(a_finding(part=one(), reason=one(), repair=one(), replacement=one()),),
            answers=(NamedAnswer(one(), "x", one(), one(), True, 1),),
            notes=(one(),),
            problems=(one(),),
            sent_to=one(),
            after=one(),
        )
        lead = f"lead {one()}"  # never the technician, whose own sign-off is told at the top
        remarks = Remarks(
            (Remark(2, TIME, one(), one()),), (SignOff(3, TIME, lead, True, one(), (one(),)),)
        )
        clips = (Clip(one(), 4, TIME, one(), ClipState.PURGED),)
        return account, Beside(remarks=remarks, clips=clips, next_session=one())

    nasty, harmless = fill(_TEXT.map(lambda text: f"x{text}x")), fill(st.just("capacitor"))
    return nasty[0], harmless[0], nasty[1], harmless[1]


def grown(page: str) -> list[object]:
    """Give a page's skeleton without its drawings and explanations, whose parts depend on words."""
    page = re.sub(r"(?s)<figure>.*?</figure>", "", page)
    page = re.sub(r"(?s)<h3>What the words mean</h3>.*?</dl>", "", page)
    return Skeleton(page).bones


@settings(max_examples=60, deadline=None)
@given(accounts())
def test_no_text_changes_the_page(case: tuple[Account, Account, Beside, Beside]) -> None:
    """Whatever texts a record holds, the page has the same tags as with harmless ones."""
    nasty, harmless, beside, calm = case
    page = render(nasty, "html", beside)
    assert grown(render(harmless, "html", calm)) == grown(page)
    tags = {bone[0] for bone in Skeleton(page).bones if isinstance(bone, tuple)}
    assert not tags & {"script", "img", "iframe", "link", "comment", "declaration", "a", "object"}
    assert page.encode()
    assert json.loads(render(nasty, "json", beside))["unit"] == nasty.unit


@pytest.mark.parametrize("form", FORMATS)
def test_notes_and_skipped_steps_are_told(form: str) -> None:
    """The technician's own words and the reason for a skipped step are in each format."""
    skipped = NamedAnswer("wheel", "skipped", "cannot reach it", "cannot reach it", False, 4)
    account = an_account(notes=("Owner has a dog.", "Attic was hot."), answers=(skipped,))
    text = written(account, form)
    for told in ("Owner has a dog.", "Attic was hot.", "cannot reach it"):
        assert shown(told, form) in text
