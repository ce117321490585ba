"""A flow from outside the trade is only data: a potter's kiln, with words of its own.

The kiln and its limits are invented; an element that reads more than a tenth above its maker's ohms
counts as aged (common practice, no source).
"""

from pathlib import Path

import pytest

import assistant
from assistant.checks.table import check_file
from assistant.desk.opening import load_safe_flow
from assistant.walk.ends import Heard
from assistant.walk.state import State, Turn
from assistant.walk.walk import Walk

FILE = Path(__file__).parent / "kiln" / "kiln.yaml"
PLAIN = {
    "firing": "stays cold",
    "lid": "lid is tight",
    "dead/pull": "plug is locked",
    "dead/ready": "tester is set",
    "dead/tester_before": "one hundred twenty volts",
    "dead/dead_lines": "zero volts",
    "dead/dead_ground": "zero volts",
    "dead/tester_after": "one hundred twenty volts",
    "dead/proven": "proven dead",
    "coil_look": "coils look good",
    "coil_ohms": "twelve point five ohms",
    "top_ohms": "twelve point six ohms",
    "top_shell": "O L",
    "mended": "left for later",
    "lid_mended": "left for later",
    "sensor_mended": "left for later",
    "cover": "left locked out",
    "chamber_heat": "seventy degrees",
    "shown_heat": "seventy one degrees",
}
"""What is answered at each step of a sound kiln."""


@pytest.fixture(scope="module")
def walk() -> Walk:
    """The kiln's flow, loaded as any other."""
    return Walk(load_safe_flow(str(FILE)))


def _answer(walk: Walk, state: State, said: dict[str, str]) -> str:
    match state.turn:
        case Turn.CAUTION:
            return walk.flow.cautions[state.subject].answer[0]
        case Turn.CONDITION:
            name, _, value = state.subject.partition("=")
            return walk.flow.vocabulary.conditions[name].phrases[value][0]
        case Turn.CONFIRM:
            return "yes"
        case _:
            return said[state.step]


def _walk(walk: Walk, **said: str) -> State:
    """Walk to the end; what is not said otherwise is a sound kiln's."""
    answers = PLAIN | {name.replace("__", "/"): words for name, words in said.items()}
    state = walk.begin().state
    for _ in range(120):
        if state.is_over:
            return state
        state = walk.hear(state, Heard(_answer(walk, state, answers))).state
    raise AssertionError(f"the walk stays at {state.step}")


FOUND = [
    ({"firing": "too slow", "lid": "lid has a gap"}, ("lid_gap",), "found"),
    ({"coil_look": "a coil is broken"}, ("coil_open",), "found"),
    ({"top_ohms": "O L"}, ("coil_open",), "found"),
    ({"top_ohms": "fifteen point eight ohms"}, ("coil_aged",), "found"),
    ({"top_ohms": "nine point one ohms"}, ("coil_wrong",), "found"),
    ({"top_shell": "two hundred ohms"}, ("coil_to_shell",), "found"),
    ({"firing": "wrong heat", "shown_heat": "ninety degrees"}, ("sensor_off",), "found"),
    ({"firing": "wrong heat"}, (), "no_fault"),
    ({}, (), "no_fault"),
    ({"dead__dead_lines": "two hundred forty volts"}, ("live_after_plug",), "stopped"),
    ({"dead__tester_after": "zero volts"}, ("no_tester",), "stopped"),
]


@pytest.mark.parametrize(("said", "findings", "outcome"), FOUND)
def test_the_kiln_s_faults_are_found(
    walk: Walk, said: dict[str, str], findings: tuple[str, ...], outcome: str
) -> None:
    """Each fault leads to its finding, by rules and words that stand in the files alone."""
    state = _walk(walk, **said)
    assert (findings, outcome) == (state.findings, state.outcome)


def test_the_checks_have_nothing_to_say_of_it() -> None:
    """The checks know flows, not trades: a good flow of any trade passes them."""
    assert () == check_file(FILE)


def test_ohms_wait_until_the_kiln_is_proven_dead(walk: Walk) -> None:
    """The promises of safety hold in a trade that the code has never heard of."""
    state = _walk(walk)
    seen = []
    while state.before is not None:
        state = state.before
        seen.append((state.step, state.conditions["power"], state.conditions["capacitor"]))
    ohms = [one for one in seen if one[0] in {"top_ohms", "top_shell"}]
    assert ohms
    assert {("off", "bled")} == {one[1:] for one in ohms}


def test_no_line_of_code_knows_the_kiln() -> None:
    """The new trade took files alone: none of its words stands in the program."""
    words = ("kiln", "over_fired", "firing", "chamber_heat")
    code = {file: file.read_text("utf-8") for file in Path(assistant.__path__[0]).rglob("*.py")}
    assert [] == [
        (file.name, word) for file, text in code.items() for word in words if word in text
    ]
