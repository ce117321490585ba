"""Sounds of answers: read by hash, believed only where they fit it."""

import io
import wave
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.ears.sound import read_sound
from assistant.journal.clips import (
    CLIPS,
    LARGEST_BYTES,
    Clip,
    ClipError,
    ClipState,
    find_clip,
    is_clip,
    read_clips,
)
from assistant.journal.line import Line
from assistant.journal.reading import Record

TIME = "2026-02-03T14:05:06.000Z"


def a_sound(samples: bytes) -> tuple[str, bytes]:
    """Give a WAV file's bytes and the hash of its samples."""
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes(samples)
    return sha256(samples).hexdigest(), content.getvalue()


def heard(*clips: str) -> Record:
    """Make a journal in which answers with these sounds were heard, and another line."""
    lines = [
        Line(number, TIME, 1, "", "heard", {"clip": clip, "words": f"words {number}"})
        for number, clip in enumerate(clips, start=1)
    ]
    return Record((*lines, Line(9, TIME, 1, "", "said", {"clip": "x"})), (), False, b"")


def keep(folder: Path, name: str, content: bytes) -> None:
    """Keep a sound in a session's folder."""
    (folder / CLIPS).mkdir(exist_ok=True)
    (folder / CLIPS / f"{name}.wav").write_bytes(content)


def test_a_kept_sound_is_read(tmp_path: Path) -> None:
    """A sound under its hash is read, with the line and the words it belongs to."""
    name, content = a_sound(b"\x01\x00" * 1600)
    keep(tmp_path, name, content)
    assert name == read_sound(tmp_path / CLIPS / f"{name}.wav").fingerprint
    (clip,) = read_clips(heard(name, ""), tmp_path)
    assert Clip(name, 1, TIME, "words 1", ClipState.KEPT, content) == clip


def test_a_sound_that_is_gone_or_changed(tmp_path: Path) -> None:
    """A purged sound is told as purged; one that no longer fits its hash is not believed."""
    name, content = a_sound(b"\x01\x00" * 100)
    other, _ = a_sound(b"\x02\x00" * 100)
    broken, _ = a_sound(b"\x03\x00" * 100)
    keep(tmp_path, other, content)
    keep(tmp_path, broken, b"RIFF")
    clips = read_clips(heard(name, other, broken), tmp_path)
    assert [("purged", b""), ("changed", b""), ("changed", b"")] == [
        (clip.state, clip.wave) for clip in clips
    ]


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "A" * 64, "0" * 63, "0" * 64 + "\n"])
def test_a_hash_is_no_path(name: str, tmp_path: Path) -> None:
    """What does not look like a hash is never opened, wherever it points."""
    session = tmp_path / "session"
    (session / CLIPS).mkdir(parents=True)
    (session / "secret.wav").write_bytes(a_sound(b"\x01\x00")[1])
    (clip,) = read_clips(heard(name), session)
    assert ("purged", b"") == (clip.state, clip.wave)


def test_a_sound_too_large_is_not_believed(tmp_path: Path) -> None:
    """A file of more bytes than an answer can have is not read, whatever it holds."""
    name, content = a_sound(b"\x01\x00" * 100)
    keep(tmp_path, name, content)
    with (tmp_path / CLIPS / f"{name}.wav").open("r+b") as file:
        file.truncate(LARGEST_BYTES + 1)
    (clip,) = read_clips(heard(name), tmp_path)
    assert (ClipState.CHANGED, b"") == (clip.state, clip.wave)


def test_a_sound_is_found_once_it_fits_its_name(tmp_path: Path) -> None:
    """The file is given where it holds what was heard; else what became of it is said."""
    name, content = a_sound(b"\x01\x00" * 100)
    with pytest.raises(ClipError, match="not there any more"):
        find_clip(tmp_path, name)
    keep(tmp_path, name, content)
    assert tmp_path / CLIPS / f"{name}.wav" == find_clip(tmp_path, name)
    keep(tmp_path, name, a_sound(b"\x02\x00" * 100)[1])
    with pytest.raises(ClipError, match="was changed"):
        find_clip(tmp_path, name)
    with pytest.raises(ClipError, match="No sound was kept"):
        find_clip(tmp_path, "")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        (f"clips/{'0' * 64}.wav", True),
        (f"clips/{'0' * 63}.wav", False),
        (f"clips/{'0' * 64}.wav\n", False),
        (f"clips/{'0' * 64}xwav", False),
        (f"{'0' * 64}.wav", False),
        (f"clips/{'A' * 64}.wav", False),
    ],
)
def test_the_name_of_a_sound(name: str, expected: bool) -> None:
    """Only a hash in the folder of sounds names one: what is packed and purged as a sound."""
    assert expected == is_clip(name)
