"""The demo and the ends: the finding comes from the sound, and every end gives the same record."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from assistant.cli import run
from assistant.desk.opening import recorded_answers
from assistant.flow.library import shipped

ROOT = Path(__file__).parents[2]
SCENE = shipped("demo_sessions") / "quarry_lane"


def spoken_lines() -> list[str]:
    """Give what the recorded technician says, file by file."""
    rows = (SCENE / "lines.tsv").read_text(encoding="utf-8").splitlines()
    return [row.split("\t")[1] for row in rows]


def only_session(folder: Path) -> Path:
    """Give the one session in a folder."""
    (session,) = folder.iterdir()
    return session


def report_of(session: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """Give a session's report as JSON."""
    capsys.readouterr()
    assert run(["report", str(session), "--format", "json"]) == 0
    content: dict[str, Any] = json.loads(capsys.readouterr().out)
    return content


def told(session: Path) -> list[dict[str, Any]]:
    """Give a journal's events without times, hashes and where the words came from."""
    events = []
    for line in (session / "journal.jsonl").read_text(encoding="utf-8").splitlines():
        data = json.loads(line)
        if data["kind"] == "sealed":
            continue
        kept = {k: v for k, v in data["data"].items() if k not in OWN}
        events.append({"kind": data["kind"], **kept})
    return events


OWN = {"session", "source", "alternatives", "clip", "doubt"}


@pytest.fixture(scope="module")
def heard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, heard once, with what it printed beside it."""
    folder = tmp_path_factory.mktemp("demo")
    command = [sys.executable, "-m", "assistant", "demo", "--mute", "--sessions", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    session = only_session(folder)
    (session / "printed.txt").write_text(done.stdout, encoding="utf-8")
    return session


def test_the_demo_finds_the_fault_by_sound(heard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The recorded answers, through the recogniser, come to the weak capacitor and its rating."""
    content = report_of(heard, capsys)
    assert content["outcome"] == "found"
    (finding,) = content["findings"]
    assert finding["id"] == "capacitor_weak"
    assert "7.5 µF" in finding["replacement"]
    assert "370 V" in finding["replacement"]
    assert content["sealed"]
    assert all(caution["answered"] for caution in content["cautions"])
    assert content["cautions"]


def test_the_demo_shows_a_misheard_number_put_right(heard: Path) -> None:
    """A number is heard wrong, asked back, denied, and then heard right."""
    events = told(heard)
    denied = [e for e in events if e["kind"] == "not_taken" and e["trouble"] == "denied"]
    assert [e["step"] for e in denied] == ["cap_reading"]
    asked = [
        e["reading"] for e in events if e["kind"] == "asked_back" and e["step"] == "cap_reading"
    ]
    assert len(asked) == 2
    assert asked[0] != asked[1]
    assert asked[1] == "2.9 µF"
    assert [e for e in events if e["kind"] == "scratched"]


def test_the_demo_shows_what_was_heard_and_where_the_record_is(heard: Path) -> None:
    """Every answer is shown as it was heard, and the end says how to review the record."""
    printed = (heard / "printed.txt").read_text(encoding="utf-8")
    assert printed.count("You: ") == len(recorded_answers())
    assert f"rungside report {heard}" in printed
    assert "CAUTION:" in printed
    assert "FINDING:" in printed


def test_another_number_in_the_sound_changes_the_verdict(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the capacitor's sound replaced by a good reading, it is not condemned."""
    good = next(SCENE.glob("*_new_cap_reading.wav"))
    yes = next(SCENE.glob("*_new_cap_reading_confirm.wav"))
    files = []
    for file in recorded_answers():
        if "_cap_reading" not in file.name or "_new_" in file.name:
            files.append(file)
            continue
        if len([f for f in files if f.parent == tmp_path]) < 2:
            other = tmp_path / file.name
            shutil.copy(good if not other.stem.endswith("confirm") else yes, other)
            files.append(other)
    common = ["--sessions", str(tmp_path / "s"), "--recogniser", "sphinx"]
    run(["walk", "blower-psc", *common, "--listen", *map(str, files)])
    content = report_of(only_session(tmp_path / "s"), capsys)
    (reading,) = [r for r in content["readings"] if r["id"] == "cap_reading"]
    assert reading["value"] == "7.4"
    assert reading["verdict"] == "pass"
    assert "capacitor_weak" not in [f["id"] for f in content["findings"]]


def test_typed_piped_and_heard_words_give_the_same_journal(heard: Path, tmp_path: Path) -> None:
    """The same words give the same events, whichever end they came by."""
    words = [e["words"] for e in told(heard) if e["kind"] == "heard"]
    answers = tmp_path / "answers.txt"
    answers.write_text("\n".join(words) + "\n", encoding="utf-8")
    common = ["--tech", "R.K.", "--unit", "AHU-2 Quarry Lane"]
    by_file, by_pipe = tmp_path / "file", tmp_path / "pipe"
    run(["walk", "blower-psc", "--answers", str(answers), "--sessions", str(by_file), *common])
    subprocess.run(
        [
            *(sys.executable, "-m", "assistant", "walk", "blower-psc", "--plain"),
            *("--sessions", str(by_pipe), *common),
        ],
        input=answers.read_text(encoding="utf-8"),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    expected = told(heard)
    assert expected == told(only_session(by_file))
    assert expected == told(only_session(by_pipe))


def test_a_terminal_without_the_letters_gets_them_spelled(heard: Path) -> None:
    """A report printed where there is no micro sign reads 2.9 uF, and nothing is left out."""
    command = [sys.executable, "-m", "assistant", "report", str(heard)]
    plain = os.environ | {"PYTHONIOENCODING": "ascii"}
    done = subprocess.run(command, capture_output=True, check=True, cwd=ROOT, env=plain)
    said = done.stdout.decode("ascii")
    assert "cap reading: 2.9 uF" in said
    assert "?" not in said


def test_replay_gives_the_identical_journal(
    heard: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A session's heard words, walked again, give the same events to the letter."""
    assert run(["replay", str(heard)]) == 0
    assert "to the letter" in capsys.readouterr().out


def test_replay_by_a_flow_that_is_not_shipped(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It asks for the flow's file, and judged by another edition it counts only what differs."""
    kettle = ROOT / "tests" / "walk" / "flows"
    shutil.copytree(kettle, tmp_path / "flows")
    own = tmp_path / "flows" / "kettle.yaml"
    answers = tmp_path / "answers.txt"
    answers.write_text("it runs\nstop\nyes\n", encoding="utf-8")
    folder = tmp_path / "sessions"
    run(["walk", str(own), "--answers", str(answers), "--sessions", str(folder)])
    session = str(only_session(folder))
    capsys.readouterr()
    assert run(["replay", session]) == 1
    assert "--flow FILE" in capsys.readouterr().err
    text = own.read_text(encoding="utf-8")
    own.write_text(text.replace('edition: "3"', 'edition: "4"'), encoding="utf-8")
    assert run(["replay", session, "--flow", str(own)]) == 0
    assert "recorded 3, now 4" in capsys.readouterr().out
    own.write_text(text.replace("What does it do? Say", "What is it doing? Say"), encoding="utf-8")
    assert run(["replay", session, "--flow", str(own)]) == 1
    assert "1 event differs." in capsys.readouterr().out


def test_the_recordings_are_what_the_lines_say_and_small() -> None:
    """One sound file a line, at most 5 MB in all."""
    assert len(recorded_answers()) == len(spoken_lines())
    assert sum(file.stat().st_size for file in recorded_answers()) < 5_000_000


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (["--text", "two forty", "--expect", "volt"], ("240", "volt", False, None, "accept")),
        (["--text", "O L", "--expect", "ohm"], (None, "ohm", True, None, "accept")),
        (["--text", "yes", "--expect", "yes_no"], ("yes", None, False, None, "accept")),
        (["--text", "scratch that", "--expect", "ohm"], (None, None, False, "scratch", "accept")),
        (
            ["--text", "seven five", "--expect", "microfarad"],
            ("7.5", "microfarad", False, None, "ask"),
        ),
        (["--text", "fifteen or so", "--expect", "ohm"], (None, None, False, None, "refuse")),
        (
            ["--text", "17.50", "--for", "blower-psc:cap_reading"],
            ("17.50", "microfarad", False, None, "ask"),
        ),
    ],
)
def test_hear_prints_what_words_come_to(
    arguments: list[str],
    expected: tuple[object, ...],
    capsys: pytest.CaptureFixture[str],
) -> None:
    """`hear` gives source, words, value, unit, over_limit, command, decision and why."""
    assert run(["hear", *arguments]) == 0
    record = json.loads(capsys.readouterr().out)
    assert {"source", "words", "why"} <= set(record)
    keys = ("value", "unit", "over_limit", "command", "decision")
    if expected[4] == "refuse":
        assert record["decision"] in {"refuse", "ask"}
    else:
        assert expected == tuple(record[key] for key in keys)


@pytest.mark.parametrize("words", ["", "  "])
def test_an_empty_phrase_is_heard_as_no_words(
    words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One phrase gives one line, also where there is nothing in it: refused, and why."""
    assert run(["hear", "--text", words, "--expect", "ohm"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    record = json.loads(line)
    assert ("text", "", "refuse") == (record["source"], record["words"], record["decision"])
    assert record["why"] == "I heard no words."


def test_hear_takes_a_file_of_phrases(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One phrase a line gives one JSON object a line, in order."""
    file = tmp_path / "phrases.txt"
    file.write_text("one eighteen\n\npoint oh five\nno idea\n", encoding="utf-8")
    assert run(["hear", "--text-file", str(file), "--expect", "volt"]) == 0
    records = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert ["118", "0.05", None] == [record["value"] for record in records]


def test_doctor_says_what_is_here(capsys: pytest.CaptureFixture[str]) -> None:
    """The doctor names recognisers, microphones, speech and outputs, with what to do."""
    assert run(["doctor"]) == 0
    said = capsys.readouterr().out
    for word in ("recogniser sphinx: ready", "microphones:", "speech engine:", "settings:"):
        assert word in said
