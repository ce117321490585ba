"""A key press shows within 100 ms, in a long walk too; in processor time, the median of many."""

import statistics
import time
from pathlib import Path

from screen_driver import TO_CAN, Seat, kettle_errand, run_walk
from textual.widgets import Input

KEY_SECONDS = 0.1
TURN_SECONDS = 0.25
TURNS = 60


def test_keys_and_turns_show_at_once(tmp_path: Path) -> None:
    """A letter: 0.1 s. A whole turn (walked, written, laid out, painted): 0.25 s."""
    keys: list[float] = []
    turns: list[float] = []

    async def script(seat: Seat) -> None:
        await seat.begun()
        await seat.answer(*TO_CAN)
        entry = seat.walk.query_one("#answer", Input)
        for _ in range(TURNS):
            began = time.process_time()
            await seat.pilot.press("w")
            keys.append(time.process_time() - began)
            entry.value, turn = "where am i", seat.turn
            began = time.process_time()
            await seat.pilot.press("enter")
            await seat.until(lambda turn=turn: seat.is_past(turn), "the turn")  # type: ignore[misc]
            turns.append(time.process_time() - began)

    run_walk(kettle_errand(tmp_path), script)
    assert statistics.median(keys) < KEY_SECONDS
    assert statistics.median(turns) < TURN_SECONDS
