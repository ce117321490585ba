"""Misheard readings: what is asked back does no harm, and what would do harm is seen."""

import pytest

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.robustness import Misheard, Slip
from assistant.bench.running import Runner
from assistant.bench.walking import Case
from assistant.flow.library import open_flow
from assistant.walk import answering

WEAK = [Case("t_230", "capacitor_weak", "slow"), Case("t_230", "low_volts", "slow")]


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the shipped flow on the shipped units."""
    return lay_ground(open_flow("blower-psc"))


def test_no_slip_is_believed(ground: Ground) -> None:
    """Each reading is misheard as each neighbour: all counted, most asked back, none ends wrong."""
    misheard = Runner(ground).study(WEAK).misheard
    assert misheard.tried > 50
    assert misheard.tried == misheard.asked_back + misheard.harmless
    assert misheard.asked_back > 0.9 * misheard.tried
    assert misheard.slips == ()


def test_a_walk_that_believes_everything_is_found_out(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the doubts of the walk taken out, slips are found: the measure can fail."""
    monkeypatch.setattr(answering, "flipping_neighbours", lambda *_: ())
    misheard = Runner(ground).study(WEAK).misheard
    assert misheard.slips
    slip = misheard.slips[0]
    assert slip.shown != slip.heard
    assert slip.unit == "t_230"


def test_sums_keep_each_slip_once() -> None:
    """Two counts together add up; the same slip is told once."""
    slip = Slip("t_230", "low_volts", "line_idle", "200 V", "240 V", ("capacitor_weak",))
    one, two = Misheard(3, 1, 1, (slip,)), Misheard(2, 1, 0, (slip,))
    assert Misheard(5, 2, 1, (slip,)) == one + two
