"""What is wrong, in a technician's own words, goes to the flow that fits or is asked again."""

import pytest

from assistant.flow.library import open_flow
from assistant.flow.model import TO_FLOW
from assistant.walk.ends import Heard
from assistant.walk.events import SentOn
from assistant.walk.state import State
from assistant.walk.walk import Walk

ASKED = ""
"""Not sent on: the walk still asks."""
BLOWER, FAN, COMPRESSOR = "blower-psc", "condenser-fan", "compressor-windings"
CONTROL, AIR, CAPACITOR = "control-24v", "low-airflow", "capacitor"


@pytest.fixture(scope="module")
def walk() -> Walk:
    """Give the walk that begins without a flow."""
    return Walk(open_flow("triage"))


def say(walk: Walk, *words: str) -> tuple[str, State]:
    """Say words one after another; give the flow that the walk was sent to, and where it stands."""
    state, flow = walk.begin().state, ASKED
    for one in words:
        result = walk.hear(state, Heard(one, source="test"))
        state = result.state
        flow = next((e.flow for e in result.events if isinstance(e, SentOn)), flow)
    return flow, state


@pytest.mark.parametrize(
    ("words", "flow"),
    [
        ("blower is dead", BLOWER),
        ("the blower hums", BLOWER),
        ("the blower won't run", BLOWER),
        ("blower runs all the time", BLOWER),
        ("indoor fan isn't running", BLOWER),
        ("nothing blows", BLOWER),
        ("outside fan isn't spinning", FAN),
        ("the condenser fan won't spin", FAN),
        ("outdoor fan is noisy", FAN),
        ("compressor won't start", COMPRESSOR),
        ("the compressor hums", COMPRESSOR),
        ("compressor trips the breaker", COMPRESSOR),
        ("thermostat is blank", CONTROL),
        ("nothing works", CONTROL),
        ("no heat", CONTROL),
        ("low voltage fuse blows", CONTROL),
        ("weak air", AIR),
        ("hot upstairs", AIR),
        ("it's iced up", AIR),
        ("the coil froze up", AIR),
        ("filter is dirty", AIR),
        ("test the capacitor", CAPACITOR),
        ("the cap is swollen", CAPACITOR),
        ("bad cap", CAPACITOR),
    ],
)
def test_plain_words_find_their_flow(walk: Walk, words: str, flow: str) -> None:
    """What names the part and what it does goes straight to its flow."""
    assert flow == say(walk, words)[0]


@pytest.mark.parametrize(
    ("words", "flow"),
    [
        ("the blower's dead", BLOWER),
        ("no heat upstairs", AIR),
        ("the thermostat's blank", CONTROL),
        ("thermostat has no display", CONTROL),
        ("ac is not cooling", ASKED),
        ("the fan is dead", ASKED),
        ("fan won't run", ASKED),
        ("it hums", ASKED),
        ("it trips", ASKED),
        ("no air", BLOWER),
        ("unit is dead", ASKED),
        ("blower is not dead", ASKED),
        ("outside fan runs but compressor does not", COMPRESSOR),
        ("outside fan runs, compressor is dead", COMPRESSOR),
        ("compressor is running but outside fan is not", FAN),
        ("breaker trips when the outdoor unit starts", ASKED),
        ("the capacitor for the blower", CAPACITOR),
        ("water leaking", ASKED),
        ("i have no idea", ASKED),
    ],
)
def test_words_that_could_mean_two_things_are_never_sent_wrong(
    walk: Walk, words: str, flow: str
) -> None:
    """Where words fit no flow, or two, they go to the right one or are asked again."""
    assert say(walk, words)[0] in {ASKED, flow}


@pytest.mark.parametrize(
    ("words", "flow"),
    [
        (("not cooling", "no gas", "air is weak"), AIR),
        (("not cooling", "no gas", "no air"), BLOWER),
        (("not cooling", "no gas", "plenty of air", "only the fan runs"), COMPRESSOR),
        (("help me choose", "no gas", "plenty of air", "only the compressor runs"), FAN),
        (("house is hot", "no gas", "plenty of air", "neither runs"), CONTROL),
    ],
)
def test_not_cooling_is_asked_through(walk: Walk, words: tuple[str, ...], flow: str) -> None:
    """A unit that does not cool is parted by the air indoors, then by what runs outdoors."""
    assert flow == say(walk, *words)[0]


def test_all_that_runs_and_does_not_cool_is_for_a_licensed_person(walk: Walk) -> None:
    """Both outdoors run with plenty of air: nothing here is for the meter."""
    flow, state = say(walk, "not cooling", "no gas", "plenty of air", "both run")
    assert (ASKED, "stopped", ("sealed_system",)) == (flow, state.outcome, state.findings)


@pytest.mark.parametrize("words", ["i smell gas", "smells like gas"])
def test_gas_ends_it_at_once(walk: Walk, words: str) -> None:
    """Whoever smells gas is sent out, not on."""
    flow, state = say(walk, words)
    assert (ASKED, "stopped", ("gas_smell",)) == (flow, state.outcome, state.findings)


def test_every_flow_it_sends_to_is_there_and_reached(walk: Walk) -> None:
    """Each target loads, and the words of some answer reach it."""
    targets = {
        target.removeprefix(TO_FLOW)
        for step in walk.flow.steps.values()
        for _, target in step.exits()
        if target.startswith(TO_FLOW)
    }
    assert {BLOWER, FAN, COMPRESSOR, CONTROL, AIR, CAPACITOR} == targets
    for name in targets:
        assert name == open_flow(name).id
    words = walk.flow.vocabulary.observations["trouble"].values
    reached = {say(walk, phrase)[0] for phrases in words.values() for phrase in phrases}
    assert targets | {ASKED} == reached


def test_every_phrase_goes_where_its_answer_goes(walk: Walk) -> None:
    """No phrase of one answer is taken for another's."""
    step = walk.flow.steps["trouble"]
    goes = {name.partition(".")[2]: target for name, target in step.exits()}
    for value, phrases in walk.flow.vocabulary.observations["trouble"].values.items():
        wanted = goes[value].removeprefix(TO_FLOW) if goes[value].startswith(TO_FLOW) else ASKED
        for phrase in phrases:
            assert (phrase, wanted) == (phrase, say(walk, phrase)[0])
