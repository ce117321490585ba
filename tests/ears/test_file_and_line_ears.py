"""Ears on files and lines: in order, one an answer, then they hang up."""

from pathlib import Path

import numpy as np
import pytest
from ears_tools import DATA, ScriptedRecogniser, noise, quiet
from test_sound import write_wav

from assistant.ears.files import FileEars
from assistant.ears.hearing import hear_file
from assistant.ears.sound import RATE, EarsError, Sound
from assistant.ears.typed import LineEars, read_lines
from assistant.spoken.expectations import expectation_for_unit
from assistant.walk.ends import Ears, Heard, HungUp, Silence

OHMS = expectation_for_unit("ohm")


def test_files_are_heard_in_order_and_then_it_hangs_up() -> None:
    """Each file is one answer, named by its file; behind the last there is nothing."""
    recogniser = ScriptedRecogniser("seventeen point five")
    ears: Ears = FileEars([DATA / "yes.wav", DATA / "over_limit.wav"], recogniser)
    assert Heard("seventeen point five", source="yes.wav") == ears.listen(OHMS)
    assert Heard("seventeen point five", source="over_limit.wav") == ears.listen(OHMS)
    assert isinstance(ears.listen(OHMS), HungUp)
    ears.close()
    ears.close()
    assert recogniser.is_closed


def test_a_file_without_voice_is_silence(tmp_path: Path) -> None:
    """Neither silence nor steady noise reaches the recogniser, so it cannot make a number of it."""
    recogniser = ScriptedRecogniser("one")
    paths = [
        write_wav(tmp_path / "quiet.wav", quiet(1.0).tobytes(), RATE, 1, 2),
        write_wav(tmp_path / "noise.wav", noise(2.0, 2000).tobytes(), RATE, 1, 2),
    ]
    ears = FileEars(paths, recogniser)
    assert [Silence("quiet.wav"), Silence("noise.wav")] == [ears.listen(OHMS), ears.listen(OHMS)]
    assert Heard("", source="quiet.wav") == hear_file(paths[0], OHMS, recogniser)
    assert [] == recogniser.heard


def test_a_bad_file_is_told_before_the_walk(tmp_path: Path) -> None:
    """The second file's fault is told when the ears are made."""
    with pytest.raises(EarsError, match="There is no file"):
        FileEars([DATA / "yes.wav", tmp_path / "none.wav"], ScriptedRecogniser())


def test_sound_is_kept_where_asked() -> None:
    """The clip is the fingerprint of the sound that was recognised, not of the whole file."""
    kept: list[np.ndarray] = []

    def keep(samples: np.ndarray) -> str:
        kept.append(samples)
        return Sound(samples).fingerprint

    recogniser = ScriptedRecogniser("yes")
    heard = FileEars([DATA / "yes.wav"], recogniser, keep).listen(OHMS)
    assert Heard("yes", source="yes.wav", clip=Sound(kept[0]).fingerprint) == heard
    assert np.array_equal(kept[0], recogniser.heard[0])


def test_lines_are_answers() -> None:
    """Case and spaces are evened out, remarks passed over, an empty line is silence."""
    ears: Ears = LineEars(["  Seventeen  point FIVE ohms\n", "# a remark\n", "\n", "yes"], "lines")
    expected = [Heard("seventeen point five ohms", source="lines"), Silence("lines")]
    expected += [Heard("yes", source="lines"), HungUp("There is no further line.")]
    assert expected == [ears.listen(OHMS) for _ in range(4)]
    assert isinstance(ears.listen(OHMS), HungUp)


def test_lines_are_read_only_when_needed() -> None:
    """A prompt's next line is not waited for before it is asked for."""
    read: list[int] = []

    def lines() -> object:
        for number in range(3):
            read.append(number)
            yield f"{number}"

    ears = LineEars(lines())  # type: ignore[arg-type]
    assert [] == read
    ears.listen(OHMS)
    assert [0] == read
    ears.close()
    assert isinstance(ears.listen(OHMS), HungUp)


def test_a_file_of_phrases_is_read(tmp_path: Path) -> None:
    """UTF-8 with or without its mark, any line ends."""
    path = tmp_path / "answers.txt"
    path.write_bytes(b"\xef\xbb\xbfyes\r\nno\n\nseventeen")
    assert ("yes", "no", "", "seventeen") == read_lines(path)


def test_bad_files_of_phrases_are_told(tmp_path: Path) -> None:
    """Missing, a folder, no text, far too large: one sentence each."""
    with pytest.raises(EarsError, match="There is no file"):
        read_lines(tmp_path / "none.txt")
    with pytest.raises(EarsError, match="is a folder"):
        read_lines(tmp_path)
    (tmp_path / "b.txt").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(EarsError, match="not a text file"):
        read_lines(tmp_path / "b.txt")
    (tmp_path / "c.txt").write_bytes(b"a" * (1024 * 1024 + 1))
    with pytest.raises(EarsError, match="too large"):
        read_lines(tmp_path / "c.txt")
