"""Listening while our own voice speaks: only "stop" and "hold on" are heard, and only to be safe.

A phrase counts when it stands alone, quiet before and behind it, when the recogniser hears it and
nothing else that means anything, and when no word of it is in what is being said at that moment:
that may be our own voice in the microphone. A voice that leaks back is longer than a phrase, so it
is seldom even looked at; looking costs the recogniser as much time as the sound lasts, and more.
"""

from collections.abc import Iterable

from assistant.ears.cleaning import NoCleaner
from assistant.ears.detector import VoiceDetector
from assistant.ears.endpoint import Endpointer
from assistant.ears.listening import recognise
from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.sound import Samples
from assistant.spoken.meaning import Command, CommandKind, Expectation, Unclear
from assistant.spoken.tokens import tokenise
from assistant.spoken.understanding import understand

BARGE_IN = {"stop": CommandKind.STOP, "hold on": CommandKind.HOLD}
"""What may be said into our own voice, and what it means."""
_COMMANDS_ONLY = Expectation()
_LOOKS_AFTER = 0.14
_OVER_AFTER = 0.5
_LONGEST = 2.0
"""Seconds with the quiet before and behind it; a phrase lasts 0.3 to 0.8 s of them."""
_TELLING = frozenset({"stop", "hold"})


def overhear(
    frames: Iterable[Samples], recogniser: Recogniser, said: str
) -> tuple[str, Samples] | None:
    """Follow the frames until one of the phrases is heard.

    Args:
        frames: of `detector.FRAME` samples.
        recogniser: who turns sound into words.
        said: what our own voice says meanwhile.

    Returns:
        The phrase with its sound; None where the frames ended first.
    """
    detector = VoiceDetector()
    own = frozenset(tokenise(said.lower()))
    endpointer, is_spent = Endpointer(detector, NoCleaner()), False
    for frame in frames:
        endpointer.take(frame)
        if endpointer.quiet_seconds >= _OVER_AFTER:
            endpointer, is_spent = Endpointer(detector, NoCleaner()), False
        elif endpointer.answer_seconds >= _LONGEST:
            is_spent = True
        elif endpointer.quiet_seconds >= _LOOKS_AFTER and not is_spent:
            is_spent, sound = True, endpointer.answer()
            found = recognise(sound, _COMMANDS_ONLY, recogniser)
            if is_barge_in(found, own):
                return found.words, sound.raw
    return None


def is_barge_in(found: Hypothesis, own: frozenset[str]) -> bool:
    """Whether what was heard is one of the phrases, and surely not our own voice.

    Args:
        found: what the recogniser made of it.
        own: the words that our own voice says meanwhile.
    """
    kind = BARGE_IN.get(found.words)
    if kind is None or own & _TELLING & frozenset(found.words.split()):
        return False
    others = (understand(words, _COMMANDS_ONLY) for words in found.alternatives)
    return all(isinstance(other, Unclear) or other == Command(kind) for other in others)
