"""What a session leaves on the disk is its user's alone, and no sound of it is kept."""

import os
import stat
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.desk.opening import recorded_answers
from assistant.desk.sounds import NOTICE
from assistant.journal.catalogue import MEMORY
from assistant.journal.clips import find_clip
from assistant.journal.errors import journal_error
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.remarking import remark
from assistant.journal.transcript import TRANSCRIPT

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
    assert {JOURNAL, TRANSCRIPT} == {path.name for path in folder.iterdir()}
    heard = [line.data for line in read_journal(folder).lines if line.kind == "heard"]
    assert [""] * len(files) == [data["clip"] for data in heard]


def test_sound_is_kept_where_it_was_asked_for_and_goes_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Said and recorded first; private, under the hash that the journal names; purged, it verifies.

    The walk is the same to the letter, so a replay finds no difference.
    """
    sessions = tmp_path / "s"
    files = [str(file) for file in recorded_answers()[:3]]
    options = ["--mute", "--sessions", str(sessions), "--keep-sound", "--listen", *files]
    run(["walk", "blower-psc", *options])
    assert NOTICE in capsys.readouterr().out.splitlines()[0]
    (folder,) = sessions.iterdir()
    lines = read_journal(folder).lines
    kinds = [line.kind for line in lines]
    assert kinds.index("sound_kept") < kinds.index("heard")
    names = [str(line.data["clip"]) for line in lines if line.kind == "heard"]
    assert {find_clip(folder, name).name for name in names} == {
        path.name for path in (folder / "clips").iterdir()
    }
    modes = {stat.S_IMODE(path.stat().st_mode) for path in (folder / "clips").iterdir()}
    assert ({0o600}, 0o700) == (modes, stat.S_IMODE((folder / "clips").stat().st_mode))
    assert 0 == run(["replay", str(folder)])
    assert 0 == run(["purge", str(folder), "--clips-only", "--yes"])
    assert 0 == run(["replay", str(folder)])
    assert () == read_journal(folder).damage
    assert not (folder / "clips").exists()


def test_sound_that_cannot_be_kept_does_not_stop_the_walk(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk for sounds: a sentence each, no hash on record, and the words are kept."""
    monkeypatch.setattr("assistant.desk.sounds.keep_clip", _full)
    files = [str(file) for file in recorded_answers()[:2]]
    options = ["--mute", "--sessions", str(tmp_path / "s"), "--keep-sound", "--listen", *files]
    run(["walk", "blower-psc", *options])
    assert capsys.readouterr().err.count("the disk is full") == len(files)
    (folder,) = (tmp_path / "s").iterdir()
    heard = [line.data for line in read_journal(folder).lines if line.kind == "heard"]
    assert [""] * len(files) == [data["clip"] for data in heard]


def _full(_folder: Path, _name: str, _content: bytes) -> None:
    raise journal_error("The sound is not kept", OSError(28, "No space left on device"))


@pytest.mark.parametrize("ends", [[], ["--plain"], ["--answers", "x.txt"]])
def test_keeping_sound_needs_sound(ends: list[str]) -> None:
    """Typed answers have none: wrong usage."""
    assert 2 == run(["walk", "--keep-sound", *ends])
