"""What a prompt offers is taken, word for word, and so is the short form in its repetition."""

import re
from collections.abc import Iterator

import pytest

from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import NumberStep, SpokenStep
from assistant.spoken.meaning import Picked
from assistant.spoken.understanding import understand
from assistant.walk.expecting import step_expectation

FLOWS = {name: open_flow(name) for name in flow_names()}
STEPS = {
    (name, key): step
    for name, flow in FLOWS.items()
    for key, step in flow.steps.items()
    if isinstance(step, SpokenStep) and step.choices
}


def offered(prompt: str, *, is_number: bool = False) -> Iterator[str]:
    """Give what stands behind the last colon, or a question with commas, in its parts.

    A question for a number names what is measured before the words that can be said instead.
    """
    said = re.search(r":\s*([^:.?]*)[.?]$", prompt)
    is_listed = prompt.endswith("?") and not is_number
    listed = said[1] if said else prompt.rstrip("?") if is_listed else ""
    if said or "," in listed:
        parts = [part.strip().removeprefix("or ") for part in listed.split(",")]
        yield from parts[-1:] if is_number else parts


def test_enough_is_offered() -> None:
    """The prompts are read at all: most choices are named in them."""
    assert sum(1 for step in STEPS.values() for _ in offered(step.say)) > 1000


@pytest.mark.parametrize("flow", sorted(FLOWS))
def test_what_is_offered_is_taken(flow: str) -> None:
    """A technician says what was just read out; to be told that it was no answer is no help."""
    for name, key in STEPS:
        if name == flow:
            _take_all(name, key)


def _take_all(name: str, key: str) -> None:
    step = STEPS[name, key]
    expectation = step_expectation(FLOWS[name], key)
    is_number = isinstance(step, NumberStep)
    prompts = (step.say, step.again)
    for words in {words for said in prompts for words in offered(said, is_number=is_number)}:
        is_whole = isinstance(understand(words, expectation), Picked)
        for part in [words] if is_whole else words.split(" or "):
            assert isinstance(understand(part, expectation), Picked), (name, key, part)
