"""A stretch of sound in memory, and the WAV bytes it comes from."""

import io
import wave
from dataclasses import dataclass

from assistant.voice.errors import VoiceError

SAMPLE_BYTES = 2


@dataclass(frozen=True, slots=True)
class Samples:
    """Mono sound, 16 bits a sample, little endian.

    Args:
        data: the samples' bytes, two each.
        rate: samples a second.
    """

    data: bytes
    rate: int

    @property
    def frames(self) -> int:
        """Give the number of samples."""
        return len(self.data) // SAMPLE_BYTES

    @property
    def seconds(self) -> float:
        """Give how long the sound lasts."""
        return self.frames / self.rate


NOTHING = Samples(b"", 22050)


def read_wav(content: bytes) -> Samples:
    """Read a WAV file's content.

    Raises:
        VoiceError: it is no WAV file, or not mono with 16 bits.
    """
    try:
        with wave.open(io.BytesIO(content)) as file:
            shape = (file.getnchannels(), file.getsampwidth())
            samples = Samples(file.readframes(file.getnframes()), file.getframerate())
    except (wave.Error, EOFError) as trouble:
        raise VoiceError(f"The speech engine wrote no readable WAV file ({trouble}).") from trouble
    if shape != (1, SAMPLE_BYTES):
        raise VoiceError(f"The speech engine wrote {shape[0]} channels of {shape[1] * 8} bits.")
    return samples


def write_wav(samples: Samples) -> bytes:
    """Write sound as a WAV file's content."""
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(SAMPLE_BYTES)
        file.setframerate(samples.rate)
        file.writeframes(samples.data)
    return content.getvalue()
