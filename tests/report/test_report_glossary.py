"""The owner's words: abbreviations spelled out, words of the trade explained."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.quantity import FORMS, Quantity, Unit, format_for_eye
from assistant.report.glossary import MEANINGS, MOST_WORDS, explain, spell_out


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("It reads 6.2 µF against 10 µF.", "It reads 6.2 microfarads against 10 microfarads."),
        ("There are 25.93 V across it.", "There are 25.93 volts across it."),
        ("0.52 in. w.c. in all", "0.52 inches of water in all"),
        ("85.19 % of it, 72 °F", "85.19 percent of it, 72 degrees Fahrenheit"),
        ("\u22120.12 A and 1,075 rpm", "\u22120.12 amps and 1,075 turns a minute"),
        ("800 cfm", "800 cubic feet a minute"),
        ("It reads OL.", "It reads more than the meter shows."),
        ("terminal C to R, 2 A1 fuses", "terminal C to R, 2 A1 fuses"),
        ("part 12Vx", "part 12Vx"),
        ("10 MΩ", "10 megohms"),
        ("It is 0.8 in. w.c. Clean it.", "It is 0.8 inches of water. Clean it."),
        ("It is 0.8 in. w.c.", "It is 0.8 inches of water."),
        ("It is 0.8 in. w.c..", "It is 0.8 inches of water."),
        ("0.8 in. w.c. is much", "0.8 inches of water is much"),
        ("(at most 0.5 in. w.c.)", "(at most 0.5 inches of water)"),
    ],
)
def test_abbreviations_are_spelled_out(text: str, plain: str) -> None:
    """Units behind numbers become words; letters that are no units stay."""
    assert plain == spell_out(text)


@given(st.sampled_from(Unit), st.decimals(0, 9999, places=2))
def test_no_unit_is_left_short(unit: Unit, value: object) -> None:
    """Whatever the eye's form of a reading is, no symbol of a unit is left in it."""
    spelled = spell_out(f"It reads {format_for_eye(Quantity(value, unit))}.")  # type: ignore[arg-type]
    symbol = FORMS[unit].symbol
    if symbol and symbol != FORMS[unit].plural and symbol != FORMS[unit].singular:
        assert not re.search(rf"\d {re.escape(symbol)}(?!\w)", spelled)


def test_only_words_that_stand_there_are_explained() -> None:
    """Words are explained in the order of the alphabet, longer ones before those inside them."""
    told = explain(["The run winding is open.", "Replace the capacitors."])
    assert ["capacitor", "run winding"] == [word for word, _ in told]
    assert () == explain(["It is noisy."])


def test_explanations_stay_few() -> None:
    """Not more are given than a reader takes in, the first ones told."""
    assert MOST_WORDS == len(explain([" ".join(MEANINGS)]))
    assert all(meaning and meaning[0].islower() for meaning in MEANINGS.values())
