"""Small flows that try to hurt someone, each in another way, and safe ones that look like them."""

from pathlib import Path

import pytest

from assistant.checks.safety import CHECKS
from assistant.checks.table import check_file

SETS = Path(__file__).parent / "safety_sets"
UNSAFE = sorted((SETS / "unsafe").glob("*.yaml"))
SAFE = sorted((SETS / "safe").glob("*.yaml"))
NAMES = {check.name for check in CHECKS}


def test_there_are_enough_of_each() -> None:
    """At least 25 ways to hurt someone, and 15 flows that look alike and do not."""
    assert len(UNSAFE) >= 25
    assert len(SAFE) >= 15


@pytest.mark.parametrize("file", UNSAFE, ids=lambda file: str(file.stem))
def test_an_unsafe_flow_is_refused(file: Path) -> None:
    """A check of safety names it, as an error, and it is not some fault of form that does."""
    problems = check_file(file)
    assert [p for p in problems if p.check in NAMES and p.severity == "error"], problems


@pytest.mark.parametrize("file", SAFE, ids=lambda file: str(file.stem))
def test_a_safe_flow_is_not_refused(file: Path) -> None:
    """No check at all finds an error in it; a warning keeps nobody from walking it."""
    assert [] == [str(p) for p in check_file(file) if p.severity == "error"]
