"""`rungside check`: what is wrong with flows, in words or as JSON, and the exit code."""

import json
import shutil
from pathlib import Path

import pytest

from assistant.checks.running import as_lines, check_files, files_of, has_errors, watch
from assistant.cli import run
from assistant.flow.library import flow_names

FLOWS = Path(__file__).parents[1] / "checks" / "flows"
BAD = FLOWS / "numeric-gap" / "bad_ladder.yaml"
WARNED = FLOWS / "narrow-gap" / "bad_two_limits.yaml"
GOOD = FLOWS / "numeric-gap" / "good_ladder.yaml"


def test_a_bad_flow_is_named_and_exits_with_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The complaint is `file:line:column: check: sentence. Nearest right thing`, from here."""
    monkeypatch.chdir(FLOWS.parents[2])
    assert run(["check", str(BAD)]) == 1
    line, summary = capsys.readouterr().out.splitlines()
    assert line.startswith("tests/checks/flows/numeric-gap/bad_ladder.yaml:47:9: numeric-gap: ")
    assert line.endswith("Write 'at_least: 1', so that the limits touch.")
    assert summary == "1 flow checked: 1 error."


def test_a_warning_alone_is_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    """A warning is called one, and the exit code is 0; so it is for a good flow."""
    assert run(["check", str(WARNED)]) == 0
    assert ": narrow-gap (warning): " in capsys.readouterr().out
    assert run(["check", str(GOOD)]) == 0
    assert capsys.readouterr().out == "1 flow checked: nothing is wrong.\n"


def test_complaints_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """Each complaint is an object with its place, its check, its severity and its words."""
    assert run(["check", str(BAD), str(WARNED), "--format", "json"]) == 1
    records = json.loads(capsys.readouterr().out)
    assert ["error", "warning"] == sorted(record["severity"] for record in records)
    (record,) = [one for one in records if one["check"] == "numeric-gap"]
    assert set(record) == {"file", "line", "column", "check", "severity", "message", "hint"}
    assert (47, 9, str(BAD)) == (record["line"], record["column"], record["file"])


def test_a_flow_that_does_not_load_is_a_complaint(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the loader says is told like any other complaint, not as an error of the command."""
    file = tmp_path / "flow.yaml"
    file.write_text("flow: [", encoding="utf-8")
    assert run(["check", str(file)]) == 1
    assert ": not-readable: " in capsys.readouterr().out
    assert run(["check", "capacitors"]) == 1
    assert "Did you mean 'capacitor'?" in capsys.readouterr().err


def test_an_unknown_name_hides_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    """Each name that is no flow is one sentence, and what is wrong with the others is told."""
    assert run(["check", str(GOOD), "nosuch", str(BAD), "capacitors"]) == 1
    out, said = capsys.readouterr()
    assert ": numeric-gap: " in out
    assert out.splitlines()[-1] == "2 flows checked: 1 error."
    assert ["nosuch", "capacitors"] == [line.split("'")[1] for line in said.splitlines()]
    assert run(["check", str(GOOD), "nosuch"]) == 1
    assert run(["check", "--watch", "nosuch"]) == 1
    capsys.readouterr()


def test_an_unknown_name_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """It is a complaint among the others, alone as well, and nothing is said beside it."""
    assert run(["check", str(GOOD), "nosuch", str(BAD), "--format", "json"]) == 1
    out, said = capsys.readouterr()
    assert ["not-readable", "numeric-gap"] == [record["check"] for record in json.loads(out)]
    assert said == ""
    assert run(["check", "nosuch", "--format", "json"]) == 1
    (record,) = json.loads(capsys.readouterr().out)
    assert ("nosuch", "error") == (record["file"], record["severity"])


def test_lists_and_schema(capsys: pytest.CaptureFixture[str]) -> None:
    """Each complaint is listed with its reason; the schema is JSON; both at once is wrong usage."""
    assert run(["check", "--list"]) == 0
    listed = capsys.readouterr().out
    assert "unknown-target: " in listed
    assert "narrow-gap (warning): " in listed
    assert run(["check", "--list", "--format", "json"]) == 0
    assert {"check", "severity", "why"} == set(json.loads(capsys.readouterr().out)[0])
    assert run(["check", "--schema"]) == 0
    assert "$defs" in json.loads(capsys.readouterr().out)
    assert run(["check", "--schema", "--watch"]) == 2


def test_shipped_flows_are_meant_where_none_is_named() -> None:
    """No name means every shipped flow."""
    assert list(flow_names()) == [file.stem for file in files_of(())[0]]


def test_a_watch_tells_again_only_what_changed(tmp_path: Path) -> None:
    """A change in a file that the flow includes is seen; where nothing changed nothing is told."""
    folder = tmp_path / "flows"
    shutil.copytree(FLOWS / "return-never-taken", folder)
    file, part = folder / "good_returns.yaml", folder / "part_good.yaml"
    text = part.read_text(encoding="utf-8")
    waits: list[int] = []

    def wait() -> None:
        waits.append(len(waits))
        if len(waits) == 3:
            part.write_text(text.replace("return.off", "return.good"), encoding="utf-8")

    rounds = watch([file], wait)
    assert not has_errors(next(rounds))
    assert ["return-never-taken"] == [one.check for one in next(rounds)]
    assert [0, 1, 2] == waits


def test_ctrl_c_ends_a_watch(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An interrupt ends a watch without a word, with the code of the last round."""

    def interrupt(_: float) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("assistant.checks.running.sleep", interrupt)
    assert run(["check", "--watch", str(BAD)]) == 1
    assert capsys.readouterr().err == ""


def test_what_several_flows_share_is_told_once(tmp_path: Path) -> None:
    """A defect in a shared file is one complaint, however many flows include it."""
    shutil.copytree(FLOWS / "return-never-taken", tmp_path / "flows")
    bad = tmp_path / "flows" / "bad_return.yaml"
    other = bad.with_name("other.yaml")
    other.write_text(bad.read_text(encoding="utf-8"), encoding="utf-8")
    problems = check_files([bad, other])
    assert ["part_bad.yaml"] == [p.file.name for p in problems if p.check == "return-never-taken"]
    assert as_lines(problems, [bad, other])[-1].startswith("2 flows checked: ")
