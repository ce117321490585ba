"""Practice: what is hidden, what is shown, what is told at the end."""

import pytest

from assistant.bench.errors import BenchError
from assistant.bench.ground import Ground, lay_ground
from assistant.bench.practice import Coach, ShownEars, hide_fault, least_expected
from assistant.bench.technician import BenchEars, Technician
from assistant.bench.walking import Case, make_technician
from assistant.flow.library import open_flow
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Sound
from assistant.walk.walk import Walk


@pytest.fixture(scope="module")
def ground() -> Ground:
    """Give the shipped flow on the shipped units."""
    return lay_ground(open_flow("blower-psc"))


class Lines:
    """Ears that hear given lines."""

    def __init__(self, *lines: str) -> None:
        self._lines = list(lines)

    def listen(self, expectation: Expectation) -> Sound:
        """Give the next line."""
        del expectation
        return Heard(self._lines.pop(0)) if self._lines else HungUp()

    def close(self) -> None:
        """Take no further line."""


def _practise(ground: Ground, case: Case, *lines: str) -> tuple[list[str], Coach]:
    """Walk with typed lines; the bench answers where they end."""
    walk = Walk(ground.flow)
    technician = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
    shown: list[str] = []
    result = walk.begin()
    states = [result.state]
    ears = ShownEars(Lines(*lines), technician, lambda: states[-1], shown.append)
    coach = Coach(ground, case, ears)
    coach.watch(result.events)
    for _ in lines:
        sound = ears.listen(walk.expectation(states[-1]))
        assert isinstance(sound, Heard)
        result = walk.hear(states[-1], sound)
        coach.watch(result.events)
        states.append(result.state)
    assert isinstance(ears.listen(walk.expectation(states[-1])), HungUp)
    return shown, coach


def test_the_same_seed_hides_the_same(ground: Ground) -> None:
    """A seed is a unit, a fault and a complaint; seeds differ, and a named fault is kept."""
    assert hide_fault(ground, 5) == hide_fault(ground, 5)
    assert len({hide_fault(ground, seed).fault for seed in range(60)}) > 15
    for seed in range(20):
        case = hide_fault(ground, seed, "dual_swapped")
        assert ("one_tap_208", "dual_swapped") == (case.unit, case.fault)
    with pytest.raises(BenchError) as caught:
        hide_fault(ground, 1, "capacitor_week")
    assert "capacitor_weak" in caught.value.hint


def test_what_is_shown(ground: Ground) -> None:
    """The plate is read out, eyes and meter are told of, once a turn however often it is asked."""
    shown, coach = _practise(
        ground,
        Case("t_230", "capacitor_weak", "slow"),
        *("no gas", "nothing of that", "i am qualified", "what was that", "slow"),
        *("nothing yet", "none of these", "on the floor", "two thirty"),
    )
    assert "You find what the blower does: it runs slow." in shown
    assert "It says 230 V." in shown
    assert len(set(shown)) == len(shown)
    assert coach.misjudged == []
    assert ["licensed_work"] == coach.hesitated
    text = "\n".join(coach.summary())
    assert "Cautions missed: licensed_work, lockout." in text
    assert "Found: nothing. It stays hidden." in text


def test_what_is_misjudged(ground: Ground) -> None:
    """A complaint or a rating that is not what was shown is named with both."""
    _, coach = _practise(
        ground,
        Case("t_230", "capacitor_weak", "slow"),
        *("no gas", "i am qualified", "it hums", "nothing yet", "none of these"),
        *("on the floor", "two forty"),
    )
    assert [("complaint", "slow", "it hums"), ("plate_volts/unit_volts", "230 V", "240 volt")] == [
        (one.step, one.shown, one.said) for one in coach.misjudged
    ]
    assert "Readings misjudged: 2." in coach.summary()


def test_the_bench_walks_it_without_a_slip(ground: Ground) -> None:
    """Answered by the bench: it is found, nothing missed, as short as without a detour."""
    case = Case("t_230", "capacitor_weak", "slow")
    walk = Walk(ground.flow)
    technician = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
    coach = Coach(ground, case, None)
    result = walk.begin()
    states = [result.state]
    ears = BenchEars(technician, lambda: states[-1])
    coach.watch(result.events)
    while not states[-1].is_over:
        result = walk.hear(states[-1], ears.listen(walk.expectation(states[-1])))
        coach.watch(result.events)
        states.append(result.state)
    told = list(coach.summary())
    assert "It was: run capacitor weak, on t_230." == told[0]
    assert "Found: Run capacitor. That is it." in told
    assert {"Cautions missed: none.", "Readings misjudged: none."} <= set(told)
    steps = next(line for line in told if line.startswith("Steps"))
    own, _, best = steps.partition("; without a detour ")
    assert own.split()[1].rstrip(",") == best.split()[0]


def test_least_expected(ground: Ground) -> None:
    """The best order for a complaint is quicker than the flow's own walk of its rarest fault."""
    least = least_expected(ground, Case("t_230", "rotor_bars", "slow"))
    assert 5 < least < 12


def test_the_bench_does_not_lend_its_hands_twice(ground: Ground) -> None:
    """Looking again at a turn changes nothing: no time goes by, no second repair."""
    case = Case("t_115", "overload_tripped", "dead")
    technician: Technician = make_technician(
        ground.flow, ground.units["t_115"], case, ground.catalogue
    )
    state = Walk(ground.flow).begin().state
    ears = ShownEars(Lines("a", "b"), technician, lambda: state, lambda _: None)
    before = technician.rig.minutes_off
    for _ in range(2):
        ears.listen(Expectation())
    assert before == technician.rig.minutes_off
