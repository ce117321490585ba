"""The voice through a real loudspeaker: what it plays is what can be recorded from it."""

import threading
import time
from collections.abc import Iterator

import miniaudio
import numpy as np
import pytest

from assistant.ears.sound import RATE
from assistant.voice.aloud import SpokenVoice
from assistant.voice.player import Player, open_loudspeaker
from assistant.voice.samples import Samples
from assistant.voice.synthesis import Synthesiser
from assistant.voice.watched import WatchedLoudspeaker
from assistant.walk.ends import Role, Utterance
from tests.tools.virtual_sound import LOUDSPEAKER, Recorder, VirtualSound, until

PROMPT = "Set the meter to ohms. Put the leads on common and on the low tap."
PIECE = RATE // 4


@pytest.fixture
def recorder(virtual_sound: VirtualSound) -> Iterator[Recorder]:
    """Record what the loudspeaker is given."""
    del virtual_sound
    made = Recorder()
    yield made
    made.close()


def at_rate(sound: Samples) -> np.ndarray:
    """Bring sound to the recorder's rate."""
    form = miniaudio.SampleFormat.SIGNED16
    data = miniaudio.convert_frames(form, 1, sound.rate, sound.data, form, 1, RATE)
    return np.frombuffer(bytes(data), np.int16).astype(np.float64)


def likeness(recorded: np.ndarray, played: np.ndarray) -> float:
    """Give the correlation with what was recorded, at the best place, of the median quarter second.

    Piece by piece, since a loaded machine may leave a gap between two of them.
    """
    pieces = played[: len(played) - len(played) % PIECE].reshape(-1, PIECE)
    loud = [piece for piece in pieces if np.abs(piece).max() > 500]
    return float(np.median([_best(recorded, piece) for piece in loud]))


def _best(recorded: np.ndarray, piece: np.ndarray) -> float:
    """Give the highest correlation of a piece with a stretch of what was recorded."""
    size = 1 << (len(recorded) + len(piece)).bit_length()
    spectrum = np.fft.rfft(recorded, size) * np.conj(np.fft.rfft(piece, size))
    products = np.fft.irfft(spectrum, size)[: len(recorded) - len(piece)]
    energies = np.cumsum(np.square(recorded))
    under = (energies[len(piece) :] - energies[: -len(piece)])[: len(products)]
    return float((products / np.sqrt(np.maximum(under, 1.0) * np.square(piece).sum())).max())


def test_all_of_it_is_heard_before_saying_ends(recorder: Recorder) -> None:
    """Rendered, played and recorded it is the same sound, and no later than `play` returns."""
    with Synthesiser() as synthesiser:
        made = synthesiser.render(PROMPT)
    player = Player(lambda rate: open_loudspeaker(rate, LOUDSPEAKER))
    player.play(made)
    before = sum(len(block) for _, block in recorder.blocks)
    time.sleep(1)
    player.close()
    sound = recorder.sound.astype(np.float64)
    assert likeness(sound, at_rate(made)) > 0.9
    assert not np.abs(sound[before + RATE // 5 :]).max(initial=0) > 3


def test_stopping_silences_the_loudspeaker(recorder: Recorder) -> None:
    """What was broken off is not heard on: not even what the device had already taken."""
    with Synthesiser() as synthesiser:
        made = synthesiser.render(PROMPT)
    player = Player(lambda rate: open_loudspeaker(rate, LOUDSPEAKER))
    threading.Timer(1.0, player.stop).start()
    player.play(made)
    before = sum(len(block) for _, block in recorder.blocks)
    time.sleep(1)
    assert not np.abs(recorder.sound[before + RATE // 5 :]).max(initial=0) > 3
    player.close()


def test_pulled_out_in_the_middle_it_is_said_again_when_it_is_back(
    virtual_sound: VirtualSound,
) -> None:
    """The loss is told while it speaks; plugged in again, the same words are heard whole."""
    told, back = list[str](), list[str]()
    player = Player(lambda rate: open_loudspeaker(rate, LOUDSPEAKER))
    watch = WatchedLoudspeaker(LOUDSPEAKER, told.append, back.append, player.stop)
    watch.begin()
    voice = SpokenVoice(Synthesiser(), player, told.append, watch=watch)
    saying = threading.Thread(target=voice.say, args=(Utterance(Role.CAUTION, PROMPT),))
    saying.start()
    time.sleep(1.5)
    virtual_sound.pull_out(LOUDSPEAKER)
    until(lambda: bool(told), 10)
    saying.join(10)
    assert not saying.is_alive()
    virtual_sound.plug_in_loudspeaker()
    until(lambda: bool(back), 10)
    recorder = Recorder()
    voice.catch_up(back[0])
    recorder.close()
    voice.close()
    assert f"The loudspeaker '{LOUDSPEAKER}' is gone. What it would say is shown." == told[0]
    assert 1 == len(told)
    with Synthesiser() as synthesiser:
        made = synthesiser.render(PROMPT)
    assert likeness(recorder.sound.astype(np.float64), at_rate(made)) > 0.7
