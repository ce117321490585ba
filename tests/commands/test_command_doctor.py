"""What is chosen once is remembered; the rest of the settings file stays as it was."""

import stat
from pathlib import Path

import pytest

from assistant import settings
from assistant.cli import run
from assistant.desk import doctor
from assistant.devices import Devices, Found, Kind
from assistant.settings import SettingsError, read_settings, remember

THERE = {
    Kind.MICROPHONE: Devices(
        "ALSA", (Found("Built-in", is_usual=True), Found("Headset L"), Found("Headset R"))
    ),
    Kind.LOUDSPEAKER: Devices("ALSA", (Found("Built-in"),)),
}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the settings file of a user who has none yet, on a machine with three microphones."""
    made = tmp_path / "config" / "settings.toml"
    monkeypatch.setattr(settings, "settings_file", lambda: made)
    monkeypatch.setattr(doctor, "list_devices", THERE.__getitem__)
    return made


def test_a_choice_is_remembered_by_its_whole_name(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A part of the name is enough to choose; what is written is unmistakable."""
    assert run(["doctor", "--microphone", "set r", "--speaker", "built", "--seconds", "0"]) == 0
    said = capsys.readouterr().out
    assert "remembered: microphone = Headset R, speaker = Built-in" in said
    assert "microphone used: Headset R (remembered)" in said
    assert ("Headset R", "Built-in") == (read_settings().microphone, read_settings().speaker)
    assert run(["doctor", "--microphone", "", "--talk", "push", "--seconds", "0"]) == 0
    assert "microphone used: Built-in (the usual one)" in capsys.readouterr().out
    assert ("", "push") == (read_settings().microphone, read_settings().talk)
    assert file.is_file()


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--microphone", "desk"], "There is no microphone 'desk' on this machine. Choose one of:"),
        (["--microphone", "headset"], "Several microphones have 'headset' in their names."),
        (["--speaker", "headset"], "There is no loudspeaker 'headset'"),
        (["--voice", "klingon"], "There is no voice 'klingon' here. Name one of gmw/en"),
        (["--talk-key", "q"], "'q' cannot be the talk key. Name one of space, enter"),
    ],
)
def test_a_choice_that_cannot_be_writes_nothing(
    file: Path, capsys: pytest.CaptureFixture[str], options: list[str], words: str
) -> None:
    """One sentence says what could be chosen, exit 1, and no file comes of it."""
    assert run(["doctor", *options, "--rate", "150", "--seconds", "0"]) == 1
    assert words in capsys.readouterr().err
    assert not file.exists()


def test_one_that_is_remembered_and_not_here_is_told(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It says what to do: plug it in, or choose another."""
    file.parent.mkdir()
    file.write_text('microphone = "Ladder headset"\n')
    run(["doctor", "--seconds", "0"])
    said = capsys.readouterr().out
    assert "microphone used: 'Ladder headset' is remembered but is not here: plug it in" in said
    assert "rungside doctor --microphone NAME" in said


@pytest.mark.parametrize("choice", [["--rate", "400"], ["--volume", "0"]])
def test_what_no_voice_can_do_is_not_remembered(
    file: Path, capsys: pytest.CaptureFixture[str], choice: list[str]
) -> None:
    """A rate nobody can follow and a voice nobody hears are wrong usage, not a silent limit."""
    assert run(["doctor", *choice, "--seconds", "0"]) == 2
    assert choice[0] in capsys.readouterr().err
    assert not file.exists()


def test_the_recogniser_that_is_set_is_the_one_that_is_looked_at(
    file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Doctor tells what a walk would be heard with, and that it cannot be where there is none."""
    assert not file.exists()
    monkeypatch.setenv("RUNGSIDE_RECOGNISER", "sphinx")
    assert run(["doctor", "--seconds", "0"]) == 0
    assert "heard with: sphinx\n" in capsys.readouterr().out
    monkeypatch.setenv("RUNGSIDE_RECOGNISER", "magic")
    assert run(["doctor", "--seconds", "0"]) == 1
    said = capsys.readouterr().out
    assert "recogniser magic: There is no recogniser 'magic'. Choose" in said


OWN = """# the van's
future = {colour = "red"}  # not ours
tech = "RK"
rate = 1

[later]
thing = [1, 2]
"""


def test_the_rest_of_the_file_stays(file: Path) -> None:
    """Comments, unknown settings and tables stay to the letter; who may read it does too."""
    file.parent.mkdir()
    file.write_text(OWN)
    file.chmod(0o640)
    remember(tech="AB", microphone='A "quoted" name')
    text = file.read_text()
    assert OWN.replace('"RK"', '"AB"').split("\n[later]")[0] in text
    assert text.endswith("[later]\nthing = [1, 2]\n")
    assert ("AB", 'A "quoted" name') == (read_settings().tech, read_settings().microphone)
    assert 0o640 == stat.S_IMODE(file.stat().st_mode)
    assert [file] == list(file.parent.iterdir())


def test_a_file_that_is_a_link_stays_one(file: Path, tmp_path: Path) -> None:
    """Settings that are kept elsewhere are written there."""
    file.parent.mkdir()
    real = tmp_path / "dotfiles.toml"
    real.write_text('tech = "RK"\n')
    file.symlink_to(real)
    remember(talk="push")
    assert file.is_symlink()
    assert 'tech = "RK"\ntalk = "push"\n' == real.read_text()


def test_a_file_that_is_no_toml_is_left_alone(file: Path) -> None:
    """It is told, and not written over."""
    file.parent.mkdir()
    file.write_text("tech = \n")
    with pytest.raises(SettingsError, match="is not TOML"):
        remember(talk="push")
    assert "tech = \n" == file.read_text()


def test_a_folder_that_cannot_be_made_is_told(
    file: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Where nothing can be written, one sentence says so."""
    del file
    (tmp_path / "config").write_text("a file where the folder should be")
    monkeypatch.setattr(settings, "settings_file", lambda: tmp_path / "config" / "settings.toml")
    with pytest.raises(SettingsError, match="cannot be"):
        remember(talk="push")


def test_level_and_noise_are_measured(monkeypatch: pytest.MonkeyPatch, file: Path) -> None:
    """Where there is a microphone: a bar, a figure, words; where there is none, nothing."""
    import numpy as np

    del file
    chosen = settings.Settings()
    quiet = np.random.default_rng(1).normal(0, 30, 16000).astype(np.int16)
    monkeypatch.setattr("assistant.ears.capture.microphones", lambda: THERE[Kind.MICROPHONE])
    monkeypatch.setattr("assistant.ears.levels.record", lambda _name, _seconds: quiet)
    lines = list(doctor.level_lines(chosen, 1))
    assert "listening for 1 seconds" in lines[0]
    assert "so it is quiet; nobody spoke while it was measured." == lines[-1]
    monkeypatch.setattr("assistant.ears.capture.microphones", lambda: Devices("Null"))
    assert [] == list(doctor.level_lines(chosen, 1))
