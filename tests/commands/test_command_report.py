"""`rungside report`: what stands beside the journal is told with it."""

import json
import shutil
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from assistant.cli import run
from assistant.flow.library import open_flow
from assistant.journal.reading import JOURNAL
from assistant.journal.remarking import remark, sign_off
from assistant.journal.session import Session
from assistant.walk.ends import Heard
from assistant.walk.walk import Walk

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")
WORDS = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart", "ten", "yes", "seventeen point five", "yes"),
    *("nine point eight seven", "yes", "all clear", "ready for live test", "power is on"),
    *("one eighteen", "yes", "it is closed up"),
)


def clock() -> datetime:
    """Give the time of a clock that stands still."""
    return datetime(2026, 2, 3, 14, 5, 6, tzinfo=UTC)


@pytest.fixture
def session(tmp_path: Path) -> Path:
    """A session walked to its end and sealed, with a sound named in one answer."""
    walk = Walk(open_flow(FLOW))
    written = Session.begin(walk, tmp_path / "s", "one", clock=clock, technician="QX", unit="RTU 3")
    for words in WORDS:
        written.hear(Heard(words, clip="b" * 64 if words == "zero" else ""))
    written.close()
    return tmp_path / "s" / "one"


def written(session: Path, capsys: pytest.CaptureFixture[str], *options: str) -> str:
    """Give what the command prints."""
    capsys.readouterr()
    assert run(["report", str(session), *options]) == 0
    return capsys.readouterr().out


def as_json(session: Path, capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    """Give the JSON that the command prints."""
    told: dict[str, Any] = json.loads(written(session, capsys, "--format", "json", *options))
    return told


def test_remarks_are_told(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A remark and a sign-off made on disk are in the report, the record still sealed."""
    remark(session, "Look at the wheel next time.", author="LD", line=4, clock=clock)
    sign_off(session, author="LD", agrees=True, why="The numbers are clear.", clock=clock)
    told = as_json(session, capsys)
    assert ["Look at the wheel next time."] == [one["text"] for one in told["remarks"]]
    assert [(True, True)] == [(one["agrees"], one["stands"]) for one in told["sign_offs"]]
    assert told["sealed"]
    page = written(session, capsys, "--format", "html")
    assert "LD agrees that there is no finding." in page
    assert "on line 4: Look at the wheel next time." in page


def test_a_seal_that_was_cut_off_is_told(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A journal without its last line looks open; the transcript knows that it was sealed."""
    journal = session / JOURNAL
    lines = journal.read_bytes().splitlines(keepends=True)
    journal.write_bytes(b"".join(lines[:-1]))
    told = as_json(session, capsys)
    assert not told["sealed"]
    assert any("cut off" in problem for problem in told["problems"])
    assert "changed or damaged" in written(session, capsys, "--format", "html")


def test_a_damaged_line_is_named(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A changed line is named in the page, and no exception ends the report."""
    journal = session / JOURNAL
    lines = journal.read_bytes().splitlines(keepends=True)
    lines[5] = lines[5].replace(b'"seq":6', b'"seq":6 ')
    lines[7] = b"no line at all\n"
    journal.write_bytes(b"".join(lines))
    page = written(session, capsys, "--format", "html")
    assert "Take care:" in page
    assert "line 8: Line 8" in page


@pytest.mark.parametrize("content", [b"", b'{"seq":1,"time":"20', b"\xff no line at all\n"])
@pytest.mark.parametrize("form", ["md", "html", "json"])
def test_a_journal_without_a_whole_line_is_no_report(
    content: bytes, form: str, session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No empty record is handed out for it: one sentence says what, where and what to do."""
    (session / JOURNAL).write_bytes(content)
    assert run(["report", str(session), "--format", form]) == 1
    out, said = capsys.readouterr()
    assert "" == out
    assert f"nothing to report: {session / JOURNAL} holds no whole line. Put a copy" in said
    assert 1 == said.count("\n")


def test_the_session_that_follows_is_named(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A walk that was sent on names the session in the same folder that says it came from it."""
    (session.parent / "strange").mkdir()
    (session.parent / "strange" / JOURNAL).write_bytes(b"\xff\xff no journal")
    first = session.parent / "zero"
    _write(
        first,
        [{"kind": "sent_on", "answer": 1, "step": "a", "flow": "kettle"}],
        session="zero",
        after="",
    )
    _write(session.parent / "zz", [], session="zz", after="zero")
    assert as_json(first, capsys)["next_session"] == "zz"
    assert "session zz" in written(first, capsys)
    assert "| Follows | session zero |" in written(session.parent / "zz", capsys)


def _write(folder: Path, events: list[dict[str, Any]], **opening: str) -> None:
    """Write a journal that only has what a report reads; it is not chained, so it is damaged."""
    began = {"flow": "kettle", "title": "Kettle", "edition": "1", "digest": "d", **opening}
    rows = [{"kind": "began", **began}, *events]
    folder.mkdir()
    lines = []
    for seq, row in enumerate(rows, start=1):
        data = {key: value for key, value in row.items() if key != "kind"}
        line = {"seq": seq, "time": "2026-02-03T14:05:06.000Z", "schema": 1, "prev": "0" * 64}
        lines.append(json.dumps({**line, "kind": row["kind"], "data": data}, sort_keys=True))
    (folder / JOURNAL).write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_places_have_the_names_of_the_vocabulary(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A flow that does not ship is told with the names that the shipped vocabulary has."""
    drawn = as_json(session, capsys)["drawings"]
    assert drawn
    told = " ".join(line for drawing in drawn for line in drawing["measured"])
    assert "first line terminal" in told
    assert "line_1" not in told


def test_sounds_are_told_where_asked_for(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--clips` lists the sounds that the journal names, and says that this one is not kept."""
    (clip,) = as_json(session, capsys, "--clips")["clips"]
    assert ("b" * 64, "zero", "purged") == (clip["hash"], clip["words"], clip["state"])
    assert as_json(session, capsys)["clips"] is None
    assert "1 answer with a sound, 0 of them kept." in written(session, capsys, "--clips")


def test_a_page_is_written_to_a_file(
    session: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page goes where it is asked for, whole and in UTF-8; the folder may be elsewhere."""
    moved = tmp_path / "elsewhere"
    shutil.move(session, moved)
    page = tmp_path / "page.html"
    written(moved, capsys, "--format", "html", "-o", str(page))
    text = page.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert text.endswith("</html>\n")
    HTMLParser().feed(text)
