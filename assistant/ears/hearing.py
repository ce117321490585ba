"""One sound file to one thing heard: what `rungside hear` does."""

from pathlib import Path

from assistant.ears.listening import Listener, trimmed
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import read_sound
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard


def hear_file(path: Path | str, expectation: Expectation, recogniser: Recogniser) -> Heard:
    """Hear a WAV file that holds one answer.

    Returns:
        What was heard; its words are empty where the file holds no voice, or no answer.

    Raises:
        EarsError: when the file cannot be read.
    """
    name = Path(path).name
    samples = trimmed(read_sound(path).samples)
    if not len(samples):
        return Heard("", source=name)
    return Listener(recogniser, source=name).understand(samples, expectation)
