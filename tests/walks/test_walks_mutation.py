"""The golden conversations of a flow find out what is changed in it, and take each of its ways."""

import random

import pytest
from conversation import flows, stage
from killing import KILLED, REFUSED, Court, judged, score
from mutants import mutants
from ways import impossible, taken, wanted

SAMPLE = 150
LEAST = 0.95
PROMISED = {"limit", "comparison", "target", "range", "mapping"}
"""The kinds of change that no conversation may overlook; needs, and the clauses of decisions that
earlier steps imply, are counted by the script alone."""


@pytest.mark.parametrize("flow", flows())
def test_changed_flow_is_found_out(flow: str) -> None:
    """Of changed limits, comparisons and targets, drawn at random, 95 % make a conversation fail.

    The whole score is printed by `tests/benchmarks/mutation.py`.
    """
    known = [one for one in mutants(stage(flow).walk.flow) if one.kind in PROMISED]
    chance = random.Random(7)  # noqa: S311 - no secret
    drawn = chance.sample(known, min(SAMPLE, len(known)))
    results = judged(Court(stage(flow)), drawn)
    alive = [f"{one.place}: {one.what}" for one, how in results if how not in {KILLED, REFUSED}]
    assert score(results) >= LEAST, "\n".join(alive)


@pytest.mark.parametrize("flow", flows())
def test_every_way_is_taken(flow: str) -> None:
    """Every exit and caution of every step is in some conversation, or argued to be impossible."""
    known = stage(flow)
    own = known.walk.flow
    ways = {
        way
        for one in known.conversations
        for played in known.play(one)
        for way in taken(own, played.result.events)
    }
    argued = impossible(flow)
    assert sorted(argued.keys() - wanted(own)) == [], "argued about, but not in the flow"
    assert sorted(argued.keys() & ways) == [], "argued to be impossible, but taken"
    assert sorted(wanted(own) - ways - argued.keys()) == [], "not taken"
