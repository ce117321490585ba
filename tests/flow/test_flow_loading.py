"""A flow file loads, or says what is wrong by file, line and column, and what would be right."""

from pathlib import Path

import pytest
from broken_cases import BROKEN, Broken

from assistant.flow.library import find_flow, open_flow, shipped
from assistant.flow.linking import load_flow
from assistant.flow.model import MeasureStep
from assistant.flow.problems import FlowError
from assistant.flow.safety import check_paths

BASE = Path(__file__).parent / "base.yaml"
VOCABULARY = shipped("flows") / "vocabulary.yaml"


def load(text: str, tmp_path: Path) -> None:
    """Load a flow from text."""
    file = tmp_path / "broken.yaml"
    file.write_text(text, encoding="utf-8")
    load_flow(file, VOCABULARY)


def test_the_good_flow_loads() -> None:
    """The flow that the broken ones are made from is good."""
    flow = load_flow(BASE, VOCABULARY)
    assert flow.start == "look"
    assert check_paths(flow) == []
    assert len(flow.digest) == 64


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case.name)
def test_a_broken_flow_is_named_by_line(case: Broken, tmp_path: Path) -> None:
    """One defect gives a complaint at its line, in words that help."""
    good = BASE.read_text(encoding="utf-8")
    assert case.old in good
    text = good.replace(case.old, case.new, 1)
    with pytest.raises(FlowError) as caught:
        load(text, tmp_path)
    named = [p for p in caught.value.problems if case.said in p.message and case.hint in p.hint]
    assert named, [str(p) for p in caught.value.problems]
    problem = named[0]
    marker = case.at or case.new.strip()
    line = text[: text.index(marker)].count("\n") + 1
    assert line == problem.line
    assert str(problem).startswith(f"{tmp_path / 'broken.yaml'}:{line}:")


def test_yes_and_on_stay_words(tmp_path: Path) -> None:
    """YAML 1.2: an edition of `on` is a word, not a truth value."""
    text = BASE.read_text(encoding="utf-8").replace('edition: "1"', "edition: on")
    file = tmp_path / "flow.yaml"
    file.write_text(text, encoding="utf-8")
    assert load_flow(file, VOCABULARY).edition == "on"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "does not hold keys"),
        (b"- a\n- b\n", "does not hold keys"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"flow: \x01\n", "not allow"),
        (b"a: &x [*x]\n", ""),
        (b"[" * 5000, ""),
        (b"[a]: b\n", "a key must be a word"),
        (b"a: !made_up x\n", "tag '!made_up' is not known"),
        (b"a: !!int x\n", "'x' is no number"),
    ],
)
def test_what_is_no_flow_file(content: bytes, said: str, tmp_path: Path) -> None:
    """A file that is empty, a list, not text, or hostile is one complaint, never a crash."""
    file = tmp_path / "odd.yaml"
    file.write_bytes(content)
    with pytest.raises(FlowError) as caught:
        load_flow(file, VOCABULARY)
    assert said in caught.value.problems[0].message


def test_aliases_of_aliases_are_bounded(tmp_path: Path) -> None:
    """A short file that stands for a million values is refused at once, not expanded."""
    rows = ["k0: &k0 [x]"]
    rows += [f"k{n}: &k{n} [{', '.join([f'*k{n - 1}'] * 10)}]" for n in range(1, 8)]
    file = tmp_path / "odd.yaml"
    file.write_text("\n".join(rows), encoding="utf-8")
    with pytest.raises(FlowError, match="too many values"):
        load_flow(file, VOCABULARY)


def test_a_date_and_digits_stay_as_they_are_written(tmp_path: Path) -> None:
    """An edition that is a date is a word, and a limit of 1.50 keeps its digits."""
    text = BASE.read_text(encoding="utf-8").replace('edition: "1"', "edition: 2026-03-01")
    file = tmp_path / "flow.yaml"
    file.write_text(text.replace("[-2, 2]", "[-2, 1.50]"), encoding="utf-8")
    flow = load_flow(file, VOCABULARY)
    volts = flow.steps["volts"]
    assert flow.edition == "2026-03-01"
    assert isinstance(volts, MeasureStep)
    assert str(volts.plausible[1]) == "1.50"


def test_a_missing_file_and_an_unknown_name() -> None:
    """A path that is not there and a name that is no flow are each one sentence."""
    with pytest.raises(FlowError, match="no such file"):
        open_flow("nowhere/at/all.yaml")
    with pytest.raises(FlowError, match="There is no flow 'blower'"):
        find_flow("blower")


def test_an_include_that_is_missing_or_circular(tmp_path: Path) -> None:
    """A missing include points at the line that names it; a circle is refused."""
    text = BASE.read_text(encoding="utf-8")
    part = "  part: {kind: include, flow: other.yaml, returns: {}, next: end}\nfindings:"
    with pytest.raises(FlowError) as caught:
        load(text.replace("findings:", part, 1), tmp_path)
    assert "no file 'other.yaml'" in caught.value.problems[0].message
    assert caught.value.problems[0].line == text.count("\n", 0, text.index("findings:")) + 1
    with pytest.raises(FlowError, match="includes itself"):
        load(text.replace("findings:", part.replace("other", "broken"), 1), tmp_path)


def test_ohms_on_an_unproven_unit_are_an_unsafe_path(tmp_path: Path) -> None:
    """A flow that can reach ohms without proof that the unit is dead is named so."""
    text = BASE.read_text(encoding="utf-8")
    text = text.replace("quantity: static_pressure", "quantity: resistance")
    text = text.replace("unit: in_wc", "unit: ohm").replace("meter: manometer", "meter: ohms")
    file = tmp_path / "unsafe.yaml"
    file.write_text(text, encoding="utf-8")
    (problem,) = check_paths(load_flow(file, VOCABULARY))
    assert problem.check == "unsafe-path"
    assert "power proven off" in problem.message
    assert "capacitor bled" in problem.message
