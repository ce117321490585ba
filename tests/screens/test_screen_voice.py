"""The voice beside the screen: captioned, broken off by an answer, but never in a caution."""

from typing import TYPE_CHECKING

from assistant.screens.walking.voice import ScreenVoice
from assistant.spoken.meaning import CommandKind
from assistant.walk.ends import Role, Utterance

if TYPE_CHECKING:
    from collections.abc import Callable

CAUTION = Utterance(Role.CAUTION, "Caution. It may be charged. Say: it may be charged.")
PROMPT = Utterance(Role.PROMPT, "Ohms, common to low.")


class Aloud:
    """A voice that remembers what it said, and may be answered while it speaks."""

    rate = 120

    def __init__(self) -> None:
        self.said: list[str] = []
        self.stops = 0
        self.adjusted: list[CommandKind] = []
        self.meanwhile: Callable[[], object] = lambda: None

    def say(self, utterance: Utterance) -> None:
        """Say it."""
        self.said.append(utterance.text)
        self.meanwhile()

    def stop(self) -> None:
        """Count it."""
        self.stops += 1

    def adjust(self, kind: CommandKind) -> bool:
        """Remember it."""
        self.adjusted.append(kind)
        return True

    def begin_turn(self) -> None:
        """Keep nothing."""

    def close(self) -> None:
        """Do nothing."""


def _voice() -> tuple[ScreenVoice, Aloud, list[tuple[tuple[str, ...], float]]]:
    aloud, captions = Aloud(), list[tuple[tuple[str, ...], float]]()
    return ScreenVoice(lambda *caption: captions.append(caption), aloud), aloud, captions


def test_what_is_said_is_captioned_first() -> None:
    """The caption stands when the saying begins, with about its length in seconds."""
    voice, aloud, captions = _voice()
    aloud.meanwhile = lambda: aloud.said.append(f"after {len(captions)} caption")
    voice.say(PROMPT)
    assert aloud.said == [PROMPT.text, "after 1 caption"]
    assert captions == [(("Ohms, common to low.",), 2.0)]  # 4 words at 120 a minute


def test_an_answer_breaks_off_a_prompt_and_what_would_follow() -> None:
    """Typed while a prompt is spoken: it stops, and the next utterance is not said."""
    voice, aloud, _ = _voice()
    aloud.meanwhile = voice.hush
    voice.say(PROMPT)
    voice.say(PROMPT)
    assert (aloud.said, aloud.stops) == ([PROMPT.text], 1)


def test_a_caution_is_said_to_its_end() -> None:
    """An answer typed into a caution does not break it off, and a caution behind a hush is said."""
    voice, aloud, _ = _voice()
    aloud.meanwhile = voice.hush
    voice.say(CAUTION)
    voice.say(CAUTION)
    assert (aloud.said, aloud.stops) == ([CAUTION.text] * 2, 0)


def test_hold_silences_everything_until_the_next_turn() -> None:
    """Even a caution: it is said again from its beginning on "go ahead"."""
    voice, aloud, _ = _voice()
    aloud.meanwhile = voice.silence
    voice.say(CAUTION)
    voice.say(CAUTION)
    assert (len(aloud.said), aloud.stops) == (1, 1)
    aloud.meanwhile = lambda: None
    voice.begin_turn()
    voice.say(CAUTION)
    assert len(aloud.said) == 2


def test_without_a_voice_nothing_is_captioned() -> None:
    """Where nothing is said aloud there is nothing to caption."""
    captions: list[object] = []
    voice = ScreenVoice(lambda *caption: captions.append(caption))
    voice.say(PROMPT)
    voice.hush()
    voice.silence()
    voice.close()
    assert captions == []
    assert not voice.is_aloud
    assert not voice.adjust(CommandKind.SLOWER)


def test_slower_reaches_the_voice() -> None:
    """Pace and loudness are the voice's own."""
    voice, aloud, _ = _voice()
    assert voice.adjust(CommandKind.SLOWER)
    assert aloud.adjusted == [CommandKind.SLOWER]
