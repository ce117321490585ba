"""Push-to-talk: taps, held keys, releases; only what is said meanwhile counts."""

import threading
import time
from itertools import islice

import numpy as np
import pytest
from ears_tools import RoomDevices, ScriptedRecogniser, quiet, recorded

from assistant.ears import talk as talking
from assistant.ears.gate import BLOCKS_AFTER, Gate
from assistant.ears.microphone import Manner, MicrophoneEars
from assistant.ears.talk import Presses, TalkKey, TalkMode, TalkState
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Heard, Sound
from tests.tools.virtual_sound import until

VOLTS = expectation_for_unit("volt")
SAID = recorded("two_hundred_thirty_volts")


class Clock:
    """A clock that is set by hand."""

    now = 100.0

    def __call__(self) -> float:
        """Give the time."""
        return self.now


@pytest.fixture
def key() -> TalkKey:
    """Give a talk key that an answer is waited for with."""
    made = TalkKey(TalkMode.PUSH)
    made.wait()
    return made


def test_each_state_is_shown_in_words() -> None:
    """Whoever cannot hear reads whether the microphone listens, and which key changes that."""
    key, shown = TalkKey(TalkMode.PUSH, "f12"), list[str]()
    key.show_on(shown.append)
    for change in (key.wait, key.wait, key.press, key.release):
        change()
    assert [
        "Talk key: press F12 and speak.",
        "Talk key: LISTENING; press F12 when you have spoken.",
        "Talk key: not listening.",
    ] == shown


def test_an_open_microphone_shows_nothing() -> None:
    """Where all sound counts there is no state to show."""
    key, shown = TalkKey(), list[str]()
    key.show_on(shown.append)
    key.wait()
    assert key.lets_through
    assert [] == shown


def test_a_press_means_nothing_where_no_answer_is_wanted() -> None:
    """While our own voice speaks the key opens nothing; it says only that somebody wants to."""
    key, early = TalkKey(TalkMode.PUSH), list[int]()
    Presses(key, early=lambda: early.append(1)).press()
    assert not key.lets_through
    assert [1] == early


def test_two_taps_begin_and_end(key: TalkKey) -> None:
    """A terminal that tells no releases: the second tap ends it, a moment later."""
    clock = Clock()
    presses = Presses(key, clock)
    presses.press()
    assert key.state is TalkState.TALKING
    clock.now += 1.5
    presses.press()
    until(lambda: key.state is TalkState.SHUT, 5)


def test_a_held_key_repeats_and_ends_when_it_is_let_go(
    key: TalkKey, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Repeats that come quickly are no taps; talking ends when they stop coming."""
    monkeypatch.setattr(talking, "GAP_SECONDS", 0.6)
    clock = Clock()
    presses = Presses(key, clock)
    presses.press()
    clock.now += 0.5
    for _ in range(10):
        presses.press()
        clock.now += 0.03
        time.sleep(0.03)
        assert key.state is TalkState.TALKING
    until(lambda: key.state is TalkState.SHUT, 5)


def test_a_release_ends_what_was_held_and_not_what_was_tapped(key: TalkKey) -> None:
    """Where releases are told: a short one belongs to a tap, a later one ends the talking."""
    clock = Clock()
    presses = Presses(key, clock)
    presses.press()
    clock.now += 0.1
    presses.release()
    assert key.lets_through
    clock.now += 2
    presses.release()
    assert not key.lets_through


def test_only_sound_while_talking_passes_the_gate(key: TalkKey) -> None:
    """Nothing before the press, and behind it only what the device held; then the answer ends."""
    gate = Gate(key)
    gate.resume()
    gate.put(np.full(960, 1, np.int16))
    key.press()
    gate.put(np.full(960, 2, np.int16))
    key.release()
    for number in range(3, 3 + BLOCKS_AFTER + 2):
        gate.put(np.full(960, number, np.int16))
    frames = gate.frames()
    held = range(2, 3 + BLOCKS_AFTER)
    first_of_blocks = islice(frames, 0, 3 * (len(held) + 2), 3)
    assert [*held, 0, 0] == [int(frame[0]) for frame in first_of_blocks]


def test_who_presses_the_moment_it_is_asked_for_is_heard(key: TalkKey) -> None:
    """The gate is open before the line asks for a press, so nothing said at once is lost."""
    gate = Gate(key)
    key.shut()

    def at_once(_line: str) -> None:
        key.show_on(lambda _: None)
        key.press()
        gate.put(np.full(960, 5, np.int16))

    key.show_on(at_once)
    gate.resume()
    gate.put(np.full(960, 6, np.int16))
    assert 5 == next(gate.frames())[0]


def test_an_answer_is_what_was_said_while_the_key_was_down() -> None:
    """What is said before is not heard, however loud; one answer comes of it, not a silence."""
    devices = RoomDevices()
    recogniser, key = ScriptedRecogniser("two thirty volts"), TalkKey(TalkMode.PUSH)
    ears = MicrophoneEars(recogniser, Manner(talk=key), open_device=devices.open)
    device = devices.opened[0]
    heard = list[Sound]()
    listening = threading.Thread(target=lambda: heard.append(ears.listen(VOLTS)), daemon=True)
    listening.start()
    until(lambda: key.state is TalkState.WAITING, 5)
    device.play(SAID)
    key.press()
    key.release()
    device.play(quiet(0.5))
    until(lambda: key.state is TalkState.WAITING, 5)
    assert [] == heard
    key.press()
    device.play(np.concatenate([quiet(0.3), SAID, quiet(0.2)]))
    key.release()
    device.play(quiet(0.5))
    listening.join(10)
    assert [Heard("two thirty volts", source="microphone")] == heard
    before = np.concatenate([quiet(0.5), quiet(0.3), SAID, quiet(0.7)])
    assert all(len(sound) <= len(before) for sound in recogniser.heard)
    ears.close()
