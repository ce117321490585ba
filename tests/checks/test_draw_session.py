"""The way of a walk: what was taken back is not on it, and another edition is told."""

import pytest
from drawing_tools import AT_CAN, KETTLE, flow_of, record_of, walked

from assistant.checks.drawing import DrawingError, DrawingFormat, draw_flow
from assistant.checks.outlining import outline_flow
from assistant.checks.trail import follow_trail
from assistant.journal.problem import Fault, Problem
from assistant.journal.reading import Record
from assistant.walk.events import AnyEvent, Began, Ended, Found, Moved, Scratched, Skipped

BEGAN = Began(flow="kettle", title="Kettle", edition="2", digest="0")


def test_what_was_taken_back_is_not_on_the_way() -> None:
    """After 'scratch that' the way goes on from where it was, and one answer is told taken back."""
    trail = follow_trail(walked("it is dead", "scratch that", "it runs"))
    assert ("look", "rating") == trail.visits
    assert (1, ()) == (trail.scratched, trail.findings)


def test_a_skipped_step_and_a_finding_are_marked() -> None:
    """Skips, findings, and the place where it stopped are words at their steps."""
    trail = follow_trail(walked("skip it", "cannot reach it", "not printed", "stop", "yes"))
    outline = outline_flow(flow_of(str(KETTLE)), trail)
    assert ("skipped in this walk",) == outline.nodes["look"].marks
    assert [("look", 1)] == list(trail.skipped)
    last = outline.nodes[trail.stands_at]
    assert last.marks[-1].startswith("the walk ended here")


def test_the_order_is_that_of_the_moves() -> None:
    """A step that is walked twice has both its numbers."""
    moves = [("look", "rating"), ("rating", "look"), ("look", "rating")]
    events = [Moved(answer=n, step=a, outcome="x", target=b) for n, (a, b) in enumerate(moves, 1)]
    outline = outline_flow(flow_of(str(KETTLE)), follow_trail(record_of(BEGAN, *events)))
    assert (1, 3) == outline.nodes["look"].visits
    assert (2, 4) == outline.nodes["rating"].visits


def test_an_arrow_that_leads_elsewhere_now_is_not_marked() -> None:
    """A move of another edition marks no arrow that leads to another step in this one."""
    move = Moved(answer=1, step="look", outcome="choice.runs", target="safe")
    outline = outline_flow(flow_of(str(KETTLE)), follow_trail(record_of(BEGAN, move)))
    assert [()] * 2 == [way.walked for way in outline.nodes["look"].exits]


def test_steps_of_another_edition_are_told_in_one_sentence() -> None:
    """What cannot be drawn is named once, and the rest is drawn."""
    events = [
        Moved(answer=1, step="look", outcome="choice.runs", target="old_one"),
        Moved(answer=2, step="old_one", outcome="next", target="rating"),
    ]
    outline = outline_flow(flow_of(str(KETTLE)), follow_trail(record_of(BEGAN, *events)))
    (told,) = [one for one in outline.sentences if "old_one" in one]
    assert (
        "It was walked by another edition: recorded 2, drawn 3; old_one is not in this one." == told
    )
    assert (3,) == outline.nodes["rating"].visits


def test_this_edition_is_not_called_another() -> None:
    """A walk of the very flow that is drawn says nothing of editions."""
    trail = follow_trail(walked("it runs"))
    assert not any("edition" in one for one in outline_flow(flow_of(str(KETTLE)), trail).sentences)


def test_detours_to_prove_the_unit_are_told() -> None:
    """Where the walk left the flow's own arrows, the step says why and where to."""
    events = [
        Moved(answer=1, step="volts", outcome="reprove.on", target="live"),
        Moved(answer=2, step="live>live", outcome="resume.volts", target="volts"),
    ]
    outline = outline_flow(flow_of(str(KETTLE)), follow_trail(record_of(BEGAN, *events)))
    number = {name: node.number for name, node in outline.nodes.items()}
    assert f"at 1 not proven, so led to {number['live']} live" in outline.nodes["volts"].marks
    assert f"at 2 proven, so back to {number['volts']} volts" in outline.nodes["live>live"].marks


@pytest.mark.parametrize("form", ["text", "mermaid", "svg"])
def test_a_walk_of_another_flow_is_refused(form: DrawingFormat) -> None:
    """A walk is never marked in a flow that it was not a walk of."""
    record = record_of(Began(flow="toaster", title="", edition="1", digest=""))
    with pytest.raises(DrawingError, match="The session is of 'toaster', not of 'kettle'"):
        draw_flow(flow_of(str(KETTLE)), form, record)


@pytest.mark.parametrize("form", ["text", "mermaid", "svg"])
def test_a_record_without_a_beginning_is_refused(form: DrawingFormat) -> None:
    """An empty journal names no flow."""
    with pytest.raises(DrawingError, match="no flow"):
        draw_flow(flow_of(str(KETTLE)), form, Record((), (), is_sealed=False, torn=b""))


@pytest.mark.parametrize("form", ["text", "mermaid", "svg"])
def test_all_that_happened_is_in_each_format(form: DrawingFormat) -> None:
    """A skip, a finding, an end and an answer taken back are words in every format."""
    events: list[AnyEvent] = [
        BEGAN,
        Skipped(answer=1, step="look", reason="not there"),
        Moved(answer=1, step="look", outcome="skipped", target="rating"),
        Found(
            answer=2,
            step="find_weak",
            finding="weak",
            part="p",
            reason="r",
            evidence=(),
            repair="r",
            replacement="",
        ),
        Moved(answer=3, step="rating", outcome="next", target="safe"),
        Scratched(answer=3, step="rating"),
        Ended(step="rating", outcome="stopped", why="The walk was stopped."),
    ]
    drawn = draw_flow(flow_of(str(KETTLE)), form, record_of(*events)).lower()
    for words in (
        "skipped: look.",
        "found at: find_weak.",
        "skipped in this walk",
        "found in this walk",
        "the walk ended here",
        "1 answer was taken back",
        "it ended at rating: the walk was stopped.",
    ):
        assert words in drawn


def test_a_damaged_record_is_told() -> None:
    """A way that rests on a record with damage says so before anything is read from it."""
    damage = Problem(3, Fault.EDITED, "Line 3 does not follow line 2.")
    whole = walked("it runs")
    trail = follow_trail(Record(whole.lines, (damage,), is_sealed=False, torn=b""))
    told = outline_flow(flow_of(str(KETTLE)), trail).sentences
    assert "The record is damaged (1 found); only what can be read is marked." in told


def test_the_small_flow_walked_to_a_finding() -> None:
    """The marks of a real walk: in order, through an include, to the step it waits at."""
    trail = follow_trail(walked(*AT_CAN, "six point two", "yes"))
    names = ["look", "rating", "safe", "safe/lock", "safe/test", "safe/bled", "safe>dead", "can"]
    assert (*names, "find_weak", "low") == trail.visits
    assert "low" == trail.stands_at
    assert "" == trail.ended
