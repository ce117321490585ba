"""A reading between its limits, in cells: where the mark stands, and what the words say."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.screens.widgets.band import BandFacts, draw_band

LOW, HIGH = "7.05", "7.95"


@pytest.mark.parametrize(
    ("value", "mark", "words"),
    [
        ("7.05", 11, "inside the limits"),
        ("7.5", 15, "inside the limits"),
        ("7.95", 19, "inside the limits"),
        ("7.04", 9, "below the limit of 7.05"),
        ("7.96", 21, "above the limit of 7.95"),
        ("6.16", 0, "below the limit of 7.05"),
        ("8.84", 30, "above the limit of 7.95"),
    ],
)
def test_the_mark_stands_where_the_value_lies(value: str, mark: int, words: str) -> None:
    """At the limits, just inside and just outside: the cell, and the words that say it."""
    band = draw_band(BandFacts(value, LOW, HIGH, shown=f"{value} µF"), 31)
    assert band is not None
    assert band.line[mark] == "●"
    assert band.line.count("●") == 1
    assert ("[", "]") == (band.line[10], band.line[20])
    assert f"{value} µF: {words}" == band.words


def test_the_limits_stand_at_a_third_and_two_thirds() -> None:
    """Brackets without a mark on them, their digits centred under them, no noughts behind."""
    band = draw_band(BandFacts("7.5", "7.050", "7.950"), 31)
    assert band is not None
    assert (10, 20) == (band.line.index("["), band.line.index("]"))
    assert (8, 18) == (band.labels.index("7.05"), band.labels.index("7.95"))
    assert "7.050" not in band.labels


@pytest.mark.parametrize(("value", "arrow"), [("2.9", "◀"), ("12", "▶")])
def test_a_value_off_the_line_is_an_arrow_at_its_end(value: str, arrow: str) -> None:
    """Too far off to be drawn is an arrow, never a mark at a place that is not its own."""
    band = draw_band(BandFacts(value, LOW, HIGH), 31)
    assert band is not None
    assert arrow == (band.line[0] if arrow == "◀" else band.line[-1])
    assert "●" not in band.line


@pytest.mark.parametrize(("value", "mark"), [("10", 15), ("9.99", 9), ("10.01", 21)])
def test_only_the_limit_itself_is_between_equal_ones(value: str, mark: int) -> None:
    """Where only one value is allowed it alone is in the brackets."""
    band = draw_band(BandFacts(value, "10", "10"), 31)
    assert band is not None
    assert mark == band.line.index("●")


@pytest.mark.parametrize("value", ["NaN", "sNaN", "1E+999999", "-Infinity"])
def test_a_number_that_no_meter_shows_is_not_drawn(value: str) -> None:
    """A damaged record may claim any number; it gives no drawing and no error."""
    assert draw_band(BandFacts(value, LOW, HIGH), 31) is None


def test_over_limit_is_off_the_scale() -> None:
    """OL is drawn past the end, and said."""
    band = draw_band(BandFacts("", LOW, HIGH, over_limit=True, shown="OL"), 31)
    assert band is not None
    assert band.line.endswith("▶")
    assert band.words == "OL: over limit, off the scale"


@pytest.mark.parametrize(
    ("low", "high", "value", "line"),
    [
        ("2", "", "4", "·······[══════════════"),
        ("", "2", "0", "══════════════]·······"),
    ],
)
def test_one_limit_leaves_the_other_side_open(low: str, high: str, value: str, line: str) -> None:
    """With one limit the allowed part runs to the end of the line."""
    band = draw_band(BandFacts(value, low, high), 22)
    assert band is not None
    assert sum(one != other for one, other in zip(band.line, line, strict=True)) == 1
    assert "●" in band.line
    assert band.words == "inside the limit"


@pytest.mark.parametrize(
    ("value", "low", "high"), [("7.5", "", ""), ("7.5", "x", "9"), ("", "7", "8"), ("?", "7", "8")]
)
def test_what_is_no_number_is_not_drawn(value: str, low: str, high: str) -> None:
    """No limits, or something damaged in place of digits, gives no drawing and no error."""
    assert draw_band(BandFacts(value, low, high), 31) is None


@given(
    value=st.decimals(-1000, 1000, places=2),
    low=st.decimals(-100, 100, places=2),
    width=st.decimals(0, 100, places=2),
    columns=st.integers(1, 90),
)
def test_a_drawing_never_outgrows_its_room(
    value: object, low: object, width: object, columns: int
) -> None:
    """Any value and limits: one mark or arrow, no line longer than asked for (at least 21)."""
    high = low + width  # type: ignore[operator]
    band = draw_band(BandFacts(str(value), str(low), str(high)), columns)
    assert band is not None
    assert sum(band.line.count(mark) for mark in "●◀▶") == 1
    room = band.line.index("["), band.line.index("]")
    place = next(at for at, mark in enumerate(band.line) if mark in "●◀▶")
    assert (room[0] < place < room[1]) == ("inside" in band.words)
    assert len(band.line) == max(columns, 21)
    assert len(band.labels) <= max(columns, 21)
