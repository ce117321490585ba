"""One sound to one thing heard: what `rungside hear` and the file ears do."""

from pathlib import Path

from assistant.ears.recogniser import Hypothesis, Recogniser
from assistant.ears.sound import Samples, read_sound
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard


def recognise(samples: Samples, expectation: Expectation, recogniser: Recogniser) -> Hypothesis:
    """Give what one whole utterance came to.

    Args:
        samples: int16, mono, 16 kHz.
        expectation: what it answers.
        recogniser: who listens.
    """
    recogniser.begin(expectation)
    recogniser.feed(samples)
    return recogniser.finish()


def hear_file(path: Path | str, expectation: Expectation, recogniser: Recogniser) -> Heard:
    """Hear a WAV file that holds one answer.

    Raises:
        EarsError: when the file cannot be read.
    """
    found = recognise(read_sound(path).samples, expectation, recogniser)
    return Heard(found.words, found.alternatives, source=Path(path).name)
