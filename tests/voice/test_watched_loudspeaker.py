"""A loudspeaker that goes and comes: told once each, and what was not heard is said again."""

import threading
import time

import pytest

from assistant.devices import Devices, Found
from assistant.voice.aloud import SpokenVoice
from assistant.voice.samples import Samples
from assistant.voice.watched import WatchedLoudspeaker
from assistant.walk.ends import Role, Utterance

HEADSET = Devices("ALSA", (Found("Headset", is_usual=True), Found("Built-in")))
BUILT_IN = Devices("ALSA", (Found("Built-in", is_usual=True),))
NONE = Devices("Null")
CAUTION = Utterance(Role.CAUTION, "The capacitor can hold a charge.")
PROMPT = Utterance(Role.PROMPT, "Say: it is bled.")


class Room:
    """What there is, and what was told of it."""

    def __init__(self, there: Devices) -> None:
        self.there = there
        self.told: list[str] = []
        self.back: list[str] = []
        self.lost = 0

    def watch(self, wanted: str = "") -> WatchedLoudspeaker:
        """Watch it, without a thread."""
        made = WatchedLoudspeaker(
            wanted, self.told.append, self.back.append, self.lose, lambda: self.there
        )
        made.look()
        return made

    def lose(self) -> None:
        """Count."""
        self.lost += 1


def test_gone_and_back_are_told_once() -> None:
    """However often it is looked at, each change is one sentence."""
    room = Room(BUILT_IN)
    watch = room.watch()
    assert watch.is_here
    for there in (NONE, NONE, BUILT_IN, BUILT_IN):
        room.there = there
        watch.look()
    assert ["The loudspeaker 'Built-in' is gone. What it would say is shown."] == room.told
    assert ["The loudspeaker 'Built-in' is back."] == room.back
    assert 1 == room.lost


def test_one_chosen_by_name_is_waited_for() -> None:
    """Another one does not stand in for it, whatever the system takes."""
    room = Room(HEADSET)
    watch = room.watch("head")
    room.there = BUILT_IN
    watch.look()
    assert not watch.is_here
    assert ["The loudspeaker 'Headset' is gone. What it would say is shown."] == room.told


def test_where_none_was_chosen_another_one_is_used() -> None:
    """The system's other one is heard at once, and named."""
    room = Room(HEADSET)
    watch = room.watch()
    room.there = BUILT_IN
    watch.look()
    assert watch.is_here
    assert ["The loudspeaker 'Built-in' is used now, instead of 'Headset'."] == room.told


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ("", "No loudspeaker was found, so it is only shown."),
        ("desk", "There is no loudspeaker 'desk' on this machine, so it is only shown."),
    ],
)
def test_none_at_the_start_is_told(wanted: str, words: str) -> None:
    """It is a sentence, not an error, and one that comes later is used."""
    room = Room(NONE)
    watch = room.watch(wanted)
    assert [words] == room.told
    room.there = Devices("ALSA", (Found("Desk loudspeaker"),))
    watch.look()
    assert ["The loudspeaker 'Desk loudspeaker' is back."] == room.back


class Maker:
    """Renders a text's own bytes."""

    def render(self, text: str, rate: int, volume: float, voice: str) -> Samples:
        """Render."""
        del rate, volume, voice
        return Samples(text.encode(), 8000)

    def close(self) -> None:
        """Do nothing."""


def do_nothing() -> None:
    """Do nothing."""


class Speaker:
    """Keeps what it plays; what is cut off is lost in the middle."""

    def __init__(self) -> None:
        self.played: list[str] = []
        self.is_cut_off = False
        self.lose = do_nothing

    def play(self, samples: Samples) -> None:
        """Play."""
        if self.is_cut_off:
            self.lose()
            return
        self.played.append(samples.data.decode())

    def stop(self) -> None:
        """Do nothing."""

    def close(self) -> None:
        """Do nothing."""


def test_what_was_cut_off_or_not_tried_is_said_when_it_is_back() -> None:
    """A caution that was lost in the middle is said whole again, and what came behind it."""
    room, speaker = Room(BUILT_IN), Speaker()
    watch = room.watch()
    voice = SpokenVoice(Maker(), speaker, room.told.append, watch=watch)

    def lose() -> None:
        room.there = NONE
        watch.look()

    speaker.lose, speaker.is_cut_off = lose, True
    voice.say(CAUTION)
    voice.say(PROMPT)
    assert 1 == len(room.told)
    speaker.is_cut_off, room.there = False, BUILT_IN
    watch.look()
    voice.catch_up("It is back.")
    assert ["It is back.", CAUTION.text, PROMPT.text] == speaker.played
    voice.catch_up("It is back.")
    assert "It is back." == speaker.played[-1]


def test_what_has_been_answered_is_not_said_again() -> None:
    """A new turn leaves what was not heard of the one before."""
    room, speaker = Room(NONE), Speaker()
    voice = SpokenVoice(Maker(), speaker, room.told.append, watch=room.watch())
    voice.say(CAUTION)
    voice.begin_turn()
    room.there = BUILT_IN
    assert [] == speaker.played
    voice.close()


def test_a_list_that_hangs_is_a_lost_loudspeaker() -> None:
    """A service that does not answer is as good as none, and is told as that."""
    room, let_go = Room(BUILT_IN), threading.Event()
    watch = room.watch()
    room.there = NONE
    watch._list = lambda: (let_go.wait(30), BUILT_IN)[1]
    began = time.monotonic()
    watch.look()
    assert time.monotonic() - began < 15
    assert not watch.is_here
    let_go.set()
