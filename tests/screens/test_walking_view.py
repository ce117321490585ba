"""What the walk screen shows, computed from events: pure, without a terminal."""

from decimal import Decimal

import pytest
from screen_driver import KETTLE, TO_CAN, load_once

from assistant.flow.library import flow_names
from assistant.flow.model import InteractiveStep, MeasureStep
from assistant.quantity import Unit
from assistant.screens.walking.expects import expected_lines, number_words
from assistant.screens.walking.places import leads_of
from assistant.screens.walking.view import WalkView, view_turn
from assistant.spoken.meaning import NumberForm
from assistant.walk.ends import Heard
from assistant.walk.expecting import step_expectation
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk


def view_after(*lines: str, alternatives: tuple[str, ...] = ()) -> WalkView:
    """Walk the tests' small flow by some answers and give what is shown after the last."""
    walk = Walk(load_once(str(KETTLE)))
    result = walk.begin()
    for line in lines:
        result = walk.hear(result.state, Heard(line, alternatives))
    expects = walk.expectation(result.state)
    return view_turn(walk.flow, result.state, expects, result.events, len(lines) + 1)


@pytest.mark.parametrize(
    ("form", "expected"),
    [
        (NumberForm((Unit.OHM,), plausible=(Decimal(10), Decimal(40))), "ohms, about 10 to 40"),
        (
            NumberForm((Unit.OHM,), takes_over_limit=True, plausible=(Decimal(10), Decimal(40))),
            "ohms, about 10 to 40, or OL",
        ),
        (
            NumberForm((Unit.VOLT,), allowed=(Decimal(115), Decimal(230))),
            "volts, one of 115, 230",
        ),
        (
            NumberForm((Unit.MICROFARAD,), is_dual=True, typical=Decimal("7.5")),
            "two numbers in microfarads, rating 7.5 µF",
        ),
        (
            NumberForm((Unit.DEG_F,), plausible=(Decimal(-40), Decimal(120))),
            "degrees Fahrenheit, about \N{MINUS SIGN}40 to 120",
        ),
    ],
)
def test_a_number_is_expected_in_words(form: NumberForm, expected: str) -> None:
    """Unit, range or list, rating, and whether OL is an answer."""
    assert expected == number_words(form)


def test_one_digit_at_a_time_is_said() -> None:
    """After repeated failure the form of the answer is another."""
    assert number_words(NumberForm((Unit.VOLT,)), is_single=True) == "volts, one digit at a time"


@pytest.mark.parametrize("name", flow_names())
def test_every_step_of_every_flow_says_what_it_expects(name: str) -> None:
    """No step that waits for an answer leaves open what can be answered; every probe is named."""
    flow = load_once(name)
    for step_id, step in flow.steps.items():
        if not isinstance(step, InteractiveStep):
            continue
        state = State(step_id, Turn.ANSWER, {})
        lines = expected_lines(flow, state, step_expectation(flow, step_id))
        assert lines, step_id
        leads = leads_of(flow, step_id)
        assert (leads is not None) == isinstance(step, MeasureStep)
        if leads is not None:
            assert leads.first in leads.spots
            assert leads.second is None or leads.second in leads.spots
            assert leads.first.say in leads.words


def test_what_is_asked_waits_in_its_block() -> None:
    """The prompt is no entry of the conversation yet; what was heard and taken is."""
    view = view_after("it runs")
    assert [(one.who, one.text) for one in view.entries] == [
        ("You typed", "it runs"),
        ("Heard", "It runs."),
    ]
    assert ["Step"] == [one.who for one in view.asked]
    assert view.asked[0].text == view.ask.text


def test_what_was_heard_names_what_else_it_could_be() -> None:
    """The recogniser's other words stand beside the first, always."""
    view = view_after("it runs", alternatives=("it hums",))
    assert view.heard == "it runs (or: it hums)"


def test_a_caution_is_asked_in_its_own_words() -> None:
    """The caution and the phrase that answers it, and nothing else expected."""
    ask = view_after("it runs", "ten").ask
    assert ask.turn is Turn.CAUTION
    assert 'Say or type: "I will lock it out"' == ask.answer
    assert ask.expected == ()
    assert ask.leads is None


def test_a_verdict_stands_until_the_next_answer() -> None:
    """A command leaves it, the next answer takes it away, and its limits are numbers."""
    judged = view_after(*TO_CAN, "six point two", "yes").verdicts
    assert judged is not None
    (facts,) = judged
    assert (facts.verdict, facts.shown, facts.label) == ("fail", "6.2 µF", "can reading")
    assert facts.band is not None
    assert (facts.band.value, float(facts.band.low)) == ("6.2", 9.4)
    assert view_after(*TO_CAN, "six point two", "yes", "where am i").verdicts is None
    assert view_after(*TO_CAN, "six point two", "yes", "scratch that").verdicts == ()


def test_values_stand_beside_the_walk_and_go_when_scratched() -> None:
    """Labels apart from readings, the newest reading first; a scratched one is gone."""
    view = view_after(*TO_CAN, "six point two", "yes")
    assert [(row.label, row.shown, row.verdict) for row in view.nameplate] == [
        ("rated", "10 µF", "")
    ]
    assert [(row.label, row.verdict) for row in view.readings] == [
        ("can reading", "FAILS"),
        ("dead volts", "GOOD"),
    ]
    assert view.findings == ("Run capacitor",)
    after = view_after(*TO_CAN, "six point two", "yes", "scratch that")
    assert [row.label for row in after.readings] == ["dead volts"]
    assert after.findings == ()


def test_on_hold_only_the_way_back_is_expected() -> None:
    """Neither prompt nor probes: the words that wake the walk."""
    ask = view_after("hold").ask
    assert ask.is_held
    assert ask.expected == ('Say or type: "go ahead".',)
