"""`rungside verify`: every change named by its line, one sentence each, and the seal's code."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.seal import MARKS
from assistant.journal.transcript import TRANSCRIPT

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")

WORDS = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart", "ten", "yes", "seventeen point five", "yes"),
    *("nine point eight seven", "yes", "all clear", "ready for live test", "power is on"),
    *("one eighteen", "yes", "it is closed up"),
)


@pytest.fixture(scope="module")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A session walked to its end by the command."""
    folder = tmp_path_factory.mktemp("sealed")
    answers = folder / "answers.txt"
    answers.write_text("\n".join(WORDS), encoding="utf-8")
    run(["walk", FLOW, "--answers", str(answers), "--sessions", str(folder / "s")])
    (session,) = (folder / "s").iterdir()
    return session


@pytest.fixture
def session(sealed: Path, tmp_path: Path) -> Path:
    """A copy of it that may be changed."""
    return Path(shutil.copytree(sealed, tmp_path / sealed.name))


def verified(session: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str]]:
    """Give the exit code and the lines of the command."""
    capsys.readouterr()
    code = run(["verify", str(session)])
    return code, capsys.readouterr().out.splitlines()


def change(session: Path, how: Callable[[list[bytes]], Sequence[bytes]]) -> None:
    """Write the journal's lines anew."""
    lines = (session / JOURNAL).read_bytes().splitlines(keepends=True)
    (session / JOURNAL).write_bytes(b"".join(how(lines)))


def test_a_whole_session_is_good_and_shows_its_code(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 0, one sentence, with the code that stands in the seal and in the transcript."""
    code, (line,) = verified(session, capsys)
    assert 0 == code
    shown = line.partition("seal ")[2].partition(".")[0]
    assert read_journal(session).seal_code == shown
    assert shown in (session / TRANSCRIPT).read_text(encoding="utf-8")
    assert set(shown) <= set(MARKS) | {"-"}


def edited(lines: list[bytes]) -> list[bytes]:
    """Change one word in line 7."""
    return [*lines[:6], lines[6].replace(b'"step":"', b'"step":"x', 1), *lines[7:]]


def inserted(lines: list[bytes]) -> list[bytes]:
    """Put a line in that fits its number and its hash, between lines 6 and 7."""
    body = json.loads(lines[6])
    body["data"] = {"step": "look", "text": "put in"}
    body["kind"] = "noted"
    body["prev"] = sha256(lines[5].rstrip(b"\n")).hexdigest()
    text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return [*lines[:6], text.encode() + b"\n", *lines[6:]]


def swapped(lines: list[bytes]) -> list[bytes]:
    """Change the places of lines 7 and 8."""
    return [*lines[:6], lines[7], lines[6], *lines[8:]]


CHANGES: tuple[tuple[Callable[[list[bytes]], list[bytes]], str], ...] = (
    (edited, "Line 7 was changed after line 8 was written."),
    (inserted, "Line 7 was put in: line 8 is number 7."),
    (swapped, "Line 7 is out of order: it is number 8."),
    (lambda lines: [*lines[:6], *lines[7:]], "Before line 7 1 line is missing (number 7)."),
    (lambda lines: [*lines[:6], b"scribble\n", *lines[7:]], "Line 7 is not JSON."),
    (lambda lines: [*lines[:7], lines[2], *lines[7:]], "Line 8 is a copy of line 3."),
    (lambda lines: lines[:9], "From line 10 on journal.jsonl is cut off"),
    (lambda lines: [*lines[:9], lines[9][:40]], "Line 10 was not written to its end: 40 bytes"),
    (lambda lines: [*lines, b"{}\n"], "stands behind the seal in line"),
    (lambda lines: [*lines[:-1], lines[-1].replace(b'"code":"', b'"code":"2', 1)], "The seal in"),
)
"""What is done to a journal, and the sentence that names it."""


@pytest.mark.parametrize("place", range(len(CHANGES)))
def test_each_change_is_named_by_line(
    place: int, session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 1, and one sentence says which line and what; the last says that it is not whole."""
    how, sentence = CHANGES[place]
    change(session, how)
    code, lines = verified(session, capsys)
    assert 1 == code
    assert [sentence in line for line in lines].count(True) == 1, lines
    assert "is not as it was written" in lines[-1]
    assert all(line.endswith(".") for line in lines)
    assert "seal " not in lines[-1]


def test_an_open_session_is_not_called_good(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cut at a line's end, without the transcript beside it, it only looks open: exit 1."""
    change(session, lambda lines: lines[:9])
    (session / TRANSCRIPT).unlink()
    code, lines = verified(session, capsys)
    assert 1 == code
    assert "Line 9 is the last and is no seal" in lines[0]
    assert "a loss at its end would not show" in lines[-1]


def test_changed_remarks_are_named(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a lead said is held as the journal is."""
    (session / "remarks.jsonl").write_bytes(b"scribble\n")
    code, lines = verified(session, capsys)
    assert 1 == code
    assert any(line.startswith("remarks.jsonl: Line 1") for line in lines)


def test_what_is_no_session_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No such session: exit 1 and a sentence on stderr; no name at all is wrong usage: 2."""
    assert 1 == run(["verify", "nothing-here", "--sessions", str(tmp_path)])
    assert "There is no session 'nothing-here'" in capsys.readouterr().err
    assert 2 == run(["verify"])


def test_a_journal_that_cannot_be_read_is_one_sentence(tmp_path: Path) -> None:
    """A journal that is a folder, or a loop of links: a sentence and no traceback."""
    (tmp_path / "looped").mkdir()
    (tmp_path / "looped" / JOURNAL).symlink_to(tmp_path / "looped" / JOURNAL)
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "verify", str(tmp_path / "looped")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (1, 1) == (done.returncode, len(done.stderr.splitlines()))
    assert "Traceback" not in done.stderr
