"""A listening that another thread ends, because the answer was typed meanwhile."""

import threading
import time

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser

from assistant.ears.gate import Gate
from assistant.ears.microphone import MicrophoneEars
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Silence
from tests.tools.virtual_sound import until

VOLTS = expectation_for_unit("volt")


class QuietDevice:
    """A device that is open and gives nothing."""

    name = "Headset"

    def close(self) -> None:
        """Do nothing."""


@pytest.fixture
def ears() -> MicrophoneEars:
    """Give ears on a device that gives nothing."""
    return MicrophoneEars(ScriptedRecogniser(), open_device=lambda _name, _take: QuietDevice())


def test_a_listening_is_ended_as_if_nothing_had_been_said(ears: MicrophoneEars) -> None:
    """It ends at once, long before the microphone would be taken for dead, and is a silence."""

    def break_off() -> None:
        until(lambda: ears._gate._is_open, 10)
        broken_off.append(time.monotonic())
        ears.break_off()

    broken_off = list[float]()
    threading.Thread(target=break_off, daemon=True).start()
    assert ears.listen(VOLTS) == Silence("microphone")
    assert time.monotonic() - broken_off[0] < 2
    ears.close()


def test_the_gate_is_shut_at_once() -> None:
    """What the voice says next does not come in, and the next listening starts afresh."""
    gate = Gate()
    gate.resume()
    gate.put(np.ones(960, np.int16))
    gate.end()
    gate.put(np.ones(960, np.int16))
    assert list(gate.frames()) == []
    gate.resume()
    gate.put(np.ones(9600, np.int16))
    assert next(gate.frames()).any()
