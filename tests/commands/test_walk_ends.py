"""How a walk speaks and shows goes with whatever its answers come from."""

from pathlib import Path

import pytest

from assistant.cli import run
from assistant.desk.opening import recorded_answers
from assistant.desk.sound_ends import SoundEnds
from assistant.devices import NULL_BACKEND, Devices
from assistant.spoken.meaning import CommandKind
from assistant.walk.ends import Utterance

FLOW = str(Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml")


class Aloud:
    """Notes what would be said aloud."""

    said: list[str]

    def __init__(self) -> None:
        self.said = []

    def say(self, utterance: Utterance) -> None:
        """Note it."""
        self.said.append(utterance.text)

    def adjust(self, kind: CommandKind) -> bool:
        """Change nothing."""
        del kind
        return False

    def stop(self) -> None:
        """Do nothing."""

    def begin_turn(self) -> None:
        """Do nothing."""

    def close(self) -> None:
        """Do nothing."""


@pytest.fixture
def aloud(monkeypatch: pytest.MonkeyPatch) -> Aloud:
    """Give what a walk says aloud."""
    made = Aloud()
    monkeypatch.setattr(SoundEnds, "open_voice", lambda _ends: made)
    return made


@pytest.fixture
def answers(tmp_path: Path) -> list[str]:
    """Answer by a file of phrases; the sessions go beside it."""
    file = tmp_path / "answers.txt"
    file.write_text("it runs\nstop\nyes\n", encoding="utf-8")
    return ["--answers", str(file), "--sessions", str(tmp_path / "s")]


@pytest.fixture
def sounds(tmp_path: Path) -> list[str]:
    """Answer by a sound file, which one ear alone hears."""
    common = ["--recogniser", "sphinx", "--sessions", str(tmp_path / "s")]
    return [*common, "--listen", str(recorded_answers()[0])]


def lines(capsys: pytest.CaptureFixture[str]) -> list[str]:
    """Give the printed lines without those that name the session or its seal."""
    printed = capsys.readouterr().out.splitlines()
    return [
        line for line in printed if not line.startswith(("Record:", "Review it:", "This record is"))
    ]


def test_plain_lines_of_answers_from_a_file(
    answers: list[str], aloud: Aloud, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--plain --answers` prints the same lines as `--answers`, and says nothing aloud."""
    assert 0 == run(["walk", FLOW, *answers])
    expected = lines(capsys)
    assert 0 == run(["walk", FLOW, "--plain", *answers])
    assert expected == lines(capsys)
    assert not aloud.said


def test_plain_lines_of_answers_from_sound(
    sounds: list[str], aloud: Aloud, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--plain` and `--voice` with `--listen` walk as `--listen` alone, which speaks already."""
    said = []
    printed = []
    for way in ([], ["--plain"], ["--voice"], ["--plain", "--voice"]):
        aloud.said.clear()
        assert 1 == run(["walk", "blower-psc", *way, *sounds])
        printed.append(lines(capsys))
        said.append(list(aloud.said))
    assert "You: no gas" in printed[0]
    assert said[0]
    assert all(one == printed[0] for one in printed)
    assert all(one == said[0] for one in said)


def test_answers_from_a_file_are_answered_aloud(
    answers: list[str], aloud: Aloud, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--voice --answers` says each line that it prints, and `--mute` none."""
    assert 0 == run(["walk", FLOW, "--voice", *answers])
    assert "You: it runs" in lines(capsys)
    assert any("What does it do?" in said for said in aloud.said)
    aloud.said.clear()
    assert 0 == run(["walk", FLOW, "--voice", "--mute", *answers])
    assert not aloud.said


def test_a_walk_without_a_loudspeaker_goes_on(
    answers: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing can sound, a sentence says so and the walk goes to its end."""
    monkeypatch.setattr("assistant.voice.watched.loudspeakers", lambda: Devices(NULL_BACKEND))
    assert 0 == run(["walk", FLOW, "--voice", *answers])
    assert "Note: No loudspeaker was found, so it is only shown." in lines(capsys)
