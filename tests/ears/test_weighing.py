"""What is listened for at a turn, and what it costs."""

import pytest

from assistant.ears.weighing import Search, search_for
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Choice, Expectation


def weights_of(search: Search, word: str) -> set[float]:
    """Give the weights that a word has in a search."""
    return {weight for _, _, weight, label in search.arcs if label == word}


def test_own_words_are_free_and_foreign_ones_cost() -> None:
    """Volts compete with ohms at an ohm step, at a price; ohms are free."""
    search = search_for(expectation_for_unit("ohm"))
    assert weights_of(search, "ohms") == {1.0}
    assert weights_of(search, "volts") == {0.01}
    assert weights_of(search, "yes") == {0.01}


@pytest.mark.parametrize("unit", ["ohm", "volt", "microfarad", "in_wc", "yes_no"])
def test_drawing_is_said_of_current_only(unit: str) -> None:
    """Elsewhere "pulling" would only be heard in "point"."""
    assert not {"pulling", "drawing"} & search_for(expectation_for_unit(unit)).words
    assert weights_of(search_for(expectation_for_unit("ampere")), "pulling") == {1e-5}


def weights_along(search: Search, words: str) -> list[float]:
    """Give the weights on the way of a phrase; the net is deterministic but for its end."""
    here, weights = {0}, []
    for word in words.split():
        steps = [
            (to, w) for source, to, w, label in search.arcs if source in here and label == word
        ]
        weights.append(max(weight for _, weight in steps))
        here = {to for to, _ in steps}
    return weights


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("seventy", [1.0]),
        ("two forty", [1.0, 1.0]),
        ("seven point two", [1.0, 1.0, 1.0]),
        ("seven point seventy", [1.0, 1.0, 0.01]),
        ("twenty twenty", [1.0, 0.01]),
        ("twenty nine twenty eight", [1.0, 1.0, 0.01, 1.0]),
        ("one hundred twenty eight", [1.0, 1.0, 1.0, 1.0]),
        ("twenty eight volts", [1.0, 1.0, 0.01]),
    ],
)
def test_tens_cost_where_they_are_seldom_said(words: str, expected: list[float]) -> None:
    """Behind a point and behind two figures "twenty" is more likely "point" or a figure."""
    assert expected == weights_along(search_for(expectation_for_unit("ohm")), words)


def test_numbers_compete_where_none_is_expected() -> None:
    """At a step with choices a number is listened for, so that it is not taken for a choice."""
    search = search_for(Expectation(choices=(Choice("free", ("turns free",)),)))
    assert {"turns", "free", "seventeen", "ohms"} <= search.words
    assert weights_of(search, "free") == {1.0}
