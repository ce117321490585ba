"""A conversation with a small flow, as the tests of the walk hold it."""

import pytest
from talking import FLOWS, Begin, Talk

from assistant.flow.library import open_flow
from assistant.walk.walk import Walk


@pytest.fixture(scope="session")
def kettle() -> Walk:
    """The small flow, loaded once."""
    return Walk(open_flow(str(FLOWS / "kettle.yaml")))


@pytest.fixture
def talk(kettle: Walk) -> Begin:
    """Begin a conversation and say some phrases."""

    def begin(*phrases: str) -> Talk:
        result = kettle.begin("QX", "bench kettle", "test")
        return Talk(kettle, result.state).take(result).say(*phrases)

    return begin
