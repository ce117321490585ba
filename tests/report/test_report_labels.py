"""Words for values, times and texts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_accounts import a_value

from assistant.report.labels import duration_words, moment_words, place_words, shown_value
from assistant.report.plain_text import make_harmless, shorten


@pytest.mark.parametrize(
    ("changes", "shown"),
    [
        ({"value": "17.50"}, "17.50 Ω"),
        ({"value": "", "over_limit": True}, "OL"),
        ({"value": "123456789"}, "123.456789 MΩ"),
        ({"value": "17.6833333333333", "origin": "worked_out"}, "about 17.68 Ω"),
        ({"value": "1234567.8", "origin": "worked_out"}, "about 1.235 MΩ"),
        ({"value": "0.00123456789", "origin": "worked_out"}, "about 0.001235 Ω"),
        ({"value": "17.6833", "origin": "worked_out"}, "17.6833 Ω"),
        ({"value": "-0.12", "unit": "in_wc"}, "\u22120.12 in. w.c."),
        ({"value": "5", "unit": "new_unit"}, "5 new unit"),
        ({"value": "x"}, "x ohm"),
        ({"value": "NaN"}, "NaN ohm"),
    ],
)
def test_a_value_is_shown_as_it_was_said(changes: dict[str, object], shown: str) -> None:
    """Measured digits are kept to the last; only a formula's tail is cut, and said to be."""
    assert shown == shown_value(a_value(**changes))


@pytest.mark.parametrize(
    ("places", "words"),
    [
        (("resistance", "common", "tap_low"), "resistance, common to tap low"),
        (("current", "line_lead", ""), "current, line lead"),
        (("", "", ""), ""),
    ],
)
def test_a_place_is_told_in_words(places: tuple[str, str, str], words: str) -> None:
    """What was measured and where, as far as the record says."""
    assert words == place_words(a_value(places=places))


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.4, "0 s"),
        (59.4, "59 s"),
        (59.6, "1 min 0 s"),
        (125, "2 min 5 s"),
        (3600, "1 h 0 min 0 s"),
    ],
)
def test_a_duration_is_told_in_words(seconds: float, words: str) -> None:
    """A duration is rounded to seconds before it is cut into minutes."""
    assert words == duration_words(seconds)


def test_a_moment_says_its_zone() -> None:
    """A time has its date and says that it is UTC; what is no time stays as it is."""
    assert moment_words("2026-02-03T14:05:06.789Z") == "2026-02-03 14:05:06 UTC"
    assert moment_words("") == ""


@pytest.mark.parametrize(
    ("text", "harmless"),
    [
        ("RTU 3", "RTU 3"),
        ("a\nb", "a / b"),
        (" a \r\n\r\n b\t", "a / b"),
        ("a\u2028b", "a / b"),
        ("\x1b[31m", "\\u001b[31m"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u200bb", "a\\u200bb"),
        ("\ud800", "\\ud800"),
        ("\u05e9\u05dc", "\u2068\u05e9\u05dc\u2069"),
        ("👩‍🔧 é", "👩‍🔧 é"),
    ],
)
def test_a_text_is_made_harmless(text: str, harmless: str) -> None:
    """Unseen marks become escapes, right-to-left words are isolated, all else stays."""
    assert harmless == make_harmless(text)


@given(st.text())
def test_a_harmless_text_is_one_line_that_can_be_written(text: str) -> None:
    """Any text becomes one line of UTF-8."""
    harmless = make_harmless(text)
    assert len(harmless.splitlines()) <= 1
    assert harmless == harmless.encode().decode()


@given(st.text(), st.integers(3, 40))
def test_a_short_text_is_short(text: str, length: int) -> None:
    """A cut text is no longer than asked, and one that fits is not touched."""
    line = make_harmless(text)
    short = shorten(line, length)
    assert len(short) <= length
    assert line == short or "…" in short
    assert short.count("\u2068") == short.count("\u2069")
