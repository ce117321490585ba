"""`NO_COLOR` by its rule, and what is left (https://no-color.org: present and not empty)."""

import pytest
from rich.segment import Segment
from rich.style import Style
from textual.color import Color

from assistant.screens.colourless import Colourless, is_colour_off

GROUND = "#080b10"


@pytest.mark.parametrize(
    ("environment", "expected"),
    [({}, False), ({"NO_COLOR": ""}, False), ({"NO_COLOR": "1"}, True), ({"NO_COLOR": "0"}, True)],
)
def test_the_rule_is_present_and_not_empty(environment: dict[str, str], expected: bool) -> None:
    """An empty variable does not turn colour off, any other value does."""
    assert expected is is_colour_off(environment)


def _shown(style: Style) -> Style:
    (segment,) = Colourless(GROUND).apply([Segment("x", style)], Color.parse(GROUND))
    assert segment.style is not None
    return segment.style


def test_no_colour_is_left() -> None:
    """Neither text nor ground keeps a colour; bold and underlined stay."""
    left = _shown(Style(color="#ff0000", bgcolor=GROUND, bold=True, underline=True))
    assert (None, None, True, True) == (left.color, left.bgcolor, left.bold, left.underline)
    assert not left.reverse


@pytest.mark.parametrize(("behind", "expected"), [("#ffb52e", True), ("#151b24", False)])
def test_a_block_is_turned_round(behind: str, expected: bool) -> None:
    """A ground that stands out is shown reversed; a panel that hardly does is not."""
    assert expected is _shown(Style(color="#100a00", bgcolor=behind)).reverse


def test_what_was_reversed_on_a_block_stays_apart_from_it() -> None:
    """A reversed word inside a block is turned back, so it can still be told."""
    assert not _shown(Style(color="#100a00", bgcolor="#ffb52e", reverse=True)).reverse
