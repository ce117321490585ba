"""At what pace a session is replayed. Pure."""

from collections.abc import Sequence

from assistant.screens.reviewing.turns import TurnFacts

SPEEDS = (0.5, 1.0, 2.0, 5.0)
"""How many times as fast as it was; replay can also be stepped by hand."""

LONGEST_SECONDS = 10.0
"""A pause longer than this on record is replayed as this: nobody wants to wait out a lunch."""


def wait_seconds(turns: Sequence[TurnFacts], place: int, speed: float) -> float:
    """Give how long to wait before a turn is shown; nothing before the first."""
    if not 0 < place < len(turns):
        return 0.0
    return min(max(turns[place].seconds, 0.0), LONGEST_SECONDS) / speed


def is_shortened(turn: TurnFacts) -> bool:
    """Whether the pause before a turn is not replayed in full."""
    return turn.seconds > LONGEST_SECONDS


def next_speed(speed: float, steps: int) -> float:
    """Give the next speed up or down; the ends stay."""
    place = SPEEDS.index(speed) + steps
    return SPEEDS[min(max(place, 0), len(SPEEDS) - 1)]
