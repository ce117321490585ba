"""What is really painted: contrast of every cell in every theme, no colour where none is wanted.

Outside: the ratios are WCAG 2.1's (see `assistant/screens/contrast.py`).
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.style import Style
from screen_driver import SIZES, TO_CAN, Seat, kettle_errand, run_walk
from textual.color import Color

from assistant.screens.contrast import MARK_RATIO, TEXT_RATIO, contrast
from assistant.screens.look import PALETTES

BARS = frozenset("▁▂▃▄▅▆▇█▏▎▍▌▋▊▉")
"""What a scrollbar is drawn with: its edge against its own track is no text."""


def painted(seat: Seat) -> Iterator[tuple[str, Style]]:
    """Give every run of visible text with its style."""
    for strip in seat.app.screen._compositor.render_strips():
        for segment in strip:
            if segment.text.strip() and segment.style is not None:
                yield segment.text.strip(), segment.style


def ratio(style: Style) -> float:
    """Give the contrast of a style's text with what is behind it."""
    assert style.color is not None
    assert style.bgcolor is not None
    front, behind = (Color.from_rich_color(one).hex6 for one in (style.color, style.bgcolor))
    return contrast(front, behind)


async def all_states(seat: Seat) -> list[tuple[str, Style]]:
    """Go through a step, a caution, a verdict, a hold and the question whether to leave."""
    seen: list[tuple[str, Style]] = []
    await seat.begun()
    for line in (*TO_CAN, "six point two", "yes", "fourteen", "yes", "hold"):
        await seat.answer(line)
        seen += painted(seat)
    await seat.press("tab")
    seen += painted(seat)
    await seat.press("tab")
    seen += painted(seat)
    await seat.press("ctrl+q")
    seen += painted(seat)
    return seen


@pytest.mark.parametrize("theme", PALETTES)
def test_every_painted_word_holds_its_contrast(tmp_path: Path, theme: str) -> None:
    """Letters and digits 7:1, drawn marks 3:1, in every state of the screen."""
    seen: list[tuple[str, Style]] = []

    async def script(seat: Seat) -> None:
        seen.extend(await all_states(seat))

    run_walk(kettle_errand(tmp_path), script, theme=theme)
    weak = {
        (text, round(ratio(style), 1))
        for text, style in seen
        if not set(text) <= BARS
        and ratio(style) < (TEXT_RATIO if any(c.isalnum() for c in text) else MARK_RATIO)
    }
    assert weak == set()


@pytest.mark.parametrize("value", ["1", "yes"])
def test_no_colour_is_painted_where_none_is_wanted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, value: str
) -> None:
    """With NO_COLOR not a cell has one, and the caution's block is told by being reversed."""
    monkeypatch.setenv("NO_COLOR", value)
    seen: list[tuple[str, Style]] = []

    async def script(seat: Seat) -> None:
        seen.extend(await all_states(seat))

    run_walk(kettle_errand(tmp_path), script)
    assert [] == [text for text, style in seen if style.color or style.bgcolor]
    assert any("CAUTION: answer" in text and style.reverse for text, style in seen)
    assert any("FAILS" in text and style.reverse for text, style in seen)


def test_an_empty_variable_leaves_the_colours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rule: present and not empty."""
    monkeypatch.setenv("NO_COLOR", "")
    seen: list[tuple[str, Style]] = []

    async def script(seat: Seat) -> None:
        await seat.begun()
        seen.extend(painted(seat))

    run_walk(kettle_errand(tmp_path), script)
    assert all(style.color for _, style in seen)


@pytest.mark.parametrize("size", SIZES)
def test_the_meaning_does_not_rest_on_colour(tmp_path: Path, size: tuple[int, int]) -> None:
    """The visible words alone, without any style, name the caution and the verdict."""

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_CAN, "six point two", "yes")
        assert "can reading 6.2 µF FAILS" in seat.flat
        await seat.answer("scratch that", "hold")
        assert "ON HOLD" in seat.flat

    run_walk(kettle_errand(tmp_path), script, size)


def test_nothing_moves_where_that_is_asked_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the setting or by TEXTUAL_ANIMATIONS: no animation, and the cursor does not blink."""
    from textual.widgets import Input

    from assistant.screens.app import RungsideApp
    from assistant.screens.walking.screen import WalkScreen

    async def script(seat: Seat) -> None:
        await seat.begun()
        assert seat.app.animation_level == "none"
        assert not seat.walk.query_one("#answer", Input).cursor_blink

    from screen_driver import run_app

    run_app(RungsideApp(WalkScreen(kettle_errand(tmp_path / "a")), is_still=True), script)
    monkeypatch.setattr("textual.constants.TEXTUAL_ANIMATIONS", "none")
    run_app(RungsideApp(WalkScreen(kettle_errand(tmp_path / "b"))), script)
