"""The walk on its main path: what is believed, judged, found and noted."""

import pytest
from talking import Begin, Talk

from assistant.walk.state import Turn

TO_RATING = ("it runs",)
TO_SAFE = (*TO_RATING, "ten")
TO_CAN = (*TO_SAFE, "lock it out", "locked out", "zero", "it may be charged", "it is bled")
AT_CAN = (*TO_CAN, "it may be charged", "leads are apart")
AT_LOW = (*AT_CAN, "ten", "yes")
AT_VOLTS = (
    *AT_LOW,
    *("seventeen point five", "yes", "nine point eight seven", "yes"),
    *("all clear", "ready for live test", "power is on"),
)
TO_END = (*AT_VOLTS, "one eighteen", "yes", "it is closed up")


def test_a_good_unit_ends_without_a_fault(talk: Begin) -> None:
    """A unit whose readings are all good ends with no fault and every step walked."""
    walked = talk(*TO_END)
    assert walked.state.outcome == "no_fault"
    assert walked.state.findings == ()
    assert walked.value("gap_ohms") == "7.63 Ω"


def test_a_weak_capacitor_is_found_and_the_walk_goes_on(talk: Begin) -> None:
    """A capacitor below its band is a finding with its rating, and the search goes on."""
    walked = talk(*AT_CAN, "six point two", "yes")
    assert walked.state.findings == ("weak",)
    (found,) = walked.kinds("found")
    assert found.model_dump()["replacement"] == "10 µF, the same or higher volts."
    assert found.model_dump()["evidence"] == ("can reading: 6.2 µF",)
    assert walked.state.step == "low"


@pytest.mark.parametrize(
    ("low", "high", "findings"),
    [
        (("fourteen", "yes"), ("nine point eight seven", "yes"), ()),
        (("nine point eight seven", "yes"), ("fourteen", "yes"), ("open_winding",)),
        (("o l", "yes"), (), ("open_winding",)),
    ],
)
def test_the_branch_follows_the_verdict(
    talk: Begin, low: tuple[str, ...], high: tuple[str, ...], findings: tuple[str, ...]
) -> None:
    """Taps in order go on; taps out of order, or an open one, are a finding."""
    assert findings == talk(*AT_LOW, *low, *high).state.findings


def test_over_limit_is_believed_only_after_a_yes(talk: Begin) -> None:
    """OL and zero are opposites, so OL that condemns a winding is asked back."""
    walked = talk(*AT_LOW, "o l")
    assert walked.turn is Turn.CONFIRM
    assert walked.say("yes").state.values["r_low"].reading.is_over_limit


def test_a_choice_that_is_no_number_leads_its_own_way(talk: Begin) -> None:
    """A label that is not there is an answer, and what rests on it cannot be judged."""
    steps = tuple(p for p in AT_CAN if p != "ten")
    walked = talk("it runs", "not printed", *steps[1:], "six point two", "yes")
    verdict = walked.state.values["can_reading"].verdict
    assert verdict is not None
    assert verdict.kind.value == "cannot_tell"
    assert walked.state.findings == ()


def test_every_utterance_is_an_event_before_it_is_said(talk: Begin) -> None:
    """What is said stands in the events of the same input, in the same order."""
    walked = talk(*TO_END)
    assert [u.text for u in walked.said] == [
        event.model_dump()["text"] for event in walked.kinds("said")[-len(walked.said) :]
    ]


def test_the_end_says_how_the_unit_stands(talk: Begin) -> None:
    """A walk that is stopped in the middle says what is left locked and unproven."""
    walked = talk(*TO_CAN, "stop", "yes")
    assert walked.state.outcome == "stopped"
    assert "locked out" in walked.text


def test_a_walk_that_is_over_hears_nothing_more(talk: Begin) -> None:
    """After the end no answer changes anything."""
    walked = talk(*TO_END)
    before = walked.state
    assert before == walked.say("scratch that").state
    assert walked.said == ()


def test_live_volts_where_it_should_be_dead_end_the_walk(talk: Begin) -> None:
    """Volts after lockout stop the walk; power is not taken as off."""
    walked = talk(*TO_SAFE, "lock it out", "locked out", "one eighteen", "yes")
    assert walked.state.outcome == "stopped"
    assert walked.state.conditions["power"] == "unknown"


def test_the_same_words_give_the_same_events(talk: Begin) -> None:
    """Nothing in a walk depends on a clock or on chance."""
    first: Talk = talk(*TO_END)
    assert first.events == talk(*TO_END).events
