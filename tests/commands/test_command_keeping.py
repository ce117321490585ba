"""`rungside pack`, `unpack` and `purge`: what they print, and what is there afterwards."""

import json
import os
import shutil
import stat
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.catalogue import MEMORY
from assistant.journal.reading import JOURNAL, TOMBSTONE, read_journal, read_unsealed
from assistant.journal.remarking import remark
from assistant.journal.sessions import find_session
from assistant.journal.store import Journal

CLIP = "clips/" + "a1" * 32 + ".wav"

Make = Callable[..., Path]


@pytest.fixture
def make(tmp_path: Path) -> Make:
    """Make a sealed session that is some days old, with a sound."""

    def made(name: str = "one", days: float = 0.0, *, is_sealed: bool = True) -> Path:
        moment = datetime.now(UTC) - timedelta(days=days)
        opening = {"kind": "began", "flow": "psc", "title": "PSC", "edition": "1"}
        with Journal.create(tmp_path / "s", name, opening, clock=lambda: moment) as journal:
            journal.append([{"kind": "noted", "text": "the owner is away"}])
            if is_sealed:
                journal.seal()
        (journal.folder / "clips").mkdir(mode=0o700)
        (journal.folder / CLIP).write_bytes(b"sound")
        return journal.folder

    return made


def out_of(arguments: list[str], code: int, capsys: pytest.CaptureFixture[str]) -> str:
    """Run a command that ends with a code; give what it printed."""
    capsys.readouterr()
    assert code == run(arguments)
    return capsys.readouterr().out


def test_a_session_is_packed_and_unpacked(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """By its name, to a file named after it where one is; on arrival its seal is shown."""
    folder = make()
    monkeypatch.chdir(tmp_path)
    assert "one.rungside.zip" in out_of(["pack", "one", "--sessions", "s"], 0, capsys)
    printed = out_of(["unpack", "one.rungside.zip", "--sessions", "t"], 0, capsys)
    assert "The session one has arrived" in printed
    assert read_journal(folder).seal_code in printed
    assert "is there already, the same" in out_of(
        ["unpack", "one.rungside.zip", "--sessions", "t"], 0, capsys
    )
    assert (folder / JOURNAL).read_bytes() == (tmp_path / "t" / "one" / JOURNAL).read_bytes()


def test_an_open_session_arrives_as_one_and_goes_on(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """That it is not sealed is said and is no fault; it can be continued there."""
    folder = make(is_sealed=False)
    out_of(["pack", str(folder), "-o", str(tmp_path / "p")], 0, capsys)
    printed = out_of(["unpack", str(tmp_path / "p"), "--sessions", str(tmp_path / "t")], 0, capsys)
    assert "is not sealed" in printed
    with Journal.open(tmp_path / "t" / "one", clock=lambda: datetime.now(UTC)) as journal:
        journal.seal()


def test_a_damaged_session_arrives_with_a_sentence(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The damaged line is named, exit 1, and it is there to be looked at."""
    folder = make()
    content = (folder / JOURNAL).read_bytes()
    (folder / JOURNAL).write_bytes(content.replace(b"away", b"here"))
    out_of(["pack", str(folder), "-o", str(tmp_path / "p")], 0, capsys)
    printed = out_of(["unpack", str(tmp_path / "p"), "--sessions", str(tmp_path / "t")], 1, capsys)
    assert "Line 2 was changed after line 3 was written." in printed
    assert (tmp_path / "t" / "one" / JOURNAL).is_file()


def test_a_hostile_pack_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1, the sentence on stderr, and no folder made."""
    (tmp_path / "p").write_bytes(b"PK\x05\x06" + bytes(18))
    assert 1 == run(["unpack", str(tmp_path / "p"), "--sessions", str(tmp_path / "t")])
    said = capsys.readouterr().err
    assert (1, True) == (said.count("\n"), "is no session pack" in said)
    assert not (tmp_path / "t").exists()


def test_nothing_goes_that_was_not_agreed_to(
    make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --yes it only says what would go."""
    folder = make()
    before = sorted(path.name for path in folder.iterdir())
    printed = out_of(["purge", str(folder)], 0, capsys)
    assert "The session one: all of it, 3 files" in printed
    assert read_journal(folder).seal_code in printed
    assert "Nothing is gone yet" in printed
    assert before == sorted(path.name for path in folder.iterdir())


def test_sounds_go_and_the_chain_holds(make: Make, capsys: pytest.CaptureFixture[str]) -> None:
    """The journal is not touched; the session verifies as before and says what went and when."""
    folder = make()
    before = (folder / JOURNAL).read_bytes()
    printed = out_of(["purge", str(folder), "--clips-only", "--yes"], 0, capsys)
    assert "1 sound, 0.0 MB; the record stays." in printed
    assert before == (folder / JOURNAL).read_bytes()
    assert not (folder / "clips").exists()
    verified = out_of(["verify", str(folder)], 0, capsys)
    assert "1 sound of session one went on" in verified
    assert "is whole" in verified
    assert "nothing to purge" in out_of(["purge", str(folder), "--clips-only"], 0, capsys)


def test_a_session_leaves_a_tombstone(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only the tombstone is left, with the time and the seal, and no word of what was recorded."""
    folder = make()
    remark(folder, "good work", author="lead", clock=lambda: datetime.now(UTC))
    code = read_journal(folder).seal_code
    run(["review", str(tmp_path / "s"), "--thorough"])
    assert (tmp_path / "s" / MEMORY).is_file()
    out_of(["purge", str(folder), "--yes"], 0, capsys)
    assert [TOMBSTONE] == [path.name for path in folder.iterdir()]
    record = read_unsealed((folder / TOMBSTONE).read_bytes())
    (line,) = record.lines
    assert ((), "one", "session", code) == (
        record.problems,
        line.data["session"],
        line.data["what"],
        line.data["seal"],
    )
    for path in (tmp_path / "s").rglob("*"):
        if path.is_file():
            content = path.read_bytes()
            assert b"owner" not in content
            assert b"good work" not in content
    assert 1 == run(["verify", str(folder)])
    said = capsys.readouterr().err
    assert "The session one was purged on 20" in said
    assert 1 == said.count("\n")


def test_by_age_only_the_old_go(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Those whose last line is older than so many days; the others stay."""
    make("old", 31), make("older", 400), make("new", 29)
    options = ["--older-than", "30", "--sessions", str(tmp_path / "s")]
    printed = out_of(["purge", *options, "--yes"], 0, capsys)
    assert "Purged: 2 of 2." in printed
    kept = [path.parent.name for path in (tmp_path / "s").glob(f"*/{JOURNAL}")]
    assert ["new"] == kept
    assert find_session("new", tmp_path / "s").is_dir()
    assert "nothing to purge" in out_of(["purge", *options], 0, capsys)


def test_a_session_that_is_being_written_is_left(
    make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    """One sentence, exit 1, and every file is there."""
    folder = make(is_sealed=False)
    before = sorted(path.name for path in folder.iterdir())
    with Journal.open(folder, clock=lambda: datetime.now(UTC)):
        printed = out_of(["purge", str(folder), "--yes"], 1, capsys)
    assert "is being written by another Rungside" in printed
    assert before == sorted(path.name for path in folder.iterdir())


def test_strange_files_and_links_stay(
    make: Make, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is no file of a session is named and left, and no link is followed."""
    folder = make()
    (folder / "letter.txt").write_text("mine", encoding="utf-8")
    precious = tmp_path / "precious"
    precious.mkdir()
    (precious / ("b2" * 32 + ".wav")).write_bytes(b"mine")
    shutil.rmtree(folder / "clips")
    (folder / "clips").symlink_to(precious)
    printed = out_of(["purge", str(folder), "--yes"], 0, capsys)
    assert "letter.txt is no file of a session, so it stays." in printed
    assert ["clips", "letter.txt", TOMBSTONE] == sorted(path.name for path in folder.iterdir())
    assert 1 == len(list(precious.iterdir()))


def test_a_purge_that_was_broken_off_is_done_again(
    make: Make, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The tombstone comes first; the second go takes the rest and does not write it twice."""
    folder = make()
    with monkeypatch.context() as patch:
        patch.setattr("assistant.journal.files.DiskFiles.remove", _fail)
        printed = out_of(["purge", str(folder), "--yes"], 1, capsys)
    assert "could not be purged: the disk reported a fault" in printed
    assert (folder / JOURNAL).is_file()
    out_of(["purge", str(folder), "--yes"], 0, capsys)
    assert [TOMBSTONE] == [path.name for path in folder.iterdir()]
    assert 1 == len(read_unsealed((folder / TOMBSTONE).read_bytes()).lines)


def _fail(_files: object, _path: Path) -> None:
    raise OSError(5, "failed on purpose")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_a_tombstone_is_private(make: Make, capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever the umask, it is the user's alone."""
    folder = make()
    before = os.umask(0)
    try:
        out_of(["purge", str(folder), "--yes"], 0, capsys)
    finally:
        os.umask(before)
    assert 0o600 == stat.S_IMODE((folder / TOMBSTONE).stat().st_mode)


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["one", "--older-than", "3"],
        ["--older-than", "-1"],
        ["--older-than", "nan"],
        ["--older-than", "1e9"],
        ["--yes"],
    ],
)
def test_wrong_usage(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Neither names nor an age, both, or an age that is none: exit 2 and a sentence."""
    assert 2 == run(["purge", *arguments])
    assert 1 == capsys.readouterr().err.count("\n")


def test_a_changed_tombstone_is_named(make: Make, capsys: pytest.CaptureFixture[str]) -> None:
    """It is chained as a journal is."""
    folder = make()
    out_of(["purge", str(folder), "--clips-only", "--yes"], 0, capsys)
    body = json.loads((folder / TOMBSTONE).read_bytes())
    body["seq"] = 3
    (folder / TOMBSTONE).write_text(json.dumps(body) + "\n", encoding="utf-8")
    assert f"{TOMBSTONE}: Line 1" in out_of(["verify", str(folder)], 1, capsys)
