"""A session moved in one file: whole, the same bytes each time; what is no session is refused."""

import io
import json
import os
import stat
import struct
import tracemalloc
import wave
import zipfile
from collections.abc import Callable
from datetime import datetime
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.journal.errors import JournalError
from assistant.journal.packing import MANIFEST, MOST_FILES, pack, zipped
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.store import Event, Journal
from assistant.journal.transcript import TRANSCRIPT
from assistant.journal.unpacking import read_pack, unpack

Clock = Callable[[], datetime]


def sound() -> bytes:
    """Make a short WAV file."""
    made = io.BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes(bytes(range(200)) * 4)
    return made.getvalue()


CLIP = f"clips/{sha256(bytes(range(200)) * 4).hexdigest()}.wav"


@pytest.fixture
def session(tmp_path: Path, clock: Clock, opening: Event, turns: tuple[list[Event], ...]) -> Path:
    """A sealed session with a sound and torn bytes that were set aside."""
    with Journal.create(tmp_path / "here", "one", opening, clock=clock) as journal:
        for turn in turns:
            journal.append(turn)
    folder = journal.folder
    with (folder / JOURNAL).open("ab") as file:
        file.write(b'{"torn')
    with Journal.open(folder, clock=clock) as journal:
        journal.seal()
    (folder / "clips").mkdir(mode=0o700)
    (folder / CLIP).write_bytes(sound())
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    """Give all files of a folder by their names."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_session_arrives_whole(session: Path, tmp_path: Path) -> None:
    """Every file is there with the same bytes, private, and nothing else is left lying about."""
    made = pack(session, tmp_path / "one.zip")
    assert {JOURNAL, TRANSCRIPT, "journal.torn-1", CLIP} == set(made.names)
    came = unpack(tmp_path / "one.zip", tmp_path / "there")
    assert contents(session) == contents(came.folder)
    assert came.is_new
    assert ["one"] == [path.name for path in (tmp_path / "there").iterdir()]
    assert read_journal(came.folder).is_sealed


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_what_is_made_is_private(session: Path, tmp_path: Path) -> None:
    """The pack, the folders and each file that arrives are the user's alone, whatever the umask."""
    before = os.umask(0)
    try:
        pack(session, tmp_path / "one.zip")
        unpack(tmp_path / "one.zip", tmp_path / "there" / "deep")
    finally:
        os.umask(before)
    modes = {
        stat.S_IMODE(path.stat().st_mode): path.is_dir() for path in (tmp_path / "there").rglob("*")
    }
    assert {0o700: True, 0o600: False} == modes
    assert 0o600 == stat.S_IMODE((tmp_path / "one.zip").stat().st_mode)
    assert 0o700 == stat.S_IMODE((tmp_path / "there").stat().st_mode)


def test_the_same_session_is_the_same_file(session: Path, tmp_path: Path) -> None:
    """Packed twice, and packed again where it arrived, it is the same to the byte."""
    pack(session, tmp_path / "one.zip")
    os.utime(session / JOURNAL, (0, 0))
    pack(session, tmp_path / "two.zip")
    came = unpack(tmp_path / "one.zip", tmp_path / "there")
    pack(came.folder, tmp_path / "three.zip")
    first = (tmp_path / "one.zip").read_bytes()
    assert first == (tmp_path / "two.zip").read_bytes()
    assert first == (tmp_path / "three.zip").read_bytes()


def test_any_zip_tool_can_read_it(session: Path, tmp_path: Path) -> None:
    """It is a plain zip: its own check passes and the journal can be taken out of it."""
    pack(session, tmp_path / "one.zip")
    with zipfile.ZipFile(tmp_path / "one.zip") as archive:
        assert archive.testzip() is None
        assert (session / JOURNAL).read_bytes() == archive.read(f"one/{JOURNAL}")


def test_what_is_no_file_of_a_session_stays(session: Path, tmp_path: Path) -> None:
    """Strange files and links are named and not packed; a link is not followed."""
    (session / "notes.docx").write_bytes(b"mine")
    (session / "journal.torn-2").symlink_to("/etc/passwd")
    (session / "clips" / "run.sh").write_bytes(b"#!/bin/sh")
    made = pack(session, tmp_path / "one.zip")
    assert ("clips/run.sh", "journal.torn-2", "notes.docx") == made.left
    assert b"root:" not in (tmp_path / "one.zip").read_bytes()


def test_a_pack_that_is_there_is_not_written_over(session: Path, tmp_path: Path) -> None:
    """One sentence; the file stays as it was."""
    (tmp_path / "one.zip").write_bytes(b"mine")
    with pytest.raises(JournalError, match="is there already"):
        pack(session, tmp_path / "one.zip")
    assert b"mine" == (tmp_path / "one.zip").read_bytes()


def test_the_same_session_arrives_once_and_another_is_refused(
    session: Path, tmp_path: Path
) -> None:
    """A second arrival changes nothing; a session of this name with other content is kept."""
    pack(session, tmp_path / "one.zip")
    unpack(tmp_path / "one.zip", tmp_path / "there")
    assert not unpack(tmp_path / "one.zip", tmp_path / "there").is_new
    with (tmp_path / "there" / "one" / JOURNAL).open("ab") as file:
        file.write(b"more\n")
    before = contents(tmp_path / "there" / "one")
    with pytest.raises(JournalError, match="already, and it is another"):
        unpack(tmp_path / "one.zip", tmp_path / "there")
    assert before == contents(tmp_path / "there" / "one")


def test_an_arrival_that_was_broken_off_is_done_again(session: Path, tmp_path: Path) -> None:
    """What a broken-off arrival left is no session, and the next one clears it away."""
    pack(session, tmp_path / "one.zip")
    left = tmp_path / "there" / ".arriving" / "one"
    left.mkdir(parents=True)
    (left / JOURNAL).write_bytes(b"half")
    came = unpack(tmp_path / "one.zip", tmp_path / "there")
    assert contents(session) == contents(came.folder)
    assert ["one"] == [path.name for path in (tmp_path / "there").iterdir()]


def made_of(*entries: tuple[str | zipfile.ZipInfo, bytes], method: int = 0) -> bytes:
    """Make a zip of entries as they are given."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", method) as archive:
        for name, content in entries:
            archive.writestr(name, content)
    return whole.getvalue()


def manifest(*names: str, content: bytes = b"x", session: str = "one") -> tuple[str, bytes]:
    """Make a manifest that fits files of this content."""
    row = {"bytes": len(content), "sha256": sha256(content).hexdigest()}
    told = {"pack": 1, "session": session, "files": dict.fromkeys(names, row)}
    return MANIFEST, json.dumps(told).encode()


def entry(name: str, mode: int) -> zipfile.ZipInfo:
    """Make an entry of a kind."""
    made = zipfile.ZipInfo(name)
    made.create_system, made.external_attr = 3, mode << 16
    return made


def patched(whole: bytes, old: bytes, new: bytes) -> bytes:
    """Change bytes of a zip everywhere."""
    assert old in whole
    return whole.replace(old, new)


def with_size(name: bytes, size: int) -> bytes:
    """Make a pack whose list gives a file another size than its bytes have."""
    whole = bytearray(made_of(manifest(JOURNAL), (f"one/{JOURNAL}", b"x")))
    place = whole.rindex(name)
    whole[place - 46 + 20 : place - 46 + 28] = struct.pack("<2L", size, size)
    return bytes(whole)


def overlapping() -> bytes:
    """Make a zip in which many entries share one file's bytes, as small bombs do."""
    content = b"0" * 100_000
    whole = bytearray(made_of((f"one/{JOURNAL}", content)))
    start = whole.rindex(b"PK\x01\x02")
    end = whole.rindex(b"PK\x05\x06")
    row = bytes(whole[start:end])
    whole[start:end] = row * 50
    place = whole.rindex(b"PK\x05\x06")
    whole[place + 8 : place + 16] = struct.pack("<2HL", 50, 50, len(row) * 50)
    return bytes(whole)


def encrypted() -> bytes:
    """Make a pack whose list says that its journal is encrypted."""
    whole = bytearray(made_of(*GOOD))
    whole[whole.rindex(b"PK\x01\x02") + 8] |= 1
    return bytes(whole)


GOOD = (manifest(JOURNAL), (f"one/{JOURNAL}", b"x"))
LINK, FOLDER, PIPE = stat.S_IFLNK | 0o777, stat.S_IFDIR | 0o755, stat.S_IFIFO | 0o600

HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "does not end as one"),
    "text": (lambda: b"hello\n" * 100, "does not end as one"),
    "cut": (lambda: made_of(*GOOD)[:-7], "does not end as one"),
    "more behind": (lambda: made_of(*GOOD) + b"\n", "does not end as one"),
    "up": (lambda: made_of(*GOOD, ("one/../../x", b"x")), "leads out"),
    "up alone": (lambda: made_of(*GOOD, ("../journal.jsonl", b"x")), "leads out"),
    "absolute": (lambda: made_of(*GOOD, ("/etc/cron.d/x", b"x")), "leads out"),
    "drive": (lambda: made_of(*GOOD, ("C:/x", b"x")), "leads out"),
    "backslash": (lambda: made_of(*GOOD, ("one\\..\\..\\x", b"x")), "leads out"),
    "zero byte": (
        lambda: patched(made_of(*GOOD, ("one/transcript.txt#.sh", b"x")), b"#", b"\0"),
        "is no file of a session",
    ),
    "link": (
        lambda: made_of(*GOOD, (entry("one/transcript.txt", LINK), b"/etc/passwd")),
        "is a link or a folder",
    ),
    "folder": (lambda: made_of(*GOOD, (entry("one/clips/", FOLDER), b"")), "link or a folder"),
    "pipe": (lambda: made_of(*GOOD, (entry("one/transcript.txt", PIPE), b"")), "link or a folder"),
    "code": (lambda: made_of(*GOOD, ("one/run.py", b"x")), "is no file of a session"),
    "hidden": (lambda: made_of(*GOOD, ("one/.bashrc", b"x")), "is no file of a session"),
    "flow": (lambda: made_of(*GOOD, ("one/flow.yaml", b"x")), "is no file of a session"),
    "clip by name": (lambda: made_of(*GOOD, ("one/clips/a.wav", b"x")), "is no file of a session"),
    "two sessions": (lambda: made_of(*GOOD, (f"two/{JOURNAL}", b"x")), "not those that its"),
    "beside": (lambda: made_of(*GOOD, (JOURNAL, b"x")), "is no file of a session"),
    "no manifest": (lambda: made_of((f"one/{JOURNAL}", b"x")), "has no pack.json"),
    "no journal": (
        lambda: made_of(manifest(TRANSCRIPT), ("one/transcript.txt", b"x")),
        "not those that its",
    ),
    "missing": (
        lambda: made_of(manifest(JOURNAL, TRANSCRIPT), (f"one/{JOURNAL}", b"x")),
        "not those that its",
    ),
    "other content": (
        lambda: made_of(manifest(JOURNAL), (f"one/{JOURNAL}", b"y")),
        "is not what was packed",
    ),
    "bad manifest": (lambda: made_of((MANIFEST, b"{"), (f"one/{JOURNAL}", b"x")), "is not JSON"),
    "deep manifest": (
        lambda: made_of((MANIFEST, b"[" * 100_000), (f"one/{JOURNAL}", b"x")),
        "is not JSON",
    ),
    "other edition": (
        lambda: made_of((MANIFEST, b'{"pack":2}'), (f"one/{JOURNAL}", b"x")),
        "of another edition",
    ),
    "escaping manifest": (
        lambda: made_of(manifest(JOURNAL, session=".."), (f"one/{JOURNAL}", b"x")),
        "names no session",
    ),
    "compressed": (
        lambda: made_of(manifest(JOURNAL), (f"one/{JOURNAL}", b"0" * 99), method=8),
        "are larger than itself|is compressed",
    ),
    "bomb": (
        lambda: made_of((f"one/{JOURNAL}", b"0" * 30_000_000), method=8),
        "together are larger than itself",
    ),
    "overlapping bomb": (overlapping, "together are larger than itself"),
    "claims to be huge": (
        lambda: with_size(b"one/journal.jsonl", 0xFFFF_FFF0),
        "together are larger than itself",
    ),
    "wrong sizes": (lambda: with_size(b"one/journal.jsonl", 9), "cannot be read as a zip|sizes"),
    "broken bytes": (
        lambda: patched(
            made_of(manifest(JOURNAL, content=b"abc"), (f"one/{JOURNAL}", b"abc")), b"abc", b"abd"
        ),
        "cannot be read as a zip",
    ),
    "encrypted": (
        encrypted,
        "is compressed or encrypted",
    ),
    "wide": (
        lambda: made_of(*GOOD)[:-22] + b"PK\x06\x07" + bytes(16) + made_of(*GOOD)[-22:],
        "lists more than|cannot be read as a zip",
    ),
    "too many": (
        lambda: made_of(*GOOD, *((f"one/journal.torn-{n}", b"") for n in range(1, MOST_FILES + 2))),
        f"lists more than {MOST_FILES} files",
    ),
}


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_pack_is_refused_in_a_sentence(name: str, tmp_path: Path) -> None:
    """Nothing is written anywhere, little memory is used, and one sentence says why."""
    make, why = HOSTILE[name]
    file = tmp_path / "pack.zip"
    file.write_bytes(make())
    tracemalloc.start()
    with pytest.raises(JournalError, match=why) as caught:
        unpack(file, tmp_path / "there")
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 30_000_000
    assert caught.value.message.startswith("pack.zip is no session pack: ")
    assert caught.value.message.count("\n") == 0
    assert ["pack.zip"] == [path.name for path in tmp_path.iterdir()]


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("second", [f"one/{JOURNAL}", "one/JOURNAL.jsonl"])
def test_a_name_that_is_there_twice_is_refused(second: str, tmp_path: Path) -> None:
    """Also where it differs only by its case, which some disks do not tell apart."""
    file = tmp_path / "pack.zip"
    file.write_bytes(made_of(*GOOD, (second, b"y")))
    with pytest.raises(JournalError, match=r"twice|no file of a session"):
        unpack(file, tmp_path / "there")


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    """A folder, a missing file, a device that never ends: a sentence each."""
    for path in (tmp_path, tmp_path / "nowhere", Path("/dev/zero")):
        with pytest.raises(JournalError):
            read_pack(path)


@settings(
    max_examples=300, deadline=2000, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_harmed_pack_is_told_or_is_the_same(data: st.DataObject, tmp_path: Path) -> None:
    """Whatever bytes are changed, put in or cut: one sentence, or the very session as sent."""
    sent = {JOURNAL: b"line\n" * 20, TRANSCRIPT: b"told\n", CLIP: sound()}
    whole = bytearray(zipped("one", sent))
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.integers(0, len(whole) - 1))
        end = place + data.draw(st.integers(0, 8))
        whole[place:end] = data.draw(st.binary(max_size=8))
    file = tmp_path / "pack.zip"
    file.write_bytes(bytes(whole))
    try:
        name, found = read_pack(file)
    except JournalError as error:
        assert "\n" not in error.message  # noqa: PT017  it may also be the same
    else:
        assert ("one", sent) == (name, dict(found))


def test_a_damaged_session_arrives_as_what_it_is(session: Path, tmp_path: Path) -> None:
    """Damage is moved, not mended and not refused; it is named where it arrives."""
    content = (session / JOURNAL).read_bytes()
    (session / JOURNAL).write_bytes(content.replace(b"17.50", b"99.50"))
    pack(session, tmp_path / "one.zip")
    came = unpack(tmp_path / "one.zip", tmp_path / "there")
    assert read_journal(session).damage == read_journal(came.folder).damage != ()
