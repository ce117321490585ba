"""Into our own voice only "stop" and "hold on" are heard, and never a word that it says itself."""

import threading
import time
from collections.abc import Callable

import numpy as np
import pytest
from ears_tools import ScriptedRecogniser, noise, quiet, tone

from assistant.desk.overheard import OverheardVoice
from assistant.ears.capture import Take
from assistant.ears.listening import frames_of
from assistant.ears.microphone import MicrophoneEars
from assistant.ears.overhearing import is_barge_in, overhear
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import RATE, Samples
from assistant.spoken.expectations import expectation_for_unit
from assistant.voice.aloud import SpokenVoice
from assistant.voice.samples import Samples as Played
from assistant.walk.ends import Heard, Role, Utterance

VOLTS = expectation_for_unit("volt")
PROMPT = Utterance(Role.PROMPT, "Set the meter to ohms.")
NEXT = Utterance(Role.PROMPT, "Put the leads on common.")
OWN = frozenset({"set", "the", "meter", "to", "ohms"})


@pytest.mark.parametrize(
    ("words", "own", "is_one"),
    [
        ("stop", OWN, True),
        ("hold on", OWN, True),
        ("hold", OWN, False),
        ("help", OWN, False),
        ("two thirty volts", OWN, False),
        ("", OWN, False),
        ("stop", frozenset({"say", "stop"}), False),
        ("hold on", frozenset({"hold", "the", "probe"}), False),
        ("hold on", frozenset({"power", "is", "on"}), True),
    ],
)
def test_only_the_two_phrases_and_not_our_own_words(
    words: str, own: frozenset[str], is_one: bool
) -> None:
    """Every other command waits for its turn; what our own voice says is not believed."""
    assert is_one == is_barge_in(Hypothesis(words), own)


def test_a_recogniser_that_doubts_breaks_nothing_off() -> None:
    """Another meaning that is as likely is reason enough to go on speaking."""
    assert not is_barge_in(Hypothesis("stop", ("help",)), OWN)
    assert is_barge_in(Hypothesis("stop", ("stop it", "got it")), OWN)


def word(seconds: float = 0.4) -> Samples:
    """Give something that a voice detector takes for a voice."""
    time_axis = np.arange(int(seconds * RATE)) / RATE
    buzz = sum(np.sin(2 * np.pi * 130 * n * time_axis) / n for n in range(1, 25))
    shape = np.abs(np.sin(2 * np.pi * 2.5 * time_axis))
    made: Samples = (3000 * np.asarray(buzz) * shape).astype(np.int16)
    return made


def test_a_word_in_the_quiet_is_caught_and_a_long_sound_is_none() -> None:
    """What never pauses, as a voice that leaks back, is dropped piece by piece."""
    recogniser = ScriptedRecogniser("stop")
    sound = np.concatenate([noise(1, 20), word(), noise(1, 20)])
    caught = overhear(frames_of(sound), recogniser, PROMPT.text)
    assert caught is not None
    assert "stop" == caught[0]
    assert len(caught[1]) < 1.4 * RATE
    assert overhear(frames_of(tone(8)), ScriptedRecogniser("stop"), PROMPT.text) is None


class Device:
    """A microphone that is played into."""

    name = "Headset"

    def __init__(self, take: Take) -> None:
        self._take = take

    def play(self, samples: Samples) -> None:
        """Give all of a sound, at about the pace of real time."""
        for at in range(0, len(samples), 960):
            self._take(samples[at : at + 960])
            time.sleep(0.01)

    def close(self) -> None:
        """Do nothing."""


class Maker:
    """Renders a text's own bytes."""

    def render(self, text: str, rate: int, volume: float, voice: str) -> Played:
        """Render."""
        del rate, volume, voice
        return Played(text.encode(), 8000)

    def close(self) -> None:
        """Do nothing."""


class Speaker:
    """Speaks until it is stopped; something happens meanwhile."""

    def __init__(self, meanwhile: Callable[[], None]) -> None:
        self.played: list[str] = []
        self.is_stopped = threading.Event()
        self._meanwhile = meanwhile

    def play(self, samples: Played) -> None:
        """Play."""
        self.played.append(samples.data.decode())
        self.is_stopped.clear()
        self._meanwhile()
        self.is_stopped.wait(0.5)

    def stop(self) -> None:
        """Break off."""
        self.is_stopped.set()

    def close(self) -> None:
        """Do nothing."""


def ears_and_voice(
    words: str, sound: Samples
) -> tuple[MicrophoneEars, OverheardVoice, Speaker, ScriptedRecogniser]:
    """Give ears that hear a sound while the voice speaks, and take it for these words."""
    opened, recogniser = list[Device](), ScriptedRecogniser(words)

    def open_device(_name: str, take: Take) -> Device:
        opened.append(Device(take))
        return opened[-1]

    ears = MicrophoneEars(recogniser, open_device=open_device)
    speaker = Speaker(lambda: opened[0].play(sound))
    spoken = SpokenVoice(Maker(), speaker, pytest.fail)
    return ears, OverheardVoice(spoken, lambda: ears), speaker, recogniser


def test_hold_on_stops_the_voice_and_is_the_next_answer() -> None:
    """The rest of the turn is not said; the ears give it at once; then all is as usual."""
    sound = np.concatenate([noise(0.6, 20), word(), noise(1, 20)])
    ears, voice, speaker, _ = ears_and_voice("hold on", sound)
    voice.say(PROMPT)
    assert speaker.is_stopped.is_set()
    voice.say(NEXT)
    assert [PROMPT.text] == speaker.played
    assert Heard("hold on", source="microphone") == ears.listen(VOLTS)
    voice.begin_turn()
    voice.say(NEXT)
    assert [PROMPT.text, NEXT.text] == speaker.played
    voice.close()
    ears.close()


def test_a_number_said_into_the_voice_is_no_answer() -> None:
    """It is not kept for the turn: whoever speaks too early is asked."""
    sound = np.concatenate([noise(0.6, 20), word(), noise(1, 20)])
    ears, voice, speaker, recogniser = ears_and_voice("two thirty volts", sound)
    voice.say(PROMPT)
    assert not speaker.is_stopped.is_set()
    assert 1 == len(recogniser.heard)
    assert ears._caught is None
    ears.close()


def test_quiet_is_recognised_by_nobody() -> None:
    """A silent microphone costs no recognising while the voice speaks."""
    ears, voice, _, recogniser = ears_and_voice("stop", quiet(2))
    voice.say(PROMPT)
    assert [] == recogniser.heard
    ears.close()
