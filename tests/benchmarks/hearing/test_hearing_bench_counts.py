"""How the hearing bench counts: bounds, what a technician answers, what a trial came to."""

import json
from pathlib import Path

import pytest
from bounds import upper_bound
from print_table import tables
from results import append_line, chosen, read_lines
from scoring import Count, Next, Outcome, matches, next_move, right_after
from summary import group_of, ratio_of

from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Choice, Expectation
from assistant.walk.ends import Heard
from assistant.walk.hearing import Bench, weigh_heard


@pytest.mark.parametrize(
    ("seen", "trials", "percent"),
    [(0, 10, 25.887), (1, 10, 39.416), (2, 20, 28.262), (5, 100, 10.225), (0, 3000, 0.0998)],
)
def test_the_bound_is_clopper_and_pearsons(seen: int, trials: int, percent: float) -> None:
    """One-sided 95 %: the 0.95 quantile of the beta distribution of seen + 1 and the others."""
    assert percent == pytest.approx(100 * upper_bound(seen, trials), rel=2e-4)


def test_the_bound_at_its_edges() -> None:
    """Nothing tried rules nothing out, nor does everything seen; none of many is three in many."""
    assert 1.0 == upper_bound(0, 0) == upper_bound(7, 7)
    assert 3 / 5000 == pytest.approx(upper_bound(0, 5000), rel=0.01)


TRUTH = {"value": "17.5", "unit": "ohm", "over_limit": False, "command": ""}
OL = {"value": "", "unit": "ohm", "over_limit": True, "command": ""}
YES = {"value": "yes", "unit": "", "over_limit": False, "command": ""}
HELP = {"value": "", "unit": "", "over_limit": False, "command": "help"}


def heard(words: str, place: str = "ohm", *others: str) -> dict[str, object]:
    """Give what words come to at a unit."""
    return weigh_heard(Heard(words, others), Bench(expectation_for_unit(place)), is_sound=True)


@pytest.mark.parametrize(
    ("words", "place", "truth", "is_same"),
    [
        ("seventeen point five", "ohm", TRUTH, True),
        ("seventeen and a half", "ohm", TRUTH, True),
        ("seventeen point five zero", "ohm", TRUTH, True),
        ("seventy point five", "ohm", TRUTH, False),
        ("seventeen point five kilohms", "ohm", TRUTH, False),
        ("help", "ohm", TRUTH, False),
        ("over limit", "ohm", TRUTH, False),
        ("over limit", "ohm", OL, True),
        ("zero", "ohm", OL, False),
        ("yeah", "yes_no", YES, True),
        ("nope", "yes_no", YES, False),
        ("help", "ohm", HELP, True),
        ("why", "ohm", HELP, False),
        ("five", "ohm", HELP, False),
        ("", "ohm", TRUTH, False),
    ],
)
def test_right_is_the_same_value_in_the_same_unit(
    words: str, place: str, truth: dict[str, object], is_same: bool
) -> None:
    """A trailing zero is no other value; another unit is."""
    assert is_same == matches(heard(words, place), truth)


def test_what_the_technician_answers() -> None:
    """Yes or no only where the tool asks for it; which-of-two and refusals are said again."""
    assert Next.CONFIRM == next_move(heard("seventeen point five"), TRUTH)  # teen or ty
    assert Next.DENY == next_move(heard("seventy point five"), TRUTH)
    assert Next.SAY_AGAIN == next_move(heard("seventeen five"), TRUTH)
    assert Next.SAY_AGAIN == next_move(heard(""), TRUTH)
    assert Next.NOTHING == next_move(heard("four"), TRUTH)
    choices = Expectation(choices=(Choice("hums", ("it hums",)), Choice("runs", ("it runs",))))
    record = weigh_heard(Heard("it hums", ("it runs",)), Bench(choices), is_sound=True)
    assert "Did you say: it hums?" == record["question"]
    hums = {"value": "hums", "unit": "", "over_limit": False, "command": ""}
    assert Next.CONFIRM == next_move(record, hums)
    assert Next.DENY == next_move(record, {**hums, "value": "runs"})
    assert Next.SAY_AGAIN == next_move(heard("yes", "yes_no", "no"), YES)


def test_outcomes_are_counted_by_questions() -> None:
    """A right answer is at once, after one question, or after more."""
    assert Outcome.AT_ONCE == right_after(0)
    assert Outcome.AFTER_ONE == right_after(1)
    assert Outcome.AFTER_MORE == right_after(2) == right_after(4)
    named = ["at_once", "wrong", "at_once", "refused", "after_more"]
    assert Count(5, 2, 0, 1, 1, 1) == Count.of(named)


def result(outcome: str, **other: object) -> dict[str, object]:
    """Give a line of results."""
    fields: dict[str, object] = {
        "id": "a-clean",
        "part": "held_out",
        "kind": "human",
        "voice": "human:x",
        "style": "digits",
        "truth": TRUTH,
        "noise": "none",
        "snr": None,
        "distance": "near",
        "band": "16k",
        "outcome": outcome,
        "how": "",
        "heard": ["five"],
        "phrase": "five",
        "turns": 1,
        "seconds": 3.0,
        "is_cut": False,
        "latency": 0.7,
        "lag": 0.1,
        "latency_cpu": 0.6,
        "lag_cpu": 0.05,
        "busy_cpu": 0.4,
        "sound": 2.0,
        "peak_mb": 400,
        "commands": [],
        "recogniser": "sphinx",
    }
    return {**fields, **other}


def test_what_is_never_counted_together() -> None:
    """Values, values with a pause, and other answers; a ratio in words."""
    assert "values" == group_of(result("wrong"))
    assert "paused" == group_of(result("wrong", style="broken"))
    assert "others" == group_of(result("wrong", truth=YES))
    assert ("clean", "5 dB") == (ratio_of(result("wrong")), ratio_of(result("wrong", snr=5.0)))


def test_the_table_has_a_row_a_condition() -> None:
    """Two of three right, one wrong: counts, shares and the bound stand in the row."""
    lines = [result("at_once"), result("after_one"), result("wrong")]
    (row,) = [line for line in tables(lines).splitlines() if "| clean" in line][:1]
    assert "| 3 |" in row
    assert "33.3 %" in row
    assert "1, below 86.46 %" in row


def test_results_go_on_behind_a_torn_line(tmp_path: Path) -> None:
    """A run that was killed while it wrote leaves half a line, which is done again."""
    path = tmp_path / "results.jsonl"
    assert [] == read_lines(path)
    append_line(path, {"id": "one", "snr": 10.0})
    with path.open("a") as file:
        file.write(json.dumps({"id": "two"})[:6])
    append_line(path, {"id": "three", "snr": None})
    assert ["one", "three"] == [line["id"] for line in read_lines(path)]


def test_filters_name_ratios_as_the_command_line_does() -> None:
    """`10` and `clean`; no filter takes all."""
    lines: list[dict[str, object]] = [{"snr": 10.0}, {"snr": None}, {"snr": 0.0}]
    assert [lines[0]] == list(chosen(lines, {"snr": ["10"]}))
    assert [lines[1], lines[2]] == list(chosen(lines, {"snr": ["clean", "0"]}))
    assert lines == list(chosen(lines, {"snr": None}))
