"""The microphone's gate, its devices, and what is told where there are none.

Real capture runs on miniaudio's null backend, which gives silence at the pace of real time.
"""

import itertools
import threading
import time
from typing import Any

import miniaudio
import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, quiet, recorded, tone

from assistant.ears import microphone
from assistant.ears.detector import FRAME
from assistant.ears.endpoint import Patience
from assistant.ears.microphone import Gate, MicrophoneEars
from assistant.ears.sound import RATE, EarsError
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Heard, HungUp, Silence

VOLTS = expectation_for_unit("volt")
BLOCK = 960


class FakeDevice:
    """A device that plays a sound into a gate, in blocks, some of it before the gate opens."""

    def __init__(self, gate: Gate) -> None:
        self.receiver = gate.receive()
        self.is_closed = False

    def play(self, samples: np.ndarray) -> None:
        """Give all of a sound."""
        for at in range(0, len(samples), BLOCK):
            self.receiver.send(samples[at : at + BLOCK].tobytes())

    def close(self) -> None:
        """Remember that it was closed."""
        self.is_closed = True


@pytest.fixture
def devices(monkeypatch: pytest.MonkeyPatch) -> list[FakeDevice]:
    """Put fake devices in place of real ones; give those that were opened."""
    opened: list[FakeDevice] = []

    def open_fake(gate: Gate, name: str) -> FakeDevice:
        del name
        opened.append(FakeDevice(gate))
        return opened[-1]

    monkeypatch.setattr(microphone, "_open", open_fake)
    return opened


def test_an_answer_is_heard(devices: list[FakeDevice]) -> None:
    """Speech through the gate is recognised from before its first word to behind its last."""
    recogniser = ScriptedRecogniser("two thirty volts")
    ears = MicrophoneEars(recogniser)
    sound = np.concatenate([quiet(0.5), recorded("two_hundred_thirty_volts"), quiet(2.0)])
    speaker = threading.Timer(0.05, devices[0].play, [sound])
    speaker.start()
    assert Heard("two thirty volts", source="microphone") == ears.listen(VOLTS)
    speaker.join()
    assert 1.4 < len(recogniser.heard[0]) / RATE < 2.8
    ears.close()


def test_what_came_before_is_not_an_answer(devices: list[FakeDevice]) -> None:
    """Our own voice, said while the gate was shut, and its tail behind it, are not heard."""
    recogniser = ScriptedRecogniser("two thirty volts")
    ears = MicrophoneEars(recogniser, patience=Patience(before=0.5))
    devices[0].play(recorded("two_hundred_thirty_volts"))
    tail = np.concatenate([tone(0.19), quiet(1.0)])
    speaker = threading.Timer(0.05, devices[0].play, [tail])
    speaker.start()
    assert Silence("microphone") == ears.listen(VOLTS)
    speaker.join()
    assert [] == recogniser.heard
    ears.close()


def test_a_device_that_vanishes_hangs_up(
    devices: list[FakeDevice], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No block within the limit ends the ears; half an answer is not believed."""
    monkeypatch.setattr(microphone, "_DEAD_AFTER", 0.2)
    recogniser = ScriptedRecogniser("two hundred")
    ears = MicrophoneEars(recogniser)
    half = np.concatenate([quiet(0.3), recorded("two_hundred_thirty_volts")[:16000]])
    speaker = threading.Timer(0.05, devices[0].play, [half])
    speaker.start()
    heard = ears.listen(VOLTS)
    speaker.join()
    assert isinstance(heard, HungUp)
    assert [] == recogniser.heard
    ears.close()


def test_closing_twice_and_listening_behind_it(devices: list[FakeDevice]) -> None:
    """Closed ears hang up, and close once more without complaint."""
    recogniser = ScriptedRecogniser()
    ears = MicrophoneEars(recogniser)
    ears.close()
    ears.close()
    assert devices[0].is_closed
    assert recogniser.is_closed
    assert isinstance(ears.listen(VOLTS), HungUp)


def test_the_gate_is_bounded() -> None:
    """Where nobody takes the blocks the oldest are lost: 30 s are kept, no more."""
    gate = Gate()
    gate.resume()
    for number in range(microphone._BLOCKS_WAITING + 5):
        gate.put(np.full(BLOCK, number, np.int16))
    assert gate._blocks.qsize() == microphone._BLOCKS_WAITING
    assert gate._blocks.get()[0] == 5


def test_frames_are_whole_and_in_order() -> None:
    """Blocks of odd lengths come out as frames, nothing lost behind the tail."""
    gate = Gate()
    gate.resume()
    sound = np.arange(RATE, dtype=np.int16)
    cuts = [0, 100, 3000, 3001, 9000, RATE]
    for start, end in itertools.pairwise(cuts):
        gate.put(sound[start:end])
    frames = gate.frames()
    count = (RATE - microphone._TAIL) // FRAME
    together = np.concatenate([next(frames) for _ in range(count)])
    assert np.array_equal(sound[microphone._TAIL : microphone._TAIL + len(together)], together)


def found(*names: str) -> Any:  # noqa: ANN401 - a stand-in for a private function
    """Give a list of devices as miniaudio would."""
    return lambda: [{"name": name, "id": None} for name in names]


def test_no_microphone_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without any, and without the one named, one sentence; the known ones are the hint."""
    monkeypatch.setattr(microphone, "_microphones", found())
    with pytest.raises(EarsError, match="There is no microphone on this machine"):
        MicrophoneEars(ScriptedRecogniser())
    monkeypatch.setattr(microphone, "_microphones", found("Built-in", "Headset"))
    with pytest.raises(EarsError, match="no microphone 'desk'") as caught:
        MicrophoneEars(ScriptedRecogniser(), device="desk")
    assert "Built-in, Headset" in caught.value.hint
    assert ("Built-in", "Headset") == microphone.microphone_names()


def test_a_device_that_does_not_open_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """What ALSA without a card answers (`failed to init device`) becomes a sentence."""

    def refuse(**settings: object) -> None:
        raise miniaudio.MiniaudioError("failed to init device", settings)

    monkeypatch.setattr(microphone, "_microphones", found("Headset"))
    monkeypatch.setattr(miniaudio, "CaptureDevice", refuse)
    with pytest.raises(EarsError, match="The microphone cannot be opened"):
        MicrophoneEars(ScriptedRecogniser(), device="head")


def test_the_null_backend_is_no_microphone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without a sound system has no microphone, though miniaudio offers one."""
    real = miniaudio.Devices
    monkeypatch.setattr(miniaudio, "Devices", lambda: real([miniaudio.Backend.NULL]))
    assert () == microphone.microphone_names()
    with pytest.raises(EarsError, match="There is no microphone"):
        MicrophoneEars(ScriptedRecogniser())


def test_a_broken_sound_system_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """An error from the list of devices is a sentence."""

    def refuse() -> None:
        raise miniaudio.MiniaudioError("cannot init context", -1)

    monkeypatch.setattr(miniaudio, "Devices", refuse)
    with pytest.raises(EarsError, match="gives no list of microphones"):
        microphone.microphone_names()


def test_real_capture_at_the_pace_of_real_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Real capture on the null backend: half a second of patience takes half a second."""
    real = miniaudio.CaptureDevice

    def capture(**settings: Any) -> miniaudio.CaptureDevice:  # noqa: ANN401
        return real(**settings, backends=[miniaudio.Backend.NULL])

    monkeypatch.setattr(microphone, "_microphones", found("Null"))
    monkeypatch.setattr(miniaudio, "CaptureDevice", capture)
    ears = MicrophoneEars(ScriptedRecogniser("one"), patience=Patience(before=0.5))
    start = time.monotonic()
    assert Silence("microphone") == ears.listen(VOLTS)
    assert 0.4 < time.monotonic() - start < 3.0
    ears.close()
