"""What a session leaves on the disk is its user's alone, and no sound of it is kept."""

import os
import stat
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.desk.opening import recorded_answers
from assistant.journal.catalogue import MEMORY
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.remarking import remark

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")


@pytest.fixture
def _open_umask() -> Iterator[None]:
    """Let new files be everybody's where nobody says otherwise."""
    before = os.umask(0)
    yield
    os.umask(before)


@pytest.mark.usefixtures("_open_umask")
def test_all_that_a_session_leaves_is_private(tmp_path: Path) -> None:
    """Walked, broken off, torn, gone on with, remarked on, listed, moved: 0700 and 0600."""
    sessions = tmp_path / "deep" / "sessions"
    answers = tmp_path / "answers.txt"
    answers.write_text("it runs\n", encoding="utf-8")
    run(["walk", FLOW, "--answers", str(answers), "--sessions", str(sessions)])
    (folder,) = sessions.iterdir()
    with (folder / JOURNAL).open("ab") as file:
        file.write(b"torn")
    answers.write_text("stop\nyes\n", encoding="utf-8")
    run(["walk", FLOW, "--answers", str(answers), "--resume", str(folder)])
    remark(folder, "seen", author="lead", clock=lambda: datetime.now(UTC))
    run(["review", str(sessions), "--thorough"])
    assert 0 == run(["pack", str(folder), "-o", str(tmp_path / "deep" / "pack")])
    assert 0 == run(["unpack", str(tmp_path / "deep" / "pack"), "--sessions", f"{sessions}/more"])
    left = list((tmp_path / "deep").rglob("*"))
    assert {JOURNAL, "journal.torn-1", "transcript.txt", "remarks.jsonl", MEMORY} <= {
        path.name for path in left
    }
    for path in (tmp_path / "deep", *left):
        expected = 0o700 if path.is_dir() else 0o600
        assert (path.name, oct(expected)) == (path.name, oct(stat.S_IMODE(path.stat().st_mode)))


def test_no_sound_is_kept(tmp_path: Path) -> None:
    """Of answers heard from sound the words are kept; no sound, no hash of one, no other file."""
    sessions = tmp_path / "s"
    files = [str(file) for file in recorded_answers()[:3]]
    run(["walk", "blower-psc", "--mute", "--sessions", str(sessions), "--listen", *files])
    (folder,) = sessions.iterdir()
    assert [JOURNAL] == [path.name for path in folder.iterdir()]
    heard = [line.data for line in read_journal(folder).lines if line.kind == "heard"]
    assert [""] * len(files) == [data["clip"] for data in heard]
