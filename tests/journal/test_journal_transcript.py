"""The transcript is plain text made from the lines, and no note can forge a line of it."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.journal.line import JSON, NO_LINE, Line
from assistant.journal.reading import read_content
from assistant.journal.transcript import (
    TRANSCRIPT,
    is_told_as_sealed,
    transcript,
    write_transcript,
)


def a_line(kind: str, data: dict[str, JSON], time: str = "2026-02-03T14:05:06.789Z") -> Line:
    """Make a line of some kind."""
    return Line(1, time, 1, NO_LINE, kind, data)


def told(kind: str, data: dict[str, JSON]) -> str:
    """Give how one event is told, without its time."""
    head, line, rest = transcript([a_line(kind, data)]).split("\n")
    assert ("2026-02-03 (times are UTC)", "14:05:06  ", "") == (head, line[:10], rest)
    return line[10:]


@pytest.mark.parametrize(
    ("kind", "data", "expected"),
    [
        (
            "began",
            {"title": "PSC blower", "flow": "psc", "edition": "2", "unit": "RTU-3"},
            "Began: PSC blower (flow psc, edition 2), unit RTU-3",
        ),
        ("said", {"text": "ohms", "shown": "Ω"}, "Said: Ω"),
        ("said", {"text": "ohms", "shown": ""}, "Said: ohms"),
        ("heard", {"words": "locked out"}, 'Heard: "locked out"'),
        ("heard", {"words": "", "is_silence": True}, "Heard: nothing"),
        ("heard", {"words": "", "is_silence": False}, "Heard: no words"),
        ("took", {"name": "low", "value": "17.50", "unit": "ohm"}, "Took: low 17.50 ohm"),
        ("took", {"name": "low", "unit": "ohm", "over_limit": True}, "Took: low OL ohm"),
        ("noted", {"text": "belt worn"}, "Note: belt worn"),
        ("ended", {"outcome": "stopped", "why": "stop was said"}, "Ended: stopped: stop was said"),
        ("sealed", {"code": "2222-3333", "lines": 7}, "Sealed: 2222-3333 (7 lines before it)"),
        ("not_here", {"a": [1, None, True], "b": {"c": 2}}, "Not here: a [1, none, yes]; b (c 2)"),
        ("not_known", {}, "Not known"),
        ("took", {}, "Took: None None None"),
    ],
)  # fmt: skip
def test_event_is_told(kind: str, data: dict[str, JSON], expected: str) -> None:
    """Each common kind has its own words; every other is told key by key; none is left out."""
    assert expected == told(kind, data)


@given(st.text(st.characters(exclude_categories=())))
def test_no_note_looks_like_a_line(text: str) -> None:
    """Whatever a note holds, it is told in one line of valid UTF-8 in its own order."""
    line = told("noted", {"text": text})
    assert 1 == len(f"{line}.".splitlines())
    assert line.encode()
    assert not set(line) & set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\x1b")


def test_text_of_other_scripts_stays_as_it_is() -> None:
    """Right-to-left text and joined emoji are shown, not escaped; what steers is."""
    assert "Note: שלם 👩‍🔧" == told("noted", {"text": "שלם 👩‍🔧"})
    assert "Note: a\\n14:05:07  Sealed: x\\t\\u202e" == told(
        "noted", {"text": "a\n14:05:07  Sealed: x\t\u202e"}
    )


def test_day_is_told_when_it_changes() -> None:
    """A session over midnight has two days in its transcript."""
    times = ["2026-02-03T23:59:59.000Z", "2026-02-04T00:00:01.000Z", "2026-02-04T00:00:02.000Z"]
    text = transcript([a_line("noted", {"text": "x"}, time) for time in times])
    days = [line for line in text.splitlines() if "UTC" in line]
    assert ["2026-02-03 (times are UTC)", "2026-02-04 (times are UTC)"] == days
    assert 5 == len(text.splitlines())


def test_teller_can_leave_an_event_out() -> None:
    """An empty text from a teller gives no line."""
    lines = [a_line("moved", {"a": 1}), a_line("noted", {"text": "x"})]
    assert 2 == transcript(lines, {"moved": lambda _data: ""}).count("\n")


def test_transcript_is_made_again_the_same(tmp_path: Path, sealed_content: bytes) -> None:
    """From the same lines comes the same file, in place of whatever stood there."""
    lines = read_content(sealed_content).lines
    (tmp_path / TRANSCRIPT).write_text("something else")
    (tmp_path / f"{TRANSCRIPT}.new").write_text("left by a crash")
    path = write_transcript(tmp_path, lines)
    assert [TRANSCRIPT] == [one.name for one in tmp_path.iterdir()]
    assert transcript(lines) == path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14:05:06  Sealed: 2222-3333-4444 (7 lines before it)\n", True),
        ("14:05:06  Note: Sealed: 2222\n", False),
        ("14:05:06  Sealed: 2222\n14:05:07  Note: x\n", False),
        ("", False),
    ],
)
def test_only_the_last_line_tells_of_a_seal(text: str, expected: bool) -> None:
    """A note with the words of a seal is no seal."""
    assert expected is is_told_as_sealed(text)
