"""A sound service of our own for tests: PulseAudio in user space, with no card behind it.

What is played into the sink `mic_in` the microphone `virtual_mic` hears; `Monitor of
virtual_speaker` hears what the loudspeaker `virtual_speaker` says. The service runs in a folder
of its own and is nobody else's: it can be stopped, killed, and lose its devices.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
import threading
import time
import wave
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from assistant.devices import Kind, list_devices
from assistant.ears.capture import Microphone
from assistant.ears.sound import RATE, Samples

MICROPHONE, LOUDSPEAKER = "virtual_mic", "virtual_speaker"
LACKS = "needs PulseAudio: apt-get install pulseaudio pulseaudio-utils"
START_SECONDS, ANSWER_SECONDS, PLAY_SECONDS = 10.0, 10.0, 60.0
_MIC = (
    "module-remap-source",
    *("source_name=vmic", "master=mic_in.monitor"),
    f"source_properties=device.description={MICROPHONE}",
)
_SPEAKER = (
    "module-null-sink",
    *("sink_name=spk", "rate=48000", "channels=2"),
    f"sink_properties=device.description={LOUDSPEAKER}",
)


_PLAY = ("paplay", "--device=mic_in", "--latency-msec=40")
"""Plays into the microphone; with its usual latency of 2 s the microphone would be as late."""


def is_installed() -> bool:
    """Whether this machine has what it needs."""
    return all(shutil.which(name) for name in ("pulseaudio", "pactl", "paplay"))


class VirtualSound:
    """The service, with one microphone and one loudspeaker.

    Args:
        folder: where its socket and its files are; short, since a socket's path is limited.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._modules: dict[str, str] = {}
        self._service: subprocess.Popen[bytes] | None = None
        self._noise: subprocess.Popen[bytes] | None = None

    @property
    def environment(self) -> dict[str, str]:
        """Give what a program needs in its environment to find this service and no other."""
        names = ("PULSE_RUNTIME_PATH", "PULSE_STATE_PATH", "XDG_RUNTIME_DIR")
        return dict.fromkeys(names, str(self._folder)) | {
            "PULSE_SERVER": f"unix:{self._folder}/socket",
            "PULSE_COOKIE": str(self._folder / "cookie"),
        }

    def start(self) -> None:
        """Start it, and wait until it answers."""
        self._service = subprocess.Popen(
            [
                *("pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no"),
                *("--disallow-exit=0", "--log-level=error"),
                *(
                    "-L",
                    f"module-native-protocol-unix auth-anonymous=1 socket={self._folder}/socket",
                ),
                *("-L", "module-null-sink sink_name=mic_in rate=16000 channels=1 format=s16le"),
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=os.environ | self.environment,
        )
        until(lambda: self._ask("info").returncode == 0, START_SECONDS)
        self.plug_in_microphone()
        self.plug_in_loudspeaker()

    def _ask(self, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["pactl", *words],
            capture_output=True,
            text=True,
            check=False,
            env=os.environ | self.environment,
            timeout=ANSWER_SECONDS,
        )

    def _plug_in(self, what: str, module: tuple[str, ...], usual: tuple[str, str]) -> None:
        loaded = self._ask("load-module", *module)
        assert loaded.returncode == 0, loaded.stderr
        self._modules[what] = loaded.stdout.strip()
        self._ask(*usual)

    def plug_in_microphone(self) -> None:
        """Plug the microphone in."""
        self._plug_in(MICROPHONE, _MIC, ("set-default-source", "vmic"))

    def plug_in_loudspeaker(self) -> None:
        """Plug the loudspeaker in."""
        self._plug_in(LOUDSPEAKER, _SPEAKER, ("set-default-sink", "spk"))

    def pull_out(self, what: str) -> None:
        """Pull the microphone or the loudspeaker out."""
        assert self._ask("unload-module", self._modules.pop(what)).returncode == 0

    def say(self, file: Path) -> None:
        """Play a WAV file into the microphone, to its end."""
        subprocess.run(
            [*_PLAY, str(file)],
            check=True,
            env=os.environ | self.environment,
            timeout=PLAY_SECONDS,
        )

    def say_later(self, file: Path, seconds: float = 0.0) -> threading.Timer:
        """Play a WAV file into the microphone from another thread; it has been started."""
        timer = threading.Timer(seconds, self.say, [file])
        timer.start()
        return timer

    def make_noise(self, height: float = 30.0) -> None:
        """Let the room be as quiet as a room is, instead of digitally silent.

        Args:
            height: of white noise, in steps of 16 bit; 30 is -61 dB of full scale.
        """
        file = self._folder / "noise.wav"
        noise = np.random.default_rng(5).normal(0, height, RATE * 120)
        write_sound(file, noise.astype(np.int16))
        self._noise = subprocess.Popen(
            [*_PLAY, str(file)],
            stderr=subprocess.DEVNULL,
            env=os.environ | self.environment,
        )
        time.sleep(0.3)

    def end_noise(self) -> None:
        """Let the microphone give digital silence again."""
        if self._noise is not None:
            self._noise.kill()
            self._noise.wait()
            self._noise = None

    def hang(self) -> None:
        """Let the service answer nobody."""
        if self._service is not None:
            self._service.send_signal(signal.SIGSTOP)

    def kill(self) -> None:
        """Let the service vanish; it can be started again."""
        self.end_noise()
        if self._service is not None:
            self._service.kill()
            self._service.wait()
            self._service = None


def write_sound(file: Path, samples: Samples, rate: int = RATE) -> Path:
    """Write mono sound of 16 bit as a WAV file, and give the file."""
    with wave.open(str(file), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(samples.astype("<i2").tobytes())
    return file


def until(holds: Callable[[], bool], seconds: float) -> None:
    """Wait until something holds."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.02)


class Recorder:
    """Records what the virtual loudspeaker is given."""

    def __init__(self) -> None:
        self.blocks: list[tuple[float, Samples]] = []
        found = list_devices(Kind.MICROPHONE).named(f"Monitor of {LOUDSPEAKER}")
        assert found is not None
        self._device = Microphone(found, self._take)
        until(lambda: bool(self.blocks), 5)

    def _take(self, block: Samples) -> None:
        self.blocks.append((time.monotonic(), block.copy()))

    @property
    def sound(self) -> Samples:
        """Give all that was recorded, mono, 16 kHz."""
        whole: Samples = np.concatenate([block for _, block in self.blocks])
        return whole

    @property
    def last_sound_at(self) -> float:
        """Give when the last block with any sound in it came."""
        return max((at for at, block in self.blocks if np.abs(block).max() > 3), default=0.0)

    def close(self) -> None:
        """End the recording."""
        self._device.close()


@pytest.fixture
def virtual_sound(monkeypatch: pytest.MonkeyPatch) -> Iterator[VirtualSound]:
    """Give a running service, which this process and those it starts take for the machine's."""
    if not is_installed():
        pytest.skip(LACKS)
    with tempfile.TemporaryDirectory(prefix="rvs-", ignore_cleanup_errors=True) as folder:
        service = VirtualSound(Path(folder))
        for name, value in service.environment.items():
            monkeypatch.setenv(name, value)
        try:
            service.start()
            yield service
        finally:
            with contextlib.suppress(Exception):
                service.kill()
