"""Level and noise as figures and in words; the limits are common practice, no source."""

import numpy as np
import pytest
from ears_tools import noise, quiet, recorded, tone

from assistant.ears.gate import Gate
from assistant.ears.levels import Levels, measure, record
from assistant.ears.sound import RATE, Samples


def test_a_sine_and_silence_measure_as_they_are() -> None:
    """A full sine has -3 dB of full scale; nothing at all is told as such."""
    full = measure(tone(1, hertz=450, height=32767))
    assert pytest.approx(-3.01, abs=0.05) == full.loudest
    assert pytest.approx(full.loudest, abs=0.1) == full.room
    assert measure(quiet(1)).is_silent
    assert measure(np.zeros(0, np.int16)).is_silent


def test_a_mute_switch_with_dither_is_silence_and_a_quiet_room_is_not() -> None:
    """Some devices give their last bit or two while muted; at 3 somebody may be there."""
    dither = np.tile(np.array([-2, 2, 0, 1], np.int16), RATE)
    assert measure(dither).is_silent
    assert not measure(np.append(dither, np.full(320, 3, np.int16))).is_silent
    gate = Gate()
    for block in (dither, dither + 3):
        gate.put(block)
        assert (gate.sounded == gate.arrived) == (block is not dither)


def voice_over(room: float, height: float) -> Samples:
    """Give speech between stretches of a room's noise."""
    speech = recorded("two_hundred_thirty_volts").astype(np.float64)
    speech *= height / np.abs(speech).max()
    sound = noise(5, room).astype(np.float64)
    sound[RATE : RATE + len(speech)] += speech
    return np.clip(sound, -32768, 32767).astype(np.int16)


@pytest.mark.parametrize(
    ("sound", "words"),
    [
        (quiet(1), "silence: it gives nothing"),
        (voice_over(30, 16000), "good"),
        (voice_over(2, 150), "too quiet: move the microphone nearer"),
        (voice_over(5000, 30000), "too loud here to hear numbers safely"),
        (noise(3, 20), "quiet"),
        (noise(3, 200), "somewhat loud"),
        (noise(3, 1500), "loud: numbers will be asked back"),
        (np.clip(tone(1).astype(float) * 9, -32768, 32767).astype(np.int16), "clipping"),
    ],
    ids=["silent", "good", "far", "drowned", "quiet", "hum", "loud", "clipped"],
)
def test_words_say_what_to_do(sound: Samples, words: str) -> None:
    """Each case has its words; the figures stand beside them as a bar and as text."""
    levels = measure(sound)
    assert levels.verdict.startswith(words)
    assert "dBFS" in levels.lines[0]
    assert levels.lines[-1] == f"so it is {levels.verdict}."


@pytest.mark.parametrize(
    ("loudest", "bar"),
    [(-100.0, "-" * 30), (-60.0, "-" * 30), (-30.0, "#" * 15 + "-" * 15), (0.0, "#" * 30)],
)
def test_the_bar_is_as_long_as_the_level(loudest: float, bar: str) -> None:
    """From -60 dB, nothing, to 0, all of it."""
    assert f"[{bar}]" in Levels(loudest, -60.0).lines[0]


def test_recording_ends_where_nothing_comes() -> None:
    """As much as was asked for, from blocks of any length."""

    class Device:
        name, is_closed = "Headset", False

        def close(self) -> None:
            Device.is_closed = True

    def open_device(_name: str, take: object) -> Device:
        assert callable(take)
        for _ in range(20):
            take(np.ones(960, np.int16))
        return Device()

    assert RATE <= len(record("", 1.0, open_device)) <= RATE + 20 * 960
    assert Device.is_closed
