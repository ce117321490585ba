"""A reading that is said to be of the wrong current is no reading.

On D C a meter shows about nothing across a live A C line, and on A C about nothing across a charged
capacitor: common practice, no source.
"""

import pytest

from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import MeasureStep
from assistant.quantity import Current, Quantity
from assistant.spoken.meaning import Trouble, Unclear, Value
from assistant.spoken.understanding import understand
from assistant.walk.expecting import step_expectation

SAID = {
    Current.AC: ("zero volts a c", "zero v a c", "0 VAC", "0.0 V ac"),
    Current.DC: ("zero volts d c", "zero v d c", "0 VDC", "0.0 V dc"),
}
FLOWS = {name: open_flow(name) for name in flow_names()}
STEPS = [
    (name, key)
    for name, flow in FLOWS.items()
    for key, step in flow.steps.items()
    if isinstance(step, MeasureStep) and flow.vocabulary.meters[step.meter].current
]


def test_every_flow_reads_volts_on_a_setting() -> None:
    """Both are there, so that what follows holds for something."""
    asked = {FLOWS[n].vocabulary.meters[_step(n, key).meter].current for n, key in STEPS}
    assert asked == set(Current)
    assert {name for name, _ in STEPS} == set(FLOWS) - {"triage"}


@pytest.mark.parametrize("flow", sorted({name for name, _ in STEPS}))
def test_volts_of_the_other_current_are_refused(flow: str) -> None:
    """A live line that was read on D C must never count as proven dead."""
    for name, key in STEPS:
        if name == flow:
            _refuse_the_other(name, key)


def _refuse_the_other(name: str, key: str) -> None:
    flow = FLOWS[name]
    expectation = step_expectation(flow, key)
    asked = flow.vocabulary.meters[_step(name, key).meter].current
    for current, phrases in SAID.items():
        for words in phrases:
            meaning = understand(words, expectation)
            if current is asked:
                assert isinstance(meaning, Value), (name, key, words)
                assert isinstance(meaning.reading, Quantity)
            else:
                assert isinstance(meaning, Unclear), (name, key, words)
                assert meaning.trouble is Trouble.WRONG_UNIT
                assert "Set the meter" in meaning.why


def _step(name: str, key: str) -> MeasureStep:
    step = FLOWS[name].steps[key]
    assert isinstance(step, MeasureStep)
    return step
