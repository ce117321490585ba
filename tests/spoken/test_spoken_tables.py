"""Phrases in `valid/` and `invalid/`, each with what it must come to."""

from pathlib import Path

import pytest
from spoken_cases import expectation, one_line

from assistant.spoken.meaning import Unclear
from assistant.spoken.understanding import understand

HERE = Path(__file__).parent
LEAST_CASES = 250


def _cases(folder: str) -> list[tuple[str, str, str]]:
    lines = [
        line
        for file in sorted((HERE / folder).glob("*.txt"))
        for line in file.read_text(encoding="utf-8").splitlines()
        if line and not line.startswith("#")
    ]
    cases = [tuple(part.strip() for part in line.split("|")) for line in lines]
    return [(name, words, meaning) for name, words, meaning in cases]


@pytest.mark.parametrize(("name", "words", "meaning"), _cases("valid"))
def test_words_mean(name: str, words: str, meaning: str) -> None:
    """Each phrase comes to exactly the meaning that stands beside it."""
    assert meaning == one_line(understand(words, expectation(name)))


@pytest.mark.parametrize(("name", "words", "meaning"), _cases("invalid"))
def test_words_are_refused(name: str, words: str, meaning: str) -> None:
    """Each phrase is refused for the reason that stands beside it, with its candidates."""
    understood = understand(words, expectation(name))
    assert meaning == one_line(understood)
    assert isinstance(understood, Unclear)
    assert understood.why.endswith(".")


def test_tables_are_large() -> None:
    """The tables hold enough phrases, and none twice with one expectation."""
    cases = [case[:2] for folder in ("valid", "invalid") for case in _cases(folder)]
    assert len(cases) >= LEAST_CASES
    assert len(set(cases)) == len(cases)
