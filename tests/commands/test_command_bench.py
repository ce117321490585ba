"""`rungside isolate` and `rungside practice` as commands."""

import json
from pathlib import Path

import pytest

from assistant.cli import run

DATA = Path(__file__).parent.parent / "bench" / "data"
BENCH = [str(DATA / "unseen_t_120.yaml"), str(DATA / "unseen_faults.yaml")]


def test_isolate_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """One JSON object with the figures; files given by --bench stand in for the shipped ones."""
    assert run(["isolate", "blower-psc", "--json", "--bench", *BENCH]) == 0
    printed = capsys.readouterr()
    record = json.loads(printed.out)
    assert printed.err == ""
    assert ["unseen_t_120"] == record["units"]
    assert (1, 1, 1) == tuple(
        record[key] for key in ("detected", "isolated_to_one", "isolated_to_two")
    )
    assert (0, 0, 0) == tuple(
        record[key] for key in ("wrong_isolation", "wrong_isolation_noise", "false_alarm")
    )
    assert ["hidden_vibration"] == record["not_covered"]
    assert {"unseen_t_120": "yes"} == record["matrix"]["capacitor_half"]
    assert record["misheard"]["slips"] == []
    assert 0 < record["optimum_minutes"] <= record["expected_minutes"]


def test_isolate_is_the_same_for_a_seed(capsys: pytest.CaptureFixture[str]) -> None:
    """The matrix is printed, and a seed gives the same to the letter."""
    outs = []
    for _ in range(2):
        assert run(["isolate", "--bench", *BENCH, "--seed", "4"]) == 0
        outs.append(capsys.readouterr().out)
    assert outs[0] == outs[1]
    assert "capacitor_half" in outs[0]
    assert "not covered by this flow: hidden_vibration" in outs[0]


@pytest.mark.parametrize(
    ("arguments", "code", "sentence"),
    [
        (["isolate", "no-such-flow"], 1, "There is no flow 'no-such-flow'."),
        (["isolate", "--bench", "none.yaml"], 1, "none.yaml:1:1"),
        (["isolate", "--seeds", "0"], 2, "at least one"),
        (["practice", "--fault", "capacitor_week"], 1, "Did you mean 'capacitor_weak'?"),
        (["practice", "--fault", "tap_bare", "--bench", "one.yaml"], 1, "one.yaml"),
    ],
)
def test_what_cannot_be_done(
    arguments: list[str], code: int, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each is one sentence on stderr, with its exit code."""
    assert run(arguments) == code
    printed = capsys.readouterr()
    assert sentence in printed.err
    assert printed.out == ""
    assert printed.err.count("\n") == 1


def test_practice_by_the_bench(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The bench walks it to the end: what it was, what was found, and a session on disk."""
    arguments = ["practice", "--auto", "--seed", "7", "--fault", "filter_loaded"]
    assert run([*arguments, "--tech", "A.B.", "--sessions", str(tmp_path)]) == 0
    out = capsys.readouterr().out
    assert "The customer says: weak air." in out
    assert "It was: filter loaded" in out
    assert "That is it." in out
    assert "without a detour" in out
    assert len(list(tmp_path.glob("*/journal.jsonl"))) == 1


def test_a_practice_that_is_sent_on_ends_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A simulated unit stands in one flow; being sent on to the right other one is told so."""
    arguments = ["--fault", "air_motor_slow", "--seed", "4", "--auto"]
    assert run(["practice", "low-airflow", *arguments, "--sessions", str(tmp_path)]) == 0
    assert "Sent on to blower psc. That is right." in capsys.readouterr().out
