"""Texts in pictures: broken at words, never wider than they may be, nothing lost unseen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.report.fitting import width_of, wrap
from assistant.report.plain_text import make_harmless

ADVANCES = [
    *((275, "'"), (278, "ijl"), (295, "IJ"), (318, " ,."), (337, "/:;\\|"), (353, "f")),
    *((361, "-"), (391, "()[]"), (393, "t"), (401, "!"), (412, "r"), (460, '"'), (500, "*_`")),
    *((521, "s"), (525, "z"), (531, "?"), (550, "c"), (558, "L"), (576, "F"), (580, "k")),
    *((592, "vxy"), (604, "P"), (611, "TY"), (612, "o"), (613, "a"), (616, "e"), (632, "E")),
    *((634, "hnu"), (635, "Sbdgpq"), (637, "$0123456789{}"), (656, "K"), (685, "AV")),
    *((686, "XZ"), (687, "B"), (695, "R"), (699, "C"), (732, "U"), (749, "N"), (752, "H")),
    *((771, "D"), (775, "G"), (780, "&"), (788, "OQ"), (818, "w"), (838, "#+<=>^~"), (863, "M")),
    *((951, "%"), (975, "m"), (989, "W"), (1000, "@")),
]
"""Widths of DejaVu Sans in thousandths of its size, as Chromium measured them on a canvas."""


def test_no_mark_is_wider_than_estimated() -> None:
    """Every ASCII mark of the wider of the two fonts fits into its estimate."""
    assert 95 == sum(len(marks) for _, marks in ADVANCES)
    for advance, marks in ADVANCES:
        for mark in marks:
            assert advance / 1000 <= width_of(mark, 1) + 0.001, mark


@pytest.mark.parametrize(
    ("text", "most", "lines"),
    [
        ("common", 2, ("common",)),
        ("second line or neutral terminal", 2, ("second line or", "neutral terminal")),
        (
            "the other end of the start relay coil, lifted",
            2,
            ("the other end of the", "start relay coil,…"),
        ),
        ("one\ntwo", 2, ("one / two",)),
        ("", 2, ("",)),
        ("x" * 40, 3, ("x" * 18, "x" * 18, "xxxx")),
        ("\u05e9\u05dc", 1, ("\u05e9\u05dc",)),
    ],
)
def test_a_text_is_broken_at_words(text: str, most: int, lines: tuple[str, ...]) -> None:
    """Lines end between words; a word longer than a line is broken; what is cut shows it."""
    assert lines == wrap(text, 148, 12, most)


@given(st.text(), st.integers(40, 300), st.integers(1, 4))
def test_no_line_is_too_wide(text: str, width: int, most: int) -> None:
    """Whatever the text, lines are few and fit; with lines enough, all marks are there."""
    lines = wrap(text, width, 12, most)
    assert 1 <= len(lines) <= most
    assert all(width_of(line, 12) <= width for line in lines)
    whole = wrap(text, width, 12, 10_000)
    bare = make_harmless(text).translate(str.maketrans("", "", "\u2066\u2067\u2068\u2069"))
    assert "".join(bare.split()) == "".join("".join(whole).split())
