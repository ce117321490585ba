"""A line is always the same bytes for the same event, and reads back as it was."""

import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.journal.errors import JournalError
from assistant.journal.line import NO_LINE, Line, decode, digest, encode, stamp

WHOLE = '"kind":"k","prev":"' + NO_LINE + '","schema":1,"seq":1,"time":"2026-02-03T14:05:06.789Z"}'

texts = st.text(st.characters(exclude_categories=()))  # half surrogate pairs among them
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


def a_line(data: dict[str, object]) -> Line:
    """Make a first line with such data."""
    return decode(b'{"data":' + json.dumps(data).encode() + b"," + WHOLE.encode())


def test_bytes_are_canonical() -> None:
    """Keys are sorted, nothing is spaced, and text beyond ASCII stands as it is."""
    line = Line(1, "2026-02-03T14:05:06.789Z", 1, NO_LINE, "k", {"b": "Ω שלום", "a": [1, 2.5]})
    assert ('{"data":{"a":[1,2.5],"b":"Ω שלום"},' + WHOLE).encode() == encode(line)


@given(st.dictionaries(texts, values, max_size=4))
def test_any_data_survives(data: dict[str, object]) -> None:
    """Whatever JSON can say is read back equal, on one line, as valid UTF-8, and rewrites alike."""
    line = a_line(data)
    raw = encode(line)
    assert b"\n" not in raw
    assert raw.decode("utf-8")
    assert line == decode(raw)
    assert raw == encode(decode(raw))


@pytest.mark.parametrize(
    "text",
    [
        "a\nb\r\nc\x00\x07\x1b[2J\x7f\x85\u2028\u2029",
        "👩‍🔧🏳️‍🌈",
        "\u202eשלם\u202c ال",
        "half \ud83d pair",
        "x" * 1_000_000,
        "",
    ],
)
def test_hard_text_survives(text: str) -> None:
    """Control characters, newlines, emoji, right-to-left, broken and very long text come back."""
    line = Line(1, "2026-02-03T14:05:06.789Z", 1, NO_LINE, "noted", {"text": text})
    raw = encode(line)
    assert b"\n" not in raw
    assert b"\0" not in raw
    assert text == decode(raw).data["text"]


def test_surrogates_that_make_a_pair_are_one_character() -> None:
    """Two halves side by side are written as their one character: the bytes stay canonical."""
    data = {"text": "\ud83d\ude00 and half \ud83d"}
    line = Line(1, "2026-02-03T14:05:06.789Z", 1, NO_LINE, "noted", data)
    raw = encode(line)
    assert "😀 and half \\ud83d".encode() in raw
    assert raw == encode(decode(raw))


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), b"bytes", {1, 2}, datetime.now(UTC)])
def test_what_is_no_json_is_refused(bad: object) -> None:
    """A value that JSON cannot say is an error in one sentence, not a broken line."""
    line = Line(1, "2026-02-03T14:05:06.789Z", 1, NO_LINE, "k", {"x": bad})  # type: ignore[dict-item]
    with pytest.raises(JournalError, match="The event 'k' cannot be written as JSON"):
        encode(line)


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (b"", "is not JSON"),
        (b"\xff\xfe", "is not UTF-8"),
        (b"\xef\xbb\xbf{}", "is not JSON"),
        (b"[1]", "is not a JSON object"),
        (b"[" * 100_000, "is not JSON"),
        (b"{}", "has no usable 'seq'"),
        (b'{"data":{},' + WHOLE.replace('"seq":1', '"seq":0').encode(), "has no usable 'seq'"),
        (b'{"data":{},' + WHOLE.replace('"seq":1', '"seq":true').encode(), "no usable 'seq'"),
        (b'{"data":{},' + WHOLE.replace("02-03", "02-30").encode(), "has no usable 'time'"),
        (b'{"data":{},' + WHOLE.replace("789Z", "789").encode(), "has no usable 'time'"),
        (b'{"data":{},' + WHOLE.replace("000", "00G", 1).encode(), "has no usable 'prev'"),
        (b'{"data":{},' + WHOLE.replace('"k"', '""').encode(), "has no usable 'kind'"),
        (b'{"data":[],' + WHOLE.encode(), "has no usable 'data'"),
    ],
)
def test_what_is_no_line_says_why(raw: bytes, why: str) -> None:
    """Bytes that are no line are refused with the part that is wrong."""
    with pytest.raises(ValueError, match=why):
        decode(raw)


def test_digest_is_sha_256() -> None:
    """The chain's hash is SHA-256; source: FIPS 180-4 example value for the bytes abc."""
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert expected == digest(b"abc")


def test_stamp_is_utc_with_milliseconds() -> None:
    """Any time zone is written as UTC, cut to milliseconds; no time zone is refused."""
    zone = timezone(timedelta(hours=-5))
    moment = datetime(2026, 2, 3, 9, 5, 6, 789_999, tzinfo=zone)
    assert "2026-02-03T14:05:06.789Z" == stamp(moment)
    with pytest.raises(JournalError, match="has no time zone"):
        stamp(moment.replace(tzinfo=None))


def test_line_gives_moment_and_event() -> None:
    """A line gives its time as a datetime and its event with the kind among the keys."""
    line = a_line({"x": 1})
    assert datetime(2026, 2, 3, 14, 5, 6, 789_000, tzinfo=UTC) == line.moment
    assert {"x": 1, "kind": "k"} == line.event
