"""A walk goes on after a break: nothing is believed of the unit that nobody watched meanwhile."""

import random
from collections.abc import Iterator

import pytest
from conversation import flows, stage

from assistant.bench.ground import lay_ground
from assistant.bench.practice import hide_fault
from assistant.bench.walking import make_technician
from assistant.flow.conditions import UNSURE, unmet
from assistant.flow.library import open_flow
from assistant.flow.model import SpokenStep
from assistant.walk.ends import Heard
from assistant.walk.events import CautionGiven
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk

MOST_TURNS = 900

CASES = (
    ("blower-psc", "capacitor_weak"),
    ("blower-psc", "main_open"),
    ("blower-psc", "wheel_dirty"),
    ("compressor-windings", "comp_grounded"),
    ("condenser-fan", "fan_cap_open"),
    ("control-24v", "relay_coil_open"),
)
"""A flow and a fault that it covers."""


def places(flow: str) -> Iterator[State]:
    """Give each place of a flow's conversations that has its own step, turn and conditions."""
    seen = set()
    for name in stage(flow).conversations:
        for state in stage(flow).line(name):
            place = (state.step, state.turn, tuple(sorted(state.conditions.items())))
            if place not in seen and not state.is_over:
                seen.add(place)
                yield state


@pytest.mark.parametrize("flow", flows())
def test_no_proof_outlives_a_break(flow: str) -> None:
    """At every place: proofs are gone, hands are unsure, what a step needs is had before it asks.

    The values, findings and answers that were taken stand.
    """
    walk = stage(flow).walk
    words = walk.flow.vocabulary.conditions
    count = 0
    for state in places(flow):
        again = walk.go_on(state).state
        for name, value in again.conditions.items():
            expected = words[name].first if words[name].by == "proof" else UNSURE
            assert (name, expected) == (name, value)
        assert again.outcome is None, (state.step, state.conditions)
        kept = (state.values, state.findings, state.answers, state.answer)
        assert kept == (again.values, again.findings, again.answers, again.answer)
        assert (None, None, False) == (again.pending, again.interrupted, again.is_held)
        step = walk.flow.steps[again.step]
        assert isinstance(step, SpokenStep)
        if again.turn is Turn.ANSWER:
            assert {} == unmet(step, again.conditions), again.step
        count += 1
    assert count >= 2


@pytest.mark.parametrize("flow", flows())
def test_cautions_of_a_step_are_said_again(flow: str) -> None:
    """A step with cautions begins with the first of them, though they were answered before."""
    walk = stage(flow).walk
    for state in places(flow):
        result = walk.go_on(state)
        step = walk.flow.steps[result.state.step]
        if isinstance(step, SpokenStep) and step.cautions:
            given = [event for event in result.events if isinstance(event, CautionGiven)]
            assert [step.cautions[0]] == [event.caution for event in given]
            assert Turn.CAUTION is result.state.turn


def test_half_a_proof_is_none() -> None:
    """Broken off between lockout and the dead test, all of it is asked again from its first step.

    The walk stood behind the hold point that locks; going on there would prove a unit dead that
    nobody holds off.
    """
    walk = stage("blower-psc").walk
    inside = [state for state in places("blower-psc") if state.step.startswith("safe/")]
    assert {"safe/try_start", "safe/dead_line1"} <= {state.step for state in inside}
    assert {"safe/sources"} == {walk.go_on(state).state.step for state in inside}


def walk_with_breaks(flow: str, fault: str, breaks: frozenset[int]) -> tuple[str, tuple[str, ...]]:
    """Walk a simulated unit, broken off after some turns; give the outcome and the findings."""
    ground = lay_ground(open_flow(flow), ())
    case = hide_fault(ground, 5, fault)
    bench = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
    walk = Walk(ground.flow)
    state = walk.begin().state
    for turn in range(MOST_TURNS):
        if state.is_over:
            return str(state.outcome), state.findings
        if turn in breaks:
            state = walk.go_on(state).state
        state = walk.hear(state, Heard(bench.answer(state), source="bench")).state
    raise AssertionError(f"stuck at {state.step}")


@pytest.mark.parametrize("number", range(12))
def test_a_broken_walk_finds_the_same(number: int) -> None:
    """Broken off at one to three places, a walk is longer and finds what it would have found."""
    chance = random.Random(number)  # noqa: S311  a test's own chance, the same each time
    flow, fault = chance.choice(CASES)
    whole = walk_with_breaks(flow, fault, frozenset())
    breaks = frozenset(chance.sample(range(1, 40), chance.randint(1, 3)))
    assert whole == walk_with_breaks(flow, fault, breaks)
