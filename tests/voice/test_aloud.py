"""The spoken voice: what fails becomes text, and pace and loudness follow the commands."""

import pytest

from assistant.spoken.meaning import CommandKind
from assistant.voice.aloud import Manner, SpokenVoice
from assistant.voice.errors import VoiceError
from assistant.voice.limits import FASTEST, LOUDEST, QUIETEST, SLOWEST
from assistant.voice.samples import Samples
from assistant.voice.synthesis import Synthesiser
from assistant.walk.ends import Role, Utterance

CAUTION = Utterance(Role.CAUTION, "The capacitor can hold a charge.")
PROMPT = Utterance(Role.PROMPT, "Set the meter to ohms.", shown="Set the meter to \N{OHM SIGN}.")


class Maker:
    """Renders the text's own bytes, or fails with the troubles it was given, in order."""

    def __init__(self, *troubles: Exception | None) -> None:
        self.asked: list[tuple[str, int, float, str]] = []
        self.closed = 0
        self._troubles = list(troubles)

    def render(self, text: str, rate: int, volume: float, voice: str) -> Samples:
        """Render."""
        self.asked.append((text, rate, volume, voice))
        trouble = self._troubles.pop(0) if self._troubles else None
        if trouble is not None:
            raise trouble
        return Samples(text.encode(), 8000)

    def close(self) -> None:
        """Count."""
        self.closed += 1


class Speaker:
    """Keeps what it was given, or fails as told."""

    def __init__(self, trouble: Exception | None = None) -> None:
        self.played: list[bytes] = []
        self.stopped = 0
        self.closed = 0
        self.trouble = trouble

    def play(self, samples: Samples) -> None:
        """Keep."""
        if self.trouble is not None:
            raise self.trouble
        self.played.append(samples.data)

    def stop(self) -> None:
        """Count."""
        self.stopped += 1

    def close(self) -> None:
        """Count."""
        self.closed += 1


class Shown:
    """Keeps the utterances that could not be said."""

    def __init__(self) -> None:
        self.utterances: list[Utterance] = []

    def say(self, utterance: Utterance) -> None:
        """Keep."""
        self.utterances.append(utterance)

    def close(self) -> None:
        """Do nothing."""


def test_says_the_words_for_the_ear() -> None:
    """The text is rendered at the usual pace and played; what is shown is not said."""
    maker, speaker, told = Maker(), Speaker(), list[str]()
    SpokenVoice(maker, speaker, told.append).say(PROMPT)
    assert [("Set the meter to ohms.", 165, 0.8, "")] == maker.asked
    assert [b"Set the meter to ohms."] == speaker.played
    assert [] == told


@pytest.mark.parametrize(
    ("maker", "speaker"),
    [
        (Maker(*[VoiceError("No voice.", "Do this.")] * 3), Speaker()),
        (Maker(), Speaker(VoiceError("No voice.", "Do this."))),
    ],
    ids=["no synthesiser", "no loudspeaker"],
)
def test_trouble_is_told_once_and_the_caution_is_shown(maker: Maker, speaker: Speaker) -> None:
    """Each utterance that was not heard goes to the other voice; the trouble is told once."""
    told, shown = list[str](), Shown()
    voice = SpokenVoice(maker, speaker, told.append, instead=shown)
    for utterance in (CAUTION, PROMPT, CAUTION):
        voice.say(utterance)
    assert ["No voice. Do this."] == told
    assert [CAUTION, PROMPT, CAUTION] == shown.utterances
    assert voice.trouble


def test_trouble_is_told_again_after_speech_had_come_back() -> None:
    """A headset that comes and goes is told each time it goes."""
    speaker, told = Speaker(VoiceError("No output.")), list[str]()
    voice = SpokenVoice(Maker(), speaker, told.append)
    voice.say(PROMPT)
    speaker.trouble = None
    voice.say(PROMPT)
    assert "" == voice.trouble
    speaker.trouble = VoiceError("No output.")
    voice.say(PROMPT)
    assert ["No output.", "No output."] == told


def test_whatever_a_sound_library_raises_is_one_sentence() -> None:
    """An error of another kind does not stop the walk either."""
    told = list[str]()
    SpokenVoice(Maker(OSError(5, "I/O")), Speaker(), told.append).say(PROMPT)
    assert 1 == len(told)
    assert "Speech failed unexpectedly" in told[0]


@pytest.mark.parametrize(
    ("kind", "steps", "rate", "volume"),
    [
        (CommandKind.SLOWER, 3, SLOWEST, 0.8),
        (CommandKind.FASTER, 6, FASTEST, 0.8),
        (CommandKind.LOUDER, 1, 165, LOUDEST),
        (CommandKind.QUIETER, 3, 165, QUIETEST),
        (CommandKind.REPEAT, 0, 165, 0.8),
    ],
)
def test_commands_change_pace_and_loudness(
    kind: CommandKind, steps: int, rate: int, volume: float
) -> None:
    """Each command changes one thing step by step to its limit, then says that it cannot."""
    maker = Maker()
    voice = SpokenVoice(maker, Speaker(), lambda _sentence: None)
    changed = [voice.adjust(kind) for _ in range(steps + 2)]
    assert [True] * steps + [False] * 2 == changed
    voice.say(PROMPT)
    assert (rate, volume) == maker.asked[0][1:3]


def test_settings_outside_the_limits_are_brought_inside() -> None:
    """A pace or loudness from a settings file cannot leave what can be heard."""
    voice = SpokenVoice(
        Maker(), Speaker(), lambda _sentence: None, manner=Manner(rate=9999, volume=0.0)
    )
    assert (FASTEST, QUIETEST) == (voice.rate, voice.volume)


def test_closing_and_stopping_reach_both_ends() -> None:
    """Stopping breaks off the sound; closing may be done twice."""
    maker, speaker = Maker(), Speaker()
    voice = SpokenVoice(maker, speaker, lambda _sentence: None)
    voice.stop()
    voice.close()
    voice.close()
    assert (1, 2, 2) == (speaker.stopped, speaker.closed, maker.closed)


def test_real_engine_follows_slower() -> None:
    """With the real engine, "slower" twice makes the same words last a fifth longer or more."""
    lengths = list[float]()

    class Measure(Speaker):
        def play(self, samples: Samples) -> None:
            lengths.append(samples.seconds)

    voice = SpokenVoice(Synthesiser(), Measure(), pytest.fail)
    voice.say(PROMPT)
    voice.adjust(CommandKind.SLOWER)
    voice.adjust(CommandKind.SLOWER)
    voice.say(PROMPT)
    voice.close()
    assert lengths[1] > 1.2 * lengths[0]
