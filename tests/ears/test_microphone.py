"""The microphone's gate, its devices, and what is told where there are none.

Real capture runs on miniaudio's null backend, which gives silence at the pace of real time.
"""

import itertools
import threading
from collections.abc import Callable
from typing import Any

import miniaudio
import numpy as np
import pytest
from ears_tools import BLOCK, RoomDevices, ScriptedRecogniser, quiet, recorded, tone

from assistant.devices import Devices, Found
from assistant.ears import capture, microphone
from assistant.ears.capture import open_capture
from assistant.ears.detector import FRAME
from assistant.ears.endpoint import Patience
from assistant.ears.gate import BLOCKS_WAITING, TAIL_SECONDS, Gate
from assistant.ears.microphone import Manner, MicrophoneEars
from assistant.ears.sound import RATE, EarsError
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Heard, HungUp, Silence, Sound
from tests.tools.virtual_sound import until

VOLTS = expectation_for_unit("volt")
TAIL = int(TAIL_SECONDS * RATE)


@pytest.fixture
def devices() -> RoomDevices:
    """Give devices in a room."""
    return RoomDevices()


def listen(ears: MicrophoneEars, speak: Callable[[], None]) -> Sound:
    """Listen while something is said, once the gate is open: sound before that is dropped."""

    def speak_into() -> None:
        try:
            until(lambda: ears._gate._is_open, 10)
            speak()
        except BaseException:
            ears.close()  # nothing will be said: do not let it wait for ever
            raise

    speaker = threading.Thread(target=speak_into, daemon=True)
    speaker.start()
    heard = ears.listen(VOLTS)
    speaker.join()
    return heard


def test_an_answer_is_heard(devices: RoomDevices) -> None:
    """Speech through the gate is recognised from before its first word to behind its last."""
    recogniser = ScriptedRecogniser("two thirty volts")
    ears = MicrophoneEars(recogniser, open_device=devices.open)
    sound = np.concatenate([quiet(0.5), recorded("two_hundred_thirty_volts"), quiet(2.0)])
    heard = listen(ears, lambda: devices.opened[0].play(sound))
    assert Heard("two thirty volts", source="microphone") == heard
    assert 1.4 < len(recogniser.heard[0]) / RATE < 2.8
    ears.close()


def test_what_came_before_is_not_an_answer(devices: RoomDevices) -> None:
    """Our own voice, said while the gate was shut, and its tail behind it, are not heard."""
    recogniser = ScriptedRecogniser("two thirty volts")
    manner = Manner(patience=Patience(before=0.5))
    ears = MicrophoneEars(recogniser, manner, open_device=devices.open)
    devices.opened[0].play(recorded("two_hundred_thirty_volts"))
    tail = np.concatenate([tone(0.19), quiet(1.0)])
    assert Silence("microphone") == listen(ears, lambda: devices.opened[0].play(tail))
    assert [] == recogniser.heard
    ears.close()


def half_and_lost(devices: RoomDevices) -> Callable[[], None]:
    """Give what says half an answer and is then pulled out."""
    half = np.concatenate([quiet(0.3), recorded("two_hundred_thirty_volts")[:16000]])

    def speak() -> None:
        devices.opened[-1].play(half)
        devices.pull_out()

    return speak


def test_half_an_answer_is_not_believed(
    devices: RoomDevices, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What had begun when the device was lost is dropped; alone, the ears hang up in the end."""
    monkeypatch.setattr(microphone, "ALONE_SECONDS", 2)
    recogniser, told = ScriptedRecogniser("two hundred"), list[str]()
    manner = Manner(is_alone=True)
    ears = MicrophoneEars(recogniser, manner, tell=told.append, open_device=devices.open)
    heard = listen(ears, half_and_lost(devices))
    assert heard == HungUp("The microphone 'Headset' gives no sound any more.")
    assert [] == recogniser.heard
    gone = "The microphone 'Headset' is gone. The walk waits for it. When it is back"
    assert [gone] == [sentence[: len(gone)] for sentence in told]
    ears.close()


def test_one_that_comes_back_answers_the_same_turn(devices: RoomDevices) -> None:
    """The same device is asked for again by its name, and the whole answer is then heard."""
    recogniser, told = ScriptedRecogniser("two thirty volts"), list[str]()
    ears = MicrophoneEars(recogniser, tell=told.append, open_device=devices.open)

    def speak() -> None:
        half_and_lost(devices)()
        until(lambda: len(told) == 1, 10)
        assert devices.opened[0].is_closed
        devices.is_plugged_in = True
        until(lambda: len(told) == 2, 10)
        until(lambda: ears._gate._is_open, 10)
        whole = np.concatenate([quiet(0.5), recorded("two_hundred_thirty_volts"), quiet(2.0)])
        devices.opened[1].play(whole)

    assert Heard("two thirty volts", source="microphone") == listen(ears, speak)
    assert "The microphone 'Headset' is back and listens." == told[1]
    assert ["", "Headset"] == [devices.asked[0], devices.asked[-1]]
    ears.close()


def test_none_at_the_start_is_told_and_waited_for(devices: RoomDevices) -> None:
    """Where the answers can be typed, a microphone that is plugged in later is taken."""
    devices.is_plugged_in, told = False, list[str]()
    ears = MicrophoneEars(ScriptedRecogniser(), tell=told.append, open_device=devices.open)
    assert [
        "There is no microphone on this machine. Plug one in. Type the answers meanwhile."
    ] == told
    devices.is_plugged_in = True
    until(lambda: len(told) == 2, 10)
    ears.close()
    devices.is_plugged_in = False
    with pytest.raises(EarsError, match="There is no microphone"):
        MicrophoneEars(ScriptedRecogniser(), Manner(is_alone=True), open_device=devices.open)


def test_what_is_said_aside_is_not_heard(devices: RoomDevices) -> None:
    """While a notice is spoken nothing is heard, and an answer that had begun is dropped."""
    recogniser = ScriptedRecogniser("two thirty volts")
    ears = MicrophoneEars(recogniser, open_device=devices.open)
    said = np.concatenate([quiet(0.5), recorded("two_hundred_thirty_volts"), quiet(2.0)])

    def speak() -> None:
        devices.opened[0].play(said[:16000])
        ears.aside(lambda: devices.opened[0].play(said))
        until(lambda: ears._gate._is_open, 20)
        devices.opened[0].play(said)

    assert isinstance(listen(ears, speak), Heard)
    assert 1 == len(recogniser.heard)
    ears.close()


def test_closing_twice_and_listening_behind_it(devices: RoomDevices) -> None:
    """Closed ears hang up, and close once more without complaint."""
    recogniser = ScriptedRecogniser()
    ears = MicrophoneEars(recogniser, open_device=devices.open)
    ears.close()
    ears.close()
    assert devices.opened[0].is_closed
    assert recogniser.is_closed
    assert isinstance(ears.listen(VOLTS), HungUp)


def test_the_gate_is_bounded() -> None:
    """Where nobody takes the blocks the oldest are lost: 30 s are kept, no more."""
    gate = Gate()
    gate.resume()
    for number in range(BLOCKS_WAITING + 5):
        gate.put(np.full(BLOCK, number, np.int16))
    assert gate._blocks.qsize() == BLOCKS_WAITING
    first = gate._blocks.get()
    assert isinstance(first, np.ndarray)
    assert first[0] == 5


def test_frames_are_whole_and_in_order() -> None:
    """Blocks of odd lengths come out as frames, nothing lost behind the tail."""
    gate = Gate()
    gate.resume()
    sound = np.arange(RATE, dtype=np.int16)
    cuts = [0, 100, 3000, 3001, 9000, RATE]
    for start, end in itertools.pairwise(cuts):
        gate.put(sound[start:end])
    frames = gate.frames()
    count = (RATE - TAIL) // FRAME
    together = np.concatenate([next(frames) for _ in range(count)])
    assert np.array_equal(sound[TAIL : TAIL + len(together)], together)


def found(*names: str) -> Callable[[], Devices]:
    """Give a list of devices as the system would."""
    return lambda: Devices("ALSA", tuple(Found(name) for name in names))


def test_no_microphone_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without any, and without the one named, one sentence; the known ones are the hint."""
    monkeypatch.setattr(capture, "microphones", found())
    with pytest.raises(EarsError, match="There is no microphone on this machine"):
        open_capture("", lambda _block: None)
    monkeypatch.setattr(capture, "microphones", found("Built-in", "Headset"))
    with pytest.raises(EarsError, match="no microphone 'desk'") as caught:
        open_capture("desk", lambda _block: None)
    assert "Built-in, Headset" in caught.value.hint


def test_a_device_that_does_not_open_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """What ALSA without a card answers (`failed to init device`) becomes a sentence."""

    def refuse(**settings: object) -> None:
        raise miniaudio.MiniaudioError("failed to init device", settings)

    monkeypatch.setattr(capture, "microphones", found("Headset"))
    monkeypatch.setattr(miniaudio, "CaptureDevice", refuse)
    with pytest.raises(EarsError, match="The microphone 'Headset' cannot be opened"):
        open_capture("head", lambda _block: None)


def test_the_null_backend_is_no_microphone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without a sound system has no microphone, though miniaudio offers one."""
    real = miniaudio.Devices
    monkeypatch.setattr(miniaudio, "Devices", lambda: real([miniaudio.Backend.NULL]))
    assert () == capture.microphones().names
    with pytest.raises(EarsError, match="There is no microphone"):
        open_capture("", lambda _block: None)


def test_real_capture_at_the_pace_of_real_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Real capture on the null backend gives the blocks of a second in about a second."""
    real = miniaudio.CaptureDevice

    def open_null(**settings: Any) -> miniaudio.CaptureDevice:  # noqa: ANN401
        return real(**settings, backends=[miniaudio.Backend.NULL])

    monkeypatch.setattr(capture, "microphones", found("Null"))
    monkeypatch.setattr(miniaudio, "CaptureDevice", open_null)
    gate = Gate()
    device = open_capture("", gate.put)
    until(lambda: gate.arrived * BLOCK >= RATE, 10)
    device.close()
    assert gate.sounded == 0
