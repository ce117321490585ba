"""Each check is held by small flows that break it, on the marked lines, and by flows that do not.

A folder `flows/<check>/` holds `bad_*.yaml`, whose wrong lines end with `# <-- <check>`, and
`good_*.yaml`. Files of any other name are parts that these include; they may be marked too.
"""

from pathlib import Path

import pytest

from assistant.checks.running import catalogue
from assistant.checks.table import CHECKS, check_file
from assistant.flow.complaints import COMPLAINTS
from assistant.flow.source import read_source

FLOWS = Path(__file__).parent / "flows"
BAD = sorted(FLOWS.glob("*/bad_*.yaml"))
GOOD = sorted(FLOWS.glob("*/good_*.yaml"))


def name_of(file: Path) -> str:
    """Give a fixture's name in the list of tests."""
    return f"{file.parent.name}/{file.stem}"


def marked(file: Path) -> set[tuple[str, int]]:
    """Give the lines that are marked for the folder's check, in the file and in its parts."""
    mark = f"# <-- {file.parent.name}"
    found: set[tuple[str, int]] = set()
    text = file.read_text(encoding="utf-8")
    parts = [p for p in file.parent.rglob("*.yaml") if p != file and p.name in text]
    for part in (file, *parts):
        for number, line in enumerate(part.read_text(encoding="utf-8").splitlines(), start=1):
            if line.rstrip().endswith(mark):
                found.add((part.name, number))
    return found


def named(file: Path) -> set[tuple[str, int]]:
    """Give the lines that the folder's check complains of."""
    problems = check_file(file)
    return {(p.file.name, p.line) for p in problems if p.check == file.parent.name}


@pytest.mark.parametrize("file", BAD, ids=name_of)
def test_a_bad_flow_is_named_on_the_marked_lines(file: Path) -> None:
    """The check complains of exactly the lines that are marked, and one at least is."""
    expected = marked(file)
    assert expected
    assert expected == named(file), [str(p) for p in check_file(file)]


@pytest.mark.parametrize("file", GOOD, ids=name_of)
def test_a_good_flow_is_not_named(file: Path) -> None:
    """The check has nothing to say of it, and it is a flow that can be read."""
    assert read_source(file).data
    assert set() == named(file)


NAMES = sorted({check.name for check in CHECKS} | set(COMPLAINTS))
ELSEWHERE = {"vocabulary": "tests/flow/test_flow_safety.py breaks the vocabulary itself"}


@pytest.mark.parametrize("name", [name for name in NAMES if name not in ELSEWHERE])
def test_each_check_is_held_by_a_bad_and_a_good_flow(name: str) -> None:
    """A check without a flow that breaks it, or one that does not, is not a check yet."""
    assert list((FLOWS / name).glob("bad_*.yaml"))
    assert list((FLOWS / name).glob("good_*.yaml"))


def test_each_folder_is_a_check() -> None:
    """No fixture stands under a name that no check has, and every name has one reason."""
    assert set(NAMES) >= {folder.name for folder in FLOWS.iterdir()}
    assert [] == [name for name, _, why in catalogue() if not why.strip().endswith(".")]
    names = [name for name, _, _ in catalogue()]
    assert sorted(set(names)) == names
