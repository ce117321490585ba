"""Sound is played to its end and no further; a loudspeaker that is not there is told."""

import threading
import time
from typing import Any

import miniaudio
import pytest

from assistant.devices import NULL_BACKEND, Devices, Found
from assistant.voice import player as player_module
from assistant.voice.errors import VoiceError
from assistant.voice.player import (
    LEAD_SECONDS,
    PERIOD_MILLISECONDS,
    PERIODS,
    TAIL_SECONDS,
    Device,
    Feed,
    Outputs,
    Player,
    list_outputs,
    open_loudspeaker,
)
from assistant.voice.samples import NOTHING, Samples, read_wav, write_wav

RATE = 8000
TONE = Samples(bytes(range(1, 251)) * 16, RATE)


class FakeDevice:
    """Takes sound as fast as it can, from a thread of its own as real devices do.

    Args:
        limit: after how many frames it stops taking any.
    """

    def __init__(self, limit: int = 10**9) -> None:
        self.backend = "Fake"
        self.taken = bytearray()
        self.closed = 0
        self._limit = limit
        self._ending = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, callback_generator: Feed) -> None:
        """Begin to take."""
        self._thread = threading.Thread(target=self._take, args=(callback_generator,))
        self._thread.start()

    def _take(self, feed: Feed) -> None:
        while not self._ending.is_set() and len(self.taken) < 2 * self._limit:
            self.taken += feed.send(100)
            time.sleep(0.0002)

    def close(self) -> None:
        """Stop."""
        self._ending.set()
        if self._thread is not None:
            self._thread.join()
        self.closed += 1


def open_null(rate: int) -> Device:
    """Open miniaudio's own device that leads nowhere, paced as a real one."""
    device: Any = miniaudio.PlaybackDevice(
        nchannels=1,
        sample_rate=rate,
        buffersize_msec=PERIOD_MILLISECONDS,
        callback_periods=PERIODS,
        backends=[miniaudio.Backend.NULL],
    )
    opened: Device = device
    return opened


def test_all_of_the_sound_is_handed_over_and_quiet_behind_it() -> None:
    """The device gets the lead, each sample in order and the whole tail, and is closed once."""
    device = FakeDevice()
    Player(lambda _rate: device).play(TONE)
    lead = round(2 * LEAD_SECONDS * RATE)
    assert not any(device.taken[:lead])
    assert TONE.data == bytes(device.taken[lead : lead + len(TONE.data)])
    rest = bytes(device.taken[lead + len(TONE.data) :])
    assert len(rest) >= 2 * TAIL_SECONDS * RATE
    assert not any(rest)
    assert 1 == device.closed


def test_the_tail_is_longer_than_the_device_holds() -> None:
    """What a device still holds when the tail was handed over is only quiet."""
    assert TAIL_SECONDS > PERIODS * PERIOD_MILLISECONDS / 1000


def test_real_device_is_waited_for() -> None:
    """With miniaudio's own pacing, playing takes as long as the sound, three times over."""
    player = Player(open_null)
    for _ in range(3):
        start = time.monotonic()
        player.play(TONE)
        taken = time.monotonic() - start
        assert TONE.seconds - 0.01 <= taken < TONE.seconds + 0.6


def test_stopping_breaks_off() -> None:
    """`stop` from another thread ends a long sound at once, and the next one is played whole."""
    player = Player(open_null)
    threading.Timer(0.1, player.stop).start()
    start = time.monotonic()
    player.play(Samples(bytes(2 * RATE * 20), RATE))
    assert time.monotonic() - start < 2
    start = time.monotonic()
    player.play(TONE)
    assert time.monotonic() - start >= TONE.seconds - 0.01


def test_nothing_is_not_played() -> None:
    """No samples need no device."""
    Player(lambda _rate: pytest.fail("a device was opened")).play(NOTHING)


def test_device_that_stops_taking_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A device that vanished in the middle ends in one sentence, and is closed."""
    monkeypatch.setattr(player_module, "STALLED_LOOKS", 2)
    device = FakeDevice(limit=500)
    with pytest.raises(VoiceError, match="stopped taking sound"):
        Player(lambda _rate: device).play(TONE)
    assert 1 == device.closed


def test_device_that_does_not_start_is_told() -> None:
    """A device that refuses to start ends in one sentence, and is closed."""

    class Refusing(FakeDevice):
        def start(self, callback_generator: Feed) -> None:
            del callback_generator
            raise miniaudio.MiniaudioError("failed to start", -1)

    device = Refusing()
    with pytest.raises(VoiceError, match="does not start"):
        Player(lambda _rate: device).play(TONE)
    assert 1 == device.closed


class NullEverywhere:
    """Stands for miniaudio where it found no sound library at all."""

    def __init__(self, **_settings: object) -> None:
        self.backend = NULL_BACKEND
        self.is_closed = False

    def close(self) -> None:
        """Let go."""
        self.is_closed = True


def test_device_that_leads_nowhere_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Miniaudio's silent stand-in is not taken for a loudspeaker."""
    monkeypatch.setattr(miniaudio, "PlaybackDevice", NullEverywhere)
    with pytest.raises(VoiceError, match="no sound system") as caught:
        open_loudspeaker(RATE)
    assert "--text" in caught.value.hint


def test_no_device_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """Miniaudio's error, as with a sound library but no card, becomes a sentence with a hint."""

    def refuse(**_settings: object) -> None:
        raise miniaudio.MiniaudioError("failed to init device", -401)

    monkeypatch.setattr(miniaudio, "PlaybackDevice", refuse)
    with pytest.raises(VoiceError, match="no sound output that opens"):
        Player().play(TONE)


def test_this_machine_plays_or_tells(capfd: pytest.CaptureFixture[str]) -> None:
    """On any machine the usual output plays or gives one sentence; no library writes on stderr."""
    outputs = list_outputs()
    if outputs.is_null:
        with pytest.raises(VoiceError, match=r"There is no sound"):
            Player().play(TONE)
    else:
        Player().play(TONE)
    assert "" == capfd.readouterr().err


@pytest.mark.parametrize(
    ("outputs", "is_null"),
    [
        (Outputs("ALSA", ("headset",)), False),
        (Outputs("ALSA", ()), True),
        (Outputs(NULL_BACKEND, ("NULL Playback Device",)), True),
    ],
)
def test_null_outputs(outputs: Outputs, is_null: bool) -> None:
    """Sound goes nowhere without a device and with the stand-in."""
    assert is_null == outputs.is_null


def test_a_loudspeaker_that_is_not_there_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """One asked for by name that is missing is told, with those that could be asked for."""
    there = Devices("ALSA", (Found("Built-in"), Found("USB headset")))
    monkeypatch.setattr(player_module, "loudspeakers", lambda: there)
    with pytest.raises(VoiceError, match="no loudspeaker 'desk'") as caught:
        open_loudspeaker(RATE, "desk")
    assert "Built-in, USB headset" in caught.value.hint
    assert Outputs("ALSA", ("Built-in", "USB headset")) == list_outputs()


def test_wav_and_back() -> None:
    """What is written as a WAV file reads the same."""
    assert TONE == read_wav(write_wav(TONE))


@pytest.mark.parametrize("content", [b"", b"RIFF", b"no sound at all", write_wav(TONE)[:20]])
def test_what_is_no_wav_is_told(content: bytes) -> None:
    """Anything else is one sentence."""
    with pytest.raises(VoiceError, match="no readable WAV"):
        read_wav(content)
