"""Which devices there are, and that a sound service that hangs holds nobody up."""

import threading
import time
from types import SimpleNamespace
from typing import Any

import miniaudio
import pytest

from assistant import devices
from assistant.devices import DeviceError, Devices, Found, Helper, Kind, list_devices

THREE = Devices(
    "PulseAudio",
    (Found("Monitor of Headset"), Found("Built-in"), Found("Headset", is_usual=True)),
)


def test_the_usual_one_and_one_by_name() -> None:
    """The whole name goes before a part of it; what hears a loudspeaker only by its name."""
    assert ("Built-in", "Headset") == THREE.names
    assert THREE.usual() == Found("Headset", is_usual=True)
    assert THREE.named("head") == Found("Monitor of Headset")
    assert THREE.named("Headset") == Found("Headset", is_usual=True)
    assert THREE.named("desk") is None
    assert Devices("ALSA", (Found("Monitor of X"),)).usual() is None


def test_what_leads_nowhere_is_not_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """ALSA lists its plugins and a device that discards, PulseAudio a dummy, as devices."""
    names = [
        "Discard all samples (playback) or generate zero samples (capture)",
        "Rate Converter Plugin Using Speex Resampler",
        "Plugin for channel upmix (4,6,8)",
        "JACK Audio Connection Kit",
        "Dummy Output",
        "USB headset",
    ]
    service: Any = SimpleNamespace(backend="ALSA")
    monkeypatch.setattr(miniaudio, "Devices", lambda: service)
    monkeypatch.setattr(devices, "_enumerate", lambda *_: [Found(name) for name in names])
    assert list_devices(Kind.LOUDSPEAKER) == Devices("ALSA", (Found("USB headset"),))


def test_no_service_is_an_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """A context that cannot be made, and miniaudio's stand-in, are no devices."""

    def refuse() -> None:
        raise miniaudio.MiniaudioError("cannot init context", -1)

    real = miniaudio.Devices
    monkeypatch.setattr(miniaudio, "Devices", refuse)
    assert list_devices(Kind.MICROPHONE) == Devices("Null")
    monkeypatch.setattr(miniaudio, "Devices", lambda: real([miniaudio.Backend.NULL]))
    assert list_devices(Kind.MICROPHONE) == Devices("Null")


def test_a_call_that_hangs_is_given_up_and_blocks_no_other() -> None:
    """While one hangs the next are refused at once; when it has come back they are made."""
    helper, let_go = Helper("test"), threading.Event()
    with pytest.raises(DeviceError, match="does not answer"):
        helper.run(let_go.wait, 0.05)
    began = time.monotonic()
    with pytest.raises(DeviceError):
        helper.run(lambda: 1, 30)
    assert time.monotonic() - began < 15
    let_go.set()
    time.sleep(0.1)
    assert 2 == helper.run(lambda: 2, 30)


def test_what_a_call_raises_comes_out() -> None:
    """An error of the call is the caller's, and the helper goes on."""
    helper = Helper("test")
    with pytest.raises(ZeroDivisionError):
        helper.run(lambda: 1 // 0, 30)
    assert 3 == helper.run(lambda: 3, 30)
