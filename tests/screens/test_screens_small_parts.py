"""Captions, keys and leads: what is drawn of them, and that nothing of it is lost."""

from importlib import import_module
from pkgutil import walk_packages

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.binding import Binding
from textual.screen import Screen

import assistant.screens
from assistant.screens.widgets.captions import caption_pages
from assistant.screens.widgets.key_line import key_rows
from assistant.screens.widgets.leads import Leads, Spot, draw_leads
from assistant.screens.words import KeyHint, counted, either_case, spaced

COMMON, HIGH, LOW = (Spot(n, n, "motor_lead") for n in ("common", "high", "low"))
FRAME = Spot("frame", "frame", "frame")


@given(st.text(alphabet="ab \n.é-", max_size=300))
def test_a_caption_page_has_two_lines_of_37_and_loses_nothing(text: str) -> None:
    """However long, page by page it is the same words."""
    pages = caption_pages(text)
    lines = [line for page in pages for line in page.split("\n")]
    assert all(page.count("\n") <= 1 for page in pages)
    assert all(len(line) <= 37 for line in lines)
    assert "".join(text.split()) == "".join("".join(lines).split())


@pytest.mark.parametrize("columns", [20, 50, 80, 200])
def test_all_keys_are_listed_on_lines_that_fit(columns: int) -> None:
    """No key is cut or left out at any width that holds the longest."""
    hints = [KeyHint(f"F{number}", "scratch that") for number in range(1, 13)]
    rows = key_rows(hints, columns)
    assert hints == [hint for row in rows for hint in row]
    for row in rows:
        assert len("  ".join(f"{hint.key} {hint.words}" for hint in row)) <= columns


def test_a_hint_that_just_fits_stays_on_its_line() -> None:
    """At the very width the second hint fits, one cell less breaks the line."""
    hints = [KeyHint("F1", "help"), KeyHint("F2", "hold")]
    assert len(key_rows(hints, 16)) == 1
    assert len(key_rows(hints, 15)) == 2


def test_the_two_places_are_marked_in_drawing_and_words() -> None:
    """Each lead is a branch; the two are (1) and (2); the words name both."""
    leads = Leads((COMMON, HIGH, LOW), COMMON, LOW)
    assert draw_leads(leads) == (
        "MOTOR LEADS",
        " ├─(1)─ common",
        " ├───── high",
        " └─(2)─ low",
    )
    assert leads.words == "Probe 1: common. Probe 2: low."


def test_two_parts_are_drawn_apart_and_one_place_is_named_alone() -> None:
    """A lead to the frame shows both parts; a single place is no pair of probes."""
    assert draw_leads(Leads((COMMON, FRAME), COMMON, FRAME)) == (
        "MOTOR LEADS",
        " └─(1)─ common",
        "MOTOR FRAME",
        " └─(2)─ frame",
    )
    assert Leads((FRAME,), FRAME).words == "Place: frame."


def test_a_part_with_many_places_shows_the_two_only() -> None:
    """More than nine rows of branches would fill the screen."""
    many = tuple(Spot(f"r{n}", f"place {n}", "control") for n in range(10))
    assert len(draw_leads(Leads(many, many[0], many[9]))) == 3
    assert len(draw_leads(Leads(many[:9], many[0], many[8]))) == 10
    assert len(draw_leads(Leads((COMMON, HIGH, LOW), COMMON, LOW), is_short=True)) == 3


def test_a_long_name_runs_on_in_the_next_line() -> None:
    """Nothing is cut, and no line is longer than its room."""
    fuse, call = (Spot(n, n, "control") for n in ("the far side of the control fuse", "the call"))
    assert draw_leads(Leads((fuse, call), fuse, call), 20) == (
        "CONTROL",
        " ├─(1)─ the far side",
        " │      of the",
        " │      control fuse",
        " └─(2)─ the call",
    )


def test_names_and_counts_as_words() -> None:
    """`safe/cap_reading` is "cap reading"; one turn, two turns, two boxes."""
    assert spaced("safe/cap_reading") == "cap reading"
    assert [counted(1, "turn"), counted(2, "turn"), counted(2, "box", "boxes")] == [
        "1 turn",
        "2 turns",
        "2 boxes",
    ]


def test_letters_are_bound_in_either_case() -> None:
    """Caps Lock or Shift takes no key away: each screen's letters do the same as capitals."""
    for module in walk_packages(assistant.screens.__path__, "assistant.screens."):
        import_module(module.name)
    lettered = 0
    for screen in every_screen(Screen):
        bound = [one for one in screen.BINDINGS if isinstance(one, Binding)]
        actions = {key: one.action for one in bound for key in one.key.split(",")}
        for key, action in actions.items():
            if len(key) == 1 and key.islower():
                lettered += 1
                assert action == actions.get(key.upper()) == actions.get(f"shift+{key}")
    assert lettered


def every_screen(kind: type[Screen[object]]) -> list[type[Screen[object]]]:
    """Give every kind of screen of the package."""
    below = [one for child in kind.__subclasses__() for one in every_screen(child)]
    return [one for one in [kind, *below] if one.__module__.startswith("assistant.")]


def test_only_letters_get_a_second_case() -> None:
    """A named key and a digit are bound as they are."""
    assert "escape,q,Q,shift+q" == either_case("escape,q")
    assert "1,f2" == either_case("1,f2")
