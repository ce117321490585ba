"""What a drawing shows: every step once and in order, its arrows, its guards, the power."""

import pytest
from drawing_tools import DRAWN, KETTLE, flow_of, outline_of

from assistant.checks.drawing_words import outcome_words
from assistant.checks.owners import owners
from assistant.checks.power import Power, mark_of
from assistant.checks.strands import COLUMNS, lay_strands
from assistant.flow.model import SpokenStep

STATES = {
    "look": "power: not proven",
    "safe/lock": "power: not proven",
    "safe/test": "power: not proven, live test agreed",
    "safe>alive": "power: not proven, live test agreed",
    "safe/bled": "power: off, not bled",
    "safe>dead": "power: off, bled",
    "can": "power: off, bled",
    "live/clear": "power: off, bled",
    "live>live": "power: on, live test agreed",
    "volts": "power: on, live test agreed",
}
"""Worked out by hand from what the steps of the small flow leave true."""


@pytest.mark.parametrize("name", DRAWN)
def test_every_step_is_drawn_once_with_all_its_arrows(name: str) -> None:
    """No step, no outcome and no target of a flow is missing, and none is made up."""
    flow, outline = flow_of(name), outline_of(name)
    assert set(flow.steps) == set(outline.nodes)
    drawn = [
        (node.id, outcome, way.target)
        for node in outline.nodes.values()
        for way in node.exits
        for outcome in way.outcomes
    ]
    assert sorted(flow.arrows()) == sorted(drawn)


@pytest.mark.parametrize("name", DRAWN)
def test_strands_hold_every_step_once(name: str) -> None:
    """Strands are a partition of the steps; none is wider than the page allows."""
    strands = lay_strands(flow_of(name))
    placed = [spot.step for strand in strands for spot in strand.spots]
    assert len(placed) == len(set(placed))
    assert set(flow_of(name).steps) == set(placed)
    assert max(spot.column for strand in strands for spot in strand.spots) < COLUMNS


@pytest.mark.parametrize("name", DRAWN)
def test_numbers_count_in_walking_order_and_includes_stay_together(name: str) -> None:
    """Steps are numbered from 1 as they stand; an include's steps follow the step that goes in."""
    outline = outline_of(name)
    numbers = [node.number for node in outline.nodes.values()]
    assert list(range(1, len(numbers) + 1)) == numbers
    for group in outline.groups:
        inside = [n.number for n in outline.nodes.values() if f"{n.group}/".startswith(f"{group}/")]
        first = outline.nodes[group].number + 1
        assert list(range(first, first + len(inside))) == sorted(inside)


def test_the_first_number_is_the_start() -> None:
    """A walk begins at number 1."""
    assert 1 == outline_of(str(KETTLE)).nodes[flow_of(str(KETTLE)).start].number


def test_power_is_told_as_it_is_on_every_path() -> None:
    """The state at each step is the one that a person finds by following the flow by hand."""
    nodes = outline_of(str(KETTLE)).nodes
    assert STATES == {name: nodes[name].power.words for name in STATES}


@pytest.mark.parametrize(
    ("states", "power", "words"),
    [
        ([("off", "bled")], Power.OFF, "power: off, bled"),
        ([("off", "charged")], Power.OFF, "power: off, not bled"),
        ([("off", "bled"), ("off", "charged")], Power.OFF, "power: off, bled on some ways"),
        ([("on", "charged")], Power.ON, "power: on"),
        ([("unknown", "charged")], Power.UNPROVEN, "power: not proven"),
        (
            [("unknown", "charged"), ("off", "bled")],
            Power.MIXED,
            "power: not proven or off, by the way taken",
        ),
        ([], Power.UNREACHED, "power: no path comes here"),
    ],
)
def test_power_over_several_paths(states: list[tuple[str, str]], power: Power, words: str) -> None:
    """One path on which it is otherwise is enough to say so; nothing is called off for most."""
    given = [
        (("capacitor", bled), ("live_work", "not_agreed"), ("power", is_on))
        for is_on, bled in states
    ]
    assert (power, words) == (mark_of(given).power, mark_of(given).words)


def test_owners_are_what_every_way_leads_through() -> None:
    """In a diamond with a tail, the join belongs to the fork and to neither side of it."""
    ways = {"a": "bc", "b": "d", "c": "d", "d": "e", "e": "d", "lost": "a"}
    found = owners(ways, "a")
    assert {"a", "d"} == found["d"]
    assert {"a", "d", "e"} == found["e"]
    assert "lost" not in found


def test_outcomes_read_as_words() -> None:
    """An outcome is told in the words that are said, or in plain ones; never by its key."""
    steps = flow_of(str(KETTLE)).steps
    table = {
        ("look", "choice.dead_still"): "it is dead",
        ("look", "skipped"): "skipped",
        ("can", "rule0.near_zero"): "about zero",
        ("high", "rule1.out_of_order"): "check 2: out of order",
        ("high", "next"): "passes",
        ("rating", "next"): "any number",
        ("gap", "unknown"): "a value is missing",
        ("which", "case0"): "look is runs",
        ("which", "otherwise"): "otherwise",
        ("safe", "next"): "go in",
        ("safe>dead", "next"): "go on",
    }
    assert table == {key: outcome_words(steps[key[0]], key[1]) for key in table}


@pytest.mark.parametrize("name", DRAWN)
def test_cautions_holds_and_findings_are_the_flows_own(name: str) -> None:
    """What guards a step and what it finds is drawn from the step, in its order."""
    flow, outline = flow_of(name), outline_of(name)
    for step_id, step in flow.steps.items():
        node = outline.nodes[step_id]
        cautions = step.cautions if isinstance(step, SpokenStep) else ()
        assert cautions == node.cautions
        assert getattr(step, "hold", False) == node.is_hold
        finding = getattr(step, "finding", None)
        assert finding == (node.finding.id if node.finding else None)


@pytest.mark.parametrize("name", DRAWN)
def test_a_side_branch_is_reached_only_past_the_step_it_stands_beside(name: str) -> None:
    """With that step taken away no way leads to the branch; findings alone may be shared."""
    flow = flow_of(name)
    onward: dict[str, list[str]] = {}
    for step, _, target in flow.arrows():
        onward.setdefault(step, []).append(target)
    for strand in lay_strands(flow):
        for spot in strand.spots:
            if not spot.beside or outline_of(name).nodes[spot.step].finding is not None:
                continue
            seen, ahead = {spot.beside}, [flow.start]
            while ahead:
                step = ahead.pop()
                if step not in seen:
                    seen.add(step)
                    ahead.extend(onward.get(step, ()))
            assert spot.step not in seen
