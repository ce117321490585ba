"""Sounds of answers in a report: played from the page itself, named elsewhere."""

import base64
import io
import json
import re
import wave
from hashlib import sha256

from report_accounts import an_account

from assistant.journal.clips import Clip, ClipState
from assistant.report import Beside, render

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


def test_a_page_holds_the_sounds() -> None:
    """HTML plays kept sounds from its own text; its policy allows that and nothing else."""
    name, content = a_sound(b"\x01\x00" * 1600)
    clips = (
        Clip(name, 4, TIME, "ten", ClipState.KEPT, content),
        Clip("a" * 64, 6, TIME, "yes", ClipState.PURGED),
    )
    page = render(an_account(), "html", Beside(clips=clips))
    (source,) = re.findall(r'<audio[^>]* src="data:audio/wav;base64,([^"]*)"', page)
    assert content == base64.b64decode(source)
    assert "default-src 'none'; style-src 'unsafe-inline'; media-src data:\"" in page
    assert "2 answers with a sound, 1 of them kept." in page
    assert f"not kept any more, SHA-256 {'a' * 64}" in page


def test_other_formats_name_the_sounds() -> None:
    """Markdown and JSON list each sound by its hash."""
    clips = (Clip("a" * 64, 4, TIME, "ten", ClipState.CHANGED),)
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
