"""Real capture: what a virtual microphone hears, a real recogniser takes; losses and returns."""

import threading
import time
from collections.abc import Iterator

import pytest
from ears_tools import DATA, ScriptedRecogniser

from assistant.ears.capture import microphones
from assistant.ears.endpoint import Patience
from assistant.ears.microphone import Manner, MicrophoneEars
from assistant.ears.sphinx import SphinxRecogniser
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Heard, Silence, Sound
from tests.tools.virtual_sound import MICROPHONE, VirtualSound, until

VOLTS = expectation_for_unit("volt")
SAID = DATA / "two_hundred_thirty_volts.wav"


class Told:
    """Keeps the sentences about the device."""

    def __init__(self) -> None:
        self.sentences: list[str] = []

    def __call__(self, sentence: str) -> None:
        """Keep one."""
        self.sentences.append(sentence)

    def wait(self, words: str, seconds: float = 10) -> None:
        """Wait for a sentence with these words."""
        until(lambda: any(words in sentence for sentence in self.sentences), seconds)


class Listening(threading.Thread):
    """Listens once in a thread of its own."""

    def __init__(self, ears: MicrophoneEars) -> None:
        super().__init__(daemon=True)
        self._ears = ears
        self.heard: Sound | None = None
        self.start()

    def run(self) -> None:
        """Listen."""
        self.heard = self._ears.listen(VOLTS)

    def result(self, seconds: float) -> Sound | None:
        """Give what was heard."""
        self.join(seconds)
        return self.heard


@pytest.fixture
def told() -> Told:
    """Give a keeper of sentences."""
    return Told()


@pytest.fixture
def ears(virtual_sound: VirtualSound, told: Told) -> Iterator[MicrophoneEars]:
    """Give ears on the virtual microphone, in a room that is quiet."""
    virtual_sound.make_noise()
    made = MicrophoneEars(SphinxRecogniser(), Manner(patience=Patience(before=20)), tell=told)
    yield made
    made.close()


def test_only_what_hears_a_room_is_a_microphone(virtual_sound: VirtualSound) -> None:
    """The sources that hear a loudspeaker are not offered, and never taken unless named."""
    del virtual_sound
    found = microphones()
    assert (MICROPHONE,) == found.names
    usual = found.usual()
    assert usual is not None
    assert usual.name == MICROPHONE


def test_what_is_said_is_heard(virtual_sound: VirtualSound, ears: MicrophoneEars) -> None:
    """A recording played into the microphone comes out as its words."""
    listening = Listening(ears)
    time.sleep(0.5)
    virtual_sound.say(SAID)
    heard = listening.result(20)
    assert isinstance(heard, Heard)
    assert heard.words in {"two hundred thirty volts", "two thirty volts"}


def test_a_microphone_pulled_out_and_put_back(
    virtual_sound: VirtualSound, ears: MicrophoneEars, told: Told
) -> None:
    """Both are told of in time, and the same listening takes the answer afterwards."""
    listening = Listening(ears)
    time.sleep(1)
    virtual_sound.pull_out(MICROPHONE)
    told.wait("is gone. Type the answers")
    virtual_sound.plug_in_microphone()
    told.wait("is back")
    time.sleep(0.5)
    virtual_sound.say(SAID)
    assert isinstance(listening.result(20), Heard)
    assert len(told.sentences) == 2


def test_a_service_that_dies_and_comes_back(
    virtual_sound: VirtualSound, ears: MicrophoneEars, told: Told
) -> None:
    """The whole sound service may go: it is a lost microphone, and it comes back."""
    listening = Listening(ears)
    time.sleep(1)
    virtual_sound.kill()
    told.wait("is gone")
    virtual_sound.start()
    virtual_sound.make_noise()
    told.wait("is back")
    time.sleep(0.5)
    virtual_sound.say(SAID)
    assert isinstance(listening.result(20), Heard)


def test_a_service_that_hangs_is_a_lost_microphone(
    virtual_sound: VirtualSound, ears: MicrophoneEars, told: Told
) -> None:
    """A service that answers nobody holds up nobody."""
    time.sleep(1)
    virtual_sound.hang()
    told.wait("is gone")
    listening = Listening(ears)
    time.sleep(0.2)
    ears.break_off()
    assert Silence("microphone") == listening.result(5)


def test_a_muted_microphone_is_told_of(virtual_sound: VirtualSound, told: Told) -> None:
    """Digital silence is told once; when there is sound again, that is told and heard."""
    ears = MicrophoneEars(ScriptedRecogniser("two thirty volts"), tell=told)
    listening = Listening(ears)
    told.wait("gives only silence")
    virtual_sound.make_noise()
    told.wait("gives sound again")
    virtual_sound.say(SAID)
    heard = listening.result(20)
    assert isinstance(heard, Heard)
    assert (heard.words, heard.source) == ("two thirty volts", "microphone")
    assert len(told.sentences) == 2
    ears.close()
