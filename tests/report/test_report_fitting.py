"""Texts in pictures: broken at words, never wider than they may be, nothing lost unseen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.report.fitting import width_of, wrap
from assistant.report.plain_text import make_harmless

ADVANCES = {
    **{318: " ,.", 401: "!", 460: '"', 838: "#+<=>^~", 637: "$0123456789{}", 951: "%"},
    **{780: "&", 275: "'", 391: "()[]", 500: "*_`", 361: "-", 337: "/:;\\|", 531: "?"},
    **{1000: "@", 685: "AV", 687: "B", 699: "C", 771: "D", 632: "E", 576: "F", 775: "G"},
    **{752: "H", 295: "IJ", 656: "K", 558: "L", 863: "M", 749: "N", 788: "OQ", 604: "P"},
    **{695: "R", 635: "Sbdgpq", 611: "TY", 732: "U", 989: "W", 686: "XZ", 613: "a"},
    **{550: "c", 616: "e", 353: "f", 634: "hnu", 278: "ijl", 580: "k", 975: "m", 612: "o"},
    **{412: "r", 521: "s", 393: "t", 592: "vxy", 818: "w", 525: "z"},
}
"""Widths of DejaVu Sans in thousandths of its size, as Chromium measured them on a canvas."""


def test_no_mark_is_wider_than_estimated() -> None:
    """Every ASCII mark of the wider of the two fonts fits into its estimate."""
    assert 95 == sum(map(len, ADVANCES.values()))
    for advance, marks in ADVANCES.items():
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
