"""Sounds of answers: read by hash, believed only where they fit it, played from the page itself."""

import base64
import io
import json
import re
import wave
from hashlib import sha256
from pathlib import Path

import pytest
from report_accounts import an_account

from assistant.ears.sound import read_sound
from assistant.journal.line import Line
from assistant.journal.reading import Record
from assistant.report import Beside, Clip, read_clips, render
from assistant.report.clips import CLIPS

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
    assert Clip(name, 1, TIME, "words 1", "kept", content) == clip


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


def test_a_page_holds_the_sounds() -> None:
    """HTML plays kept sounds from its own text; its policy allows that and nothing else."""
    name, content = a_sound(b"\x01\x00" * 1600)
    clips = (Clip(name, 4, TIME, "ten", "kept", content), Clip("a" * 64, 6, TIME, "yes", "purged"))
    page = render(an_account(), "html", Beside(clips=clips))
    (source,) = re.findall(r'<audio[^>]* src="data:audio/wav;base64,([^"]*)"', page)
    assert content == base64.b64decode(source)
    assert "default-src 'none'; style-src 'unsafe-inline'; media-src data:\"" in page
    assert "2 answers with a sound, 1 of them kept." in page
    assert f"not kept any more, SHA-256 {'a' * 64}" in page


def test_other_formats_name_the_sounds() -> None:
    """Markdown and JSON list each sound by its hash."""
    clips = (Clip("a" * 64, 4, TIME, "ten", "changed"),)
    assert f'"ten": changed since; not believed, SHA-256 {"a" * 64}' in render(
        an_account(), "md", Beside(clips=clips)
    )
    (row,) = json.loads(render(an_account(), "json", Beside(clips=clips)))["clips"]
    assert ("a" * 64, 4, "ten", "changed") == tuple(
        row[key] for key in ("hash", "line", "words", "state")
    )


def test_sounds_are_told_only_where_asked_for() -> None:
    """Asked for and none there is said; not asked for is not."""
    assert "No sound was kept" in render(an_account(), "html", Beside(clips=()))
    assert "No sound was kept" in render(an_account(), "md", Beside(clips=()))
    assert "No sound was kept" not in render(an_account(), "html")
    assert "media-src" not in render(an_account(), "html")
    assert json.loads(render(an_account(), "json"))["clips"] is None
