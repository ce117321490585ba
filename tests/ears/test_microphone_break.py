"""A listening that another thread ends, because the answer was typed meanwhile."""

import threading
import time

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser

from assistant.ears import microphone
from assistant.ears.microphone import Gate, MicrophoneEars
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Silence

VOLTS = expectation_for_unit("volt")


class QuietDevice:
    """A device that is open and gives nothing."""

    def close(self) -> None:
        """Do nothing."""


@pytest.fixture
def ears(monkeypatch: pytest.MonkeyPatch) -> MicrophoneEars:
    """Give ears on a device that gives nothing."""
    monkeypatch.setattr(microphone, "_open", lambda _gate, _name: QuietDevice())
    return MicrophoneEars(ScriptedRecogniser())


def test_a_listening_is_ended_as_if_nothing_had_been_said(ears: MicrophoneEars) -> None:
    """It ends at once, long before the microphone would be taken for dead, and is a silence."""
    threading.Timer(0.2, ears.break_off).start()
    began = time.monotonic()
    assert ears.listen(VOLTS) == Silence("microphone")
    assert time.monotonic() - began < 2
    ears.close()


def test_the_gate_is_shut_at_once() -> None:
    """What the voice says next does not come in, and the next listening starts afresh."""
    gate = Gate()
    gate.resume()
    gate.put(np.ones(960, np.int16))
    gate.break_off()
    gate.put(np.ones(960, np.int16))
    assert list(gate.frames()) == []
    gate.resume()
    assert not gate.is_broken_off
