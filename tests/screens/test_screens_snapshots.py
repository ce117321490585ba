"""The key screens as pictures, at the three sizes; look at a difference before taking a new one."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from screen_driver import SIZES, TO_CAN, Seat, kettle_errand
from test_start_screen import Counter, start
from textual.pilot import Pilot
from textual.widgets import Input

from assistant.screens.app import RungsideApp
from assistant.screens.walking.screen import WalkScreen


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("caution", ("it runs", "ten")),
        ("step", TO_CAN),
        ("verdict", (*TO_CAN, "six point two", "yes")),
    ],
)
def test_the_walk_looks_as_it_did(
    tmp_path: Path,
    snap_compare: Callable[..., bool],
    size: tuple[int, int],
    name: str,
    lines: tuple[str, ...],
) -> None:
    """A caution, a step with its probes, a verdict with its band."""
    del name
    app = RungsideApp(WalkScreen(kettle_errand(tmp_path)), is_still=True)

    async def before(pilot: Pilot[Any]) -> None:
        seat = Seat(app, pilot)
        await seat.begun()
        await seat.answer(*lines)
        app.screen.query_one(Input).cursor_blink = False
        await pilot.pause(0.1)

    assert snap_compare(app, terminal_size=size, run_before=before)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_start_looks_as_it_did(
    tmp_path: Path, snap_compare: Callable[..., bool], size: tuple[int, int]
) -> None:
    """The four choices."""
    assert snap_compare(start(Counter(tmp_path)), terminal_size=size)
