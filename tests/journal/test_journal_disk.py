"""On the disk of this machine: a folder that vanishes, a file that may not grow, any torn byte."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.journal.errors import JournalError
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, read_content, read_journal
from assistant.journal.store import Event, Journal

pytestmark = pytest.mark.skipif(
    os.name == "nt", reason="Windows takes no folder away whose file is open, and limits no file"
)

Clock = Callable[[], datetime]

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")
WALK = [sys.executable, "-m", "assistant", "walk", FLOW, "--sessions"]


def test_a_folder_that_vanishes_is_told_at_the_next_turn(
    tmp_path: Path, clock: Clock, opening: Event
) -> None:
    """Writing into a file without a name succeeds and keeps nothing; so it is not acknowledged."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        journal.append([{"kind": "noted"}])
        shutil.rmtree(tmp_path / "one")
        with pytest.raises(JournalError, match="session one could not be written"):
            journal.append([{"kind": "noted"}])
        assert 2 == len(journal.lines)
        with pytest.raises(JournalError, match="stopped half-way before"):
            journal.append([{"kind": "noted"}])


def test_a_folder_that_is_moved_is_still_written(
    tmp_path: Path, clock: Clock, opening: Event
) -> None:
    """A session whose folder got another name goes on there; nothing is lost."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        (tmp_path / "one").rename(tmp_path / "two")
        journal.append([{"kind": "noted"}])
    assert 2 == len(read_journal(tmp_path / "two").lines)


def test_a_walk_says_that_its_folder_is_gone(tmp_path: Path) -> None:
    """The command ends with exit 1 and one sentence, and does not say the next step."""
    with subprocess.Popen(
        [*WALK, str(tmp_path / "s")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stdout.readline()
        shutil.rmtree(tmp_path / "s")
        process.stdin.write("it runs\n")
        process.stdin.flush()
        out, error = process.communicate()
    assert (1, 1) == (process.returncode, error.count("\n")), error
    assert "could not be written: the file was taken away." in error
    assert "Rated" not in out


def _small() -> None:
    """Let no file of this process grow beyond some kilobytes."""
    import resource

    resource.setrlimit(resource.RLIMIT_FSIZE, (9_000, 9_000))


def test_a_file_that_may_not_grow_ends_the_walk_and_it_goes_on_later(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The write that finds no room is taken back whole; with room again the walk goes on."""
    answers = tmp_path / "answers.txt"
    answers.write_text("\n".join(["it runs", *["note that it hums"] * 60]), encoding="utf-8")
    done = subprocess.run(
        [*WALK, str(tmp_path / "s"), "--answers", str(answers)],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=_small,
    )
    assert (1, 1) == (done.returncode, done.stderr.count("\n")), done.stderr
    assert "could not be written" in done.stderr
    (folder,) = (tmp_path / "s").iterdir()
    record = read_journal(folder)
    assert () == record.damage
    assert b"" == record.torn
    heard = [line for line in record.lines if line.kind == "heard"]
    assert done.stdout.count("You: ") == len(heard) > 5
    answers.write_text("stop\nyes\n", encoding="utf-8")
    assert 0 == run(["walk", FLOW, "--resume", str(folder), "--answers", str(answers)])
    assert "is whole" in _verified(folder, capsys)


def _verified(folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    capsys.readouterr()
    assert 0 == run(["verify", str(folder)])
    return capsys.readouterr().out


def _filled(tail: bytes, place: int, fill: bytes) -> bytes:
    """Give a tail of which everything from a place on did not come through."""
    return tail[:place] + fill * (len(tail) - place)


@pytest.mark.parametrize("fill", [b"", b"\0"], ids=["cut", "zeros"])
def test_a_turn_torn_at_any_byte_takes_no_acknowledged_line_with_it(
    fill: bytes, open_content: bytes, clock: Clock
) -> None:
    """At each byte of the last turn, cut or left as zeros: all before it stands, and it goes on."""
    lines = open_content.splitlines(keepends=True)
    kept = b"".join(lines[:4])
    tail = b"".join(lines[4:6])
    before = read_content(kept).lines
    for place in range(len(tail)):
        files = MemoryFiles()
        folder = Path("s/one")
        files.folders.add(folder)
        files.contents[folder / JOURNAL] = bytearray(kept + _filled(tail, place, fill))
        with Journal.open(folder, clock=clock, files=files) as journal:
            journal.append([{"kind": "noted", "text": "on we go"}])
            journal.seal()
        record = read_content(bytes(files.contents[folder / JOURNAL]))
        assert before == record.lines[:4]
        assert (True, ()) == (record.is_sealed, record.damage)
        assert 1 == sum(line.data.get("text") == "on we go" for line in record.lines)
