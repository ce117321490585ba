"""Whatever is wrong with a command line, a file or a disk: one sentence, the right exit code."""

import os
import subprocess
import sys
import wave
from pathlib import Path

import pytest

from assistant.cli import run


def complaint(capsys: pytest.CaptureFixture[str]) -> str:
    """Give what was complained of: one line, no traceback."""
    said = capsys.readouterr().err.strip()
    assert said.startswith("rungside: ")
    assert "\n" not in said
    assert "Traceback" not in said
    return said


def write_wav(path: Path, frames: bytes = b"\0\0" * 8000, rate: int = 16000) -> Path:
    """Write a small sound file."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(frames)
    return path


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["wlk"], "wlk"),
        (["walk", "--bogus"], "--bogus"),
        (["walk", "--text", "--plain"], "--text and --plain"),
        (["walk", "--text", "--answers", "x.txt"], "Only one of"),
        (["walk", "--text", "--voice", "--listen", "x.wav"], "Only one of"),
        (["walk", "--plain", "--listen", "x.wav", "--answers", "x.txt"], "Only one of"),
        (["walk", "--voice", "--keep-sound", "--answers", "x.txt"], "--keep-sound"),
        (["walk", "--listen"], "--listen"),
        (["hear"], "nothing to hear"),
        (["hear", "--text", "ten", "--for", "a:b", "--expect", "ohm"], "--for and --expect"),
        (["hear", "--text", "ten", "--expect", "ohms"], "'ohms' is nothing to expect"),
        (["hear", "--text", "ten", "--expect", ""], "'' is nothing to expect"),
        (["hear", "--text", "ten", "--for", "blower-psc"], "FLOW:STEP"),
        (["hear", "--text", "ten", "--for", "blower-psc:"], "FLOW:STEP"),
        (["hear", "a.wav", "--recogniser", "parrot"], "no recogniser 'parrot'"),
        (["hear", "--text", "ten", "--recogniser", "parrot"], "no recogniser 'parrot'"),
        (["hear", "--text", "ten", "--recogniser", "second-ear"], "never heard alone"),
        (["walk", "--plain", "--recogniser", "sphinx+parrot"], "no recogniser 'parrot'"),
        (["walk", "--answers", "x.txt", "--recogniser", ""], "no recogniser ''"),
        (["report"], ""),
        (["report", "x", "--format", "pdf"], "pdf"),
    ],
)
def test_wrong_usage_is_exit_2(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What does not go together on a command line is one sentence and exit 2."""
    assert run(arguments) == 2
    assert said in complaint(capsys)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["walk", "blower", "--plain"], "There is no flow 'blower'"),
        (["walk", "nowhere/flow.yaml"], "no such file"),
        (["walk", "--answers", "nowhere.txt"], "nowhere.txt"),
        (["walk", "--listen", "nowhere.wav"], "nowhere.wav"),
        (["hear", "nowhere.wav"], "nowhere.wav"),
        (["hear", "--text", "ten", "--for", "blower-psc:nostep"], "nostep"),
        (["hear", "--text-file", "nowhere.txt"], "nowhere.txt"),
        (["report", "nowhere"], "no session 'nowhere'"),
        (["replay", "nowhere"], "no session 'nowhere'"),
    ],
)
def test_a_bad_thing_is_exit_1(
    arguments: list[str],
    said: str,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is asked about and is not there, or is no good, is one sentence and exit 1."""
    monkeypatch.setenv("RUNGSIDE_SESSIONS", str(tmp_path))
    assert run(arguments) == 1
    assert said in complaint(capsys)


@pytest.mark.parametrize(
    ("content", "said"),
    [(b"", "empty"), (b"this is text, not sound" * 40, "sound"), (b"RIFF1234WAVEfmt ", "")],
)
def test_a_bad_sound_file(
    content: bytes, said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """An empty file, text and a cut header are each one sentence that names the file."""
    file = tmp_path / "odd.wav"
    file.write_bytes(content)
    assert run(["hear", str(file), "--expect", "ohm"]) == 1
    sentence = complaint(capsys)
    assert "odd.wav" in sentence
    assert said in sentence


@pytest.mark.parametrize("rate", [8000, 16000, 44100, 48000])
def test_silence_is_no_number(
    rate: int, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Silence at any rate is heard as nothing, never as a number."""
    file = write_wav(tmp_path / "quiet.wav", b"\0\0" * rate, rate)
    assert run(["hear", str(file), "--expect", "ohm"]) == 0
    out = capsys.readouterr().out
    assert '"decision": "refuse"' in out
    assert '"value": null' in out


def test_a_broken_flow_is_named_by_line(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A flow file that does not load is named by file, line and column."""
    file = tmp_path / "bad.yaml"
    file.write_text("flow: x\ntitle: [\n", encoding="utf-8")
    assert run(["walk", str(file), "--plain"]) == 1
    assert f"{file}:" in complaint(capsys)


def test_a_folder_that_cannot_be_written(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Where no session can be kept, no walk begins."""
    place = tmp_path / "file"
    place.write_text("in the way", encoding="utf-8")
    answers = tmp_path / "answers.txt"
    answers.write_text("no gas\n", encoding="utf-8")
    code = run(["walk", "--answers", str(answers), "--sessions", str(place / "sessions")])
    assert code == 1
    complaint(capsys)


def test_a_full_disk_in_the_middle_of_a_walk(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up ends the walk in one sentence; what was acknowledged is kept."""
    from assistant.journal.files import DiskFile

    real, calls = DiskFile.write, iter(range(1000))

    def write(self: DiskFile, data: bytes) -> int:
        if next(calls) >= 3:
            raise OSError(28, os.strerror(28))
        return real(self, data)

    monkeypatch.setattr(DiskFile, "write", write)
    answers = tmp_path / "answers.txt"
    answers.write_text("no gas\ni am qualified\nit hums\nnothing yet\n", encoding="utf-8")
    assert run(["walk", "--answers", str(answers), "--sessions", str(tmp_path)]) == 1
    sentence = capsys.readouterr().err
    assert "disk is full" in sentence
    assert "Traceback" not in sentence
    monkeypatch.undo()
    (folder,) = [path for path in tmp_path.iterdir() if path.is_dir()]
    assert run(["replay", str(folder)]) == 0


def test_bad_settings_are_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A setting that does not fit is named with where it may come from."""
    monkeypatch.setenv("RUNGSIDE_VOICE_RATE", "fast")
    assert run(["hear", "--text", "ten", "--expect", "ohm"]) == 1
    assert "voice_rate" in complaint(capsys)


def test_a_reader_that_leaves_a_pipe() -> None:
    """A reader that closes the pipe early gets no traceback."""
    done = subprocess.run(
        ["sh", "-c", f"{sys.executable} -m assistant --help | head -c 1"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr
