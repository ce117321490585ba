"""The drawing of leads: each place and reading once, brackets where they belong, all inside."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_accounts import a_value

from assistant.journal.account import TakenValue
from assistant.report.beside import PlaceName
from assistant.report.drawing import MOST_MEASUREMENTS, SIZE, WIDTH, Drawing, draw_leads
from assistant.report.fitting import width_of

NAMES = {
    "common": PlaceName("common", "motor_lead"),
    "tap_high": PlaceName("high", "motor_lead"),
    "tap_low": PlaceName("low", "motor_lead"),
    "frame": PlaceName("frame", "frame"),
    "line_1": PlaceName("first line terminal", "supply"),
    "line_2": PlaceName("second line or neutral terminal", "supply"),
    "room": PlaceName("the room", "air"),
}


def ohms(first: str, second: str, value: str = "17.5") -> TakenValue:
    """Make a resistance between two places."""
    return a_value(f"{first}_{second}", value=value, places=("resistance", first, second))


def told(drawing: Drawing) -> str:
    """Give all that is written in a drawing."""
    return " ".join(label.text for label in drawing.labels)


def test_two_places_and_a_reading() -> None:
    """Places by their names, a bracket between their rows, its number, and what it read."""
    (drawing,) = draw_leads([ohms("tap_low", "common")], NAMES)
    assert "Motor lead" == drawing.title
    assert ("low to common: resistance: 17.5 Ω, pass",) == drawing.words
    assert ["common", "low"] == [label.text for label in drawing.labels if label.is_place]
    (bracket,) = [one for one in drawing.strokes if one.x1 == one.x2]
    ends = {(bracket.x1, bracket.y1), (bracket.x2, bracket.y2)}
    assert ends <= set(drawing.dots)
    ring, named = drawing.marks
    assert bracket.x1 == ring.x
    assert bracket.y1 < ring.y < bracket.y2
    assert [1, 1] == [ring.number, named.number]


def test_one_place_has_no_bracket() -> None:
    """A current or a temperature at one place is a line to its number."""
    values = [a_value(places=("temperature", "room", ""), value="72", unit="deg_f", verdict="")]
    (drawing,) = draw_leads(values, NAMES)
    assert "Air" == drawing.title
    assert 1 == len(drawing.strokes)
    assert drawing.marks[0].y == drawing.strokes[0].y1
    assert "72 °F" in told(drawing)


def test_the_same_places_taken_again_are_one_bracket() -> None:
    """A reading taken again stands behind the first; of many only first and last are written."""
    twice = [ohms("common", "tap_low"), ohms("common", "tap_low", "18")]
    (drawing,) = draw_leads(twice, NAMES)
    assert 2 == len(drawing.marks)
    assert "17.5 Ω, pass; then 18 Ω, pass" in told(drawing)
    often = [ohms("common", "tap_low", str(number)) for number in range(15, 20)]
    assert (
        "15 Ω, pass; then 3 more; then at last 19 Ω, pass" in draw_leads(often, NAMES)[0].words[0]
    )


def test_parts_measured_against_each_other_stand_together() -> None:
    """Lead to frame joins leads and frame; the supply is another drawing."""
    values = [ohms("common", "tap_low"), ohms("line_1", "line_2"), ohms("common", "frame")]
    titles = [drawing.title for drawing in draw_leads(values, NAMES)]
    assert ["Supply", "Motor lead and frame"] == titles


def test_only_what_was_measured_at_a_place_is_drawn() -> None:
    """Labels, results of formulas and readings without a place are not drawn."""
    values = [
        a_value(origin="asked"),
        a_value(origin="worked_out"),
        a_value(places=("pressure", "", "")),
    ]
    assert () == draw_leads(values, NAMES)


def test_places_that_no_vocabulary_names() -> None:
    """A record whose flow is gone is drawn by its places' ids."""
    (drawing,) = draw_leads([ohms("coil_left", "coil_right")], {})
    assert ("Places", True) == (drawing.title, "coil left" in told(drawing))


@pytest.mark.parametrize(("number", "shares"), [(1, [1]), (4, [4]), (5, [3, 2]), (8, [4, 4])])
def test_many_measurements_are_shared_out(number: int, shares: list[int]) -> None:
    """More than fit one drawing go into several, evenly, numbered through."""
    values = [ohms(f"p{number}", f"p{number + 1}") for number in range(number)]
    drawings = draw_leads(values, {})
    assert shares == [len(drawing.words) for drawing in drawings]
    assert max(shares) <= MOST_MEASUREMENTS
    numbers = {mark.number for drawing in drawings for mark in drawing.marks}
    assert set(range(1, number + 1)) == numbers


_PLACES = st.one_of(st.sampled_from([*NAMES, ""]), st.text(max_size=60))
_VALUES = st.lists(
    st.builds(
        lambda places, value, unit: a_value(places=places, value=value, unit=unit),
        st.tuples(st.text(max_size=20), _PLACES, _PLACES),
        st.one_of(st.decimals(-999, 9999, places=2).map(str), st.text(max_size=60)),
        st.sampled_from(["ohm", "volt", "in_wc", "no such unit"]),
    ),
    max_size=14,
)


@given(_VALUES)
def test_everything_is_inside_and_apart(values: list[TakenValue]) -> None:
    """Whatever a record holds: nothing leaves the view box, no two lines of text overlap."""
    for drawing in draw_leads(values, NAMES):
        for label in drawing.labels:
            width = width_of(label.text, SIZE)
            left = label.x - width if label.is_place else label.x
            assert 0 <= left <= left + width <= WIDTH
            assert SIZE * 0.8 <= label.y <= drawing.height - 2
        for stroke in drawing.strokes:
            assert 0 < stroke.x1 <= stroke.x2 < WIDTH
            assert 0 < min(stroke.y1, stroke.y2) <= max(stroke.y1, stroke.y2) < drawing.height
        for mark in drawing.marks:
            assert 7.5 <= mark.x <= WIDTH - 7.5
            assert 7.5 <= mark.y <= drawing.height - 7.5
        for side in (True, False):
            ys = sorted(label.y for label in drawing.labels if label.is_place == side)
            assert all(second - first >= SIZE for first, second in pairwise(ys))


@given(_VALUES)
def test_every_measurement_is_told(values: list[TakenValue]) -> None:
    """Each measured value with a place is in the words of exactly one drawing."""
    lines = [words for drawing in draw_leads(values, NAMES) for words in drawing.words]
    taken = [value for value in values if value.places[1] or value.places[2]]
    kinds = {
        (value.places[0], *dict.fromkeys(place for place in value.places[1:] if place))
        for value in taken
    }
    assert len(kinds) == len(lines)
