"""Every usual form of sound file comes out the same; every bad file is told in a sentence."""

import struct
import wave
from pathlib import Path

import numpy as np
import pytest
from ears_tools import tone

from assistant.ears.sound import LONGEST_SECONDS, RATE, EarsError, Sound, read_sound


def write_wav(path: Path, samples: bytes, rate: int, channels: int, width: int) -> Path:
    """Write a WAV file with the standard library, which is an outside check on our reader."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(width)
        file.setframerate(rate)
        file.writeframes(samples)
    return path


def packed(values: np.ndarray, width: int) -> bytes:
    """Pack samples of full scale 1 as WAV has them: 8 bit unsigned, wider ones signed."""
    if width == 1:
        return (np.round(values * 127) + 128).astype(np.uint8).tobytes()
    whole = np.round(values * (2 ** (8 * width - 1) - 1)).astype("<i4")
    return b"".join(int(each).to_bytes(4, "little", signed=True)[:width] for each in whole)


@pytest.mark.parametrize("rate", [8_000, 16_000, 44_100, 48_000])
@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("width", [1, 2, 3, 4])
def test_every_usual_form_is_read_as_the_same_tone(
    tmp_path: Path, rate: int, channels: int, width: int
) -> None:
    """A 440 Hz tone keeps its pitch, loudness and length whatever the file's form."""
    values = tone(0.5, rate=rate) / 32768
    interleaved = np.repeat(values, channels)
    path = write_wav(tmp_path / "t.wav", packed(interleaved, width), rate, channels, width)
    sound = read_sound(path)
    assert abs(sound.seconds - 0.5) < 0.01
    middle = sound.samples[RATE // 10 : -RATE // 10].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert abs(np.argmax(spectrum) * RATE / len(middle) - 440) < 3
    assert abs(np.sqrt(np.mean(middle**2)) - 8000 / np.sqrt(2)) < 200


def test_two_channels_are_mixed(tmp_path: Path) -> None:
    """A sound on one side only is heard at half its height."""
    both = np.column_stack([tone(0.2) / 32768, np.zeros(int(0.2 * RATE))]).ravel()
    sound = read_sound(write_wav(tmp_path / "s.wav", packed(both, 2), RATE, 2, 2))
    assert abs(int(np.abs(sound.samples).max()) - 4000) < 10


def test_float_samples_are_read(tmp_path: Path) -> None:
    """32-bit float WAV (format tag 3; from memory, the RIFF WAVE form) is read too."""
    data = (tone(0.1) / 32768).astype("<f4").tobytes()
    form = struct.pack("<HHIIHH", 3, 1, RATE, RATE * 4, 4, 32)
    chunks = b"fmt " + struct.pack("<I", len(form)) + form
    chunks += b"data" + struct.pack("<I", len(data)) + data
    path = tmp_path / "f.wav"
    path.write_bytes(b"RIFF" + struct.pack("<I", 4 + len(chunks)) + b"WAVE" + chunks)
    difference = tone(0.1).astype(int) - read_sound(path).samples
    assert np.abs(difference).max() <= 1


def test_length_is_limited_at_the_limit(tmp_path: Path) -> None:
    """A file of just the longest length is read; a little more is refused, with its length."""
    at_limit = write_wav(tmp_path / "a.wav", bytes(2 * LONGEST_SECONDS * RATE), RATE, 1, 2)
    assert read_sound(at_limit).seconds == LONGEST_SECONDS
    beyond = write_wav(tmp_path / "b.wav", bytes(2 * (LONGEST_SECONDS + 1) * RATE), RATE, 1, 2)
    with pytest.raises(EarsError, match=r"b\.wav lasts 121 seconds"):
        read_sound(beyond)


def test_a_huge_file_is_refused_unread(tmp_path: Path) -> None:
    """A file far too large is refused by its size alone."""
    path = tmp_path / "huge.wav"
    with path.open("wb") as file:
        file.truncate(65 * 1024 * 1024)
    with pytest.raises(EarsError, match=r"huge\.wav is too large \(65 MB\)"):
        read_sound(path)


BAD_FILES = {
    "empty.wav": (b"", "is empty"),
    "text.wav": (b"seventeen point five ohms\n", "is not a WAV file"),
    "short.wav": (b"RIFF", "is not a WAV file"),
    "other.wav": (b"RIFF\x04\x00\x00\x00AVI " + bytes(100), "is not a WAV file"),
    "header_only.wav": (b"RIFF\x04\x00\x00\x00WAVE", "sound cannot be read"),
    "garbage.wav": (b"RIFF\xff\xff\xff\xffWAVE" + bytes(range(256)) * 8, "sound cannot be read"),
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_bad_files_are_told_in_one_sentence(tmp_path: Path, name: str) -> None:
    """Each complaint names the file, what is wrong and what would be right."""
    data, complaint = BAD_FILES[name]
    (tmp_path / name).write_bytes(data)
    with pytest.raises(EarsError, match=complaint) as caught:
        read_sound(tmp_path / name)
    assert str(tmp_path / name) in caught.value.message
    assert caught.value.message.count("\n") == 0
    assert caught.value.hint.endswith(".")


def test_no_file_a_folder_and_no_length(tmp_path: Path) -> None:
    """What is no file, what is a folder and what holds no sample are told apart."""
    with pytest.raises(EarsError, match="There is no file"):
        read_sound(tmp_path / "none.wav")
    with pytest.raises(EarsError, match="is a folder"):
        read_sound(tmp_path)
    with pytest.raises(EarsError, match=r"length is zero|cannot be read"):
        read_sound(write_wav(tmp_path / "nothing.wav", b"", RATE, 1, 2))


def test_an_unreadable_file_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that may not be read is told; rights are feigned, as root may read anything."""
    path = tmp_path / "locked.wav"
    path.write_bytes(b"RIFF")

    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(EarsError, match=r"locked\.wav cannot be read: Permission denied"):
        read_sound(path)


def test_a_fingerprint_is_of_the_samples() -> None:
    """Equal sound has an equal fingerprint; one sample more makes another."""
    first, second = Sound(tone(0.1)), Sound(tone(0.1))
    assert first.fingerprint == second.fingerprint
    assert first.fingerprint != Sound(tone(0.11)).fingerprint
    assert len(first.fingerprint) == 64
