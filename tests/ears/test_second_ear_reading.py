"""What whisper writes is read as the step expects it, and what means nothing there stays unread.

The transcripts are what tiny.en wrote of two synthetic voices, clean and in noise, unless a comment
says otherwise.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.ears.second_ear_reading import (
    is_like_a_number,
    read_transcript,
    spoken_ways,
    written_ways,
)
from assistant.quantity import OverLimit, Quantity, Unit
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import Command, CommandKind, Unclear, Value, YesNo, sense_of
from assistant.spoken.understanding import understand

NUMBERS = [
    ("ohm", " 17.5 ohms.", "17.5"),
    ("ohm", " Seventeen point five ohms. Seventeen point five ohms", "17.5"),
    ("ohm", " 59 ohms 59 ohms 59 ohms", "59"),
    ("ohm", " 40.2 ohms. 40.2 ohms. 40.", "40.2"),
    ("ohm", " 40 gnomes", "40"),
    ("ohm", " 100 and 1.0", "101.0"),
    ("ohm", " 9.2.7", "92.7"),
    ("ohm", " 2 0 3.1", "203.1"),
    ("ohm", " Two one 0.2. Two one 0.2.", "210.2"),
    ("ohm", " 2-8-1", "281"),
    ("ohm", " For 3.3.", "43.3"),
    ("microfarad", " 2.8.4 2.8.4", "28.4"),
    ("microfarad", " 31.4 microferats.", "31.4"),
    ("microfarad", " 78 and a half microfer ads.", "78.5"),
    ("microfarad", " 4. 1.2.", "41.2"),
    ("volt", " 220, 220, 220, 220", "220"),
    ("volt", " 450.7V.", "450.7"),
    ("volt", " 1. 4. 6.", "146"),
    ("volt", " Two 19 volts.", "219"),
    ("volt", " 100 and 86 volts.", "186"),
    ("in_wc", ' 0.92".', "0.92"),
    ("in_wc", " 0.92 inches. Zero point nine two inches.", "0.92"),
    ("ampere", " $2.40", "2.40"),
]
OVER_LIMITS = [" O L.", " O-L", " Oh, well.", " Oh well. Oh well.", " Over-limit.", " Open Line."]
NOTHING = [
    ("ohm", " Hand me the screwdriver, please."),
    ("ohm", " What time is lunch? What time is lunch?"),
    ("ohm", " Thank you."),
    ("ohm", ""),
    ("ohm", " 17 volts."),
    ("ohm", " 40 or 50 ohms."),
    ("ohm", " 40.2 ohms. 40.3 ohms."),
    ("ohm", " 40, no wait."),
    ("ohm", " 40 I mean."),
    ("ohm", " 40 or"),
    ("volt", " I called him at 240 yesterday about the old unit."),
    ("yes_no", " It smells like something burned."),
]


@pytest.mark.parametrize(("unit", "text", "value"), NUMBERS)
def test_a_number_is_read(unit: str, text: str, value: str) -> None:
    """The number that was said, however it is written."""
    _, meaning = read_transcript(text, expectation_for_unit(unit))
    assert isinstance(meaning, Value)
    assert isinstance(meaning.reading, Quantity)
    assert value == str(meaning.reading.value)


@pytest.mark.parametrize(("unit", "text", "value"), NUMBERS)
def test_the_words_given_mean_the_same(unit: str, text: str, value: str) -> None:
    """The layer above reads the words again and comes to the same number."""
    expectation = expectation_for_unit(unit)
    words, meaning = read_transcript(text, expectation)
    assert sense_of(meaning) == sense_of(understand(words, expectation))
    assert value


@pytest.mark.parametrize("text", OVER_LIMITS)
def test_over_limit_is_read(text: str) -> None:
    """OL as it is written by someone who does not know it."""
    _, meaning = read_transcript(text, expectation_for_unit("ohm"))
    assert sense_of(meaning) == (OverLimit(Unit.OHM), None)


@pytest.mark.parametrize(("unit", "text"), NOTHING)
def test_what_means_nothing_here_stays_unread(unit: str, text: str) -> None:
    """Other talk, another unit, two numbers: no meaning, and no guess."""
    _, meaning = read_transcript(text, expectation_for_unit(unit))
    assert isinstance(meaning, Unclear)


def test_a_lone_figure_said_twice_is_not_left_out() -> None:
    """Written "2 2", it may be twenty-two, so it is never read as 2."""
    for text in (" 2 2", " two two"):
        _, meaning = read_transcript(text, expectation_for_unit("ohm"))
        assert sense_of(meaning) == sense_of(understand("two two", expectation_for_unit("ohm")))


def test_a_number_and_the_beginning_of_another_are_two() -> None:
    """Written "40 4", it is not "40" written again and cut short: that takes two before it."""
    _, meaning = read_transcript(" 40 4", expectation_for_unit("ohm"))
    assert sense_of(meaning) != sense_of(understand("40", expectation_for_unit("ohm")))


@pytest.mark.parametrize("text", [" Back.", " Back, please.", " Back. Back."])
def test_what_is_a_command_only_when_typed_is_not_heard(text: str) -> None:
    """A lone "back" is part of too much other talk to take an answer back by sound."""
    expectation = expectation_for_unit("ohm")
    assert isinstance(read_transcript(text, expectation)[1], Unclear)
    _, meaning = read_transcript(" Go back.", expectation)
    assert meaning == Command(CommandKind.BACK)


def test_yes_and_commands_are_read() -> None:
    """Answers that are no numbers."""
    _, meaning = read_transcript(" Yes. Yes.", expectation_for_unit("yes_no"))
    assert meaning == YesNo(is_yes=True)
    _, meaning = read_transcript(" Scratch that! Scratch that!", expectation_for_unit("ohm"))
    assert meaning == Command(CommandKind.SCRATCH)


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        (" Aching point three.", True),
        (" 59. 1.", True),
        (" Oh well.", True),
        (" Hand me the screwdriver, please.", False),
        (" Thank you for watching!", False),
        (" I want to go to the store.", False),
        ("", False),
    ],
)
def test_numerals_tell_a_number_that_cannot_be_read_from_other_talk(
    text: str, is_one: bool
) -> None:
    """What has figures or numerals in it may be the number; "to" and "for" alone are none."""
    assert is_one == is_like_a_number(text, expectation_for_unit("ohm"))
    assert not is_like_a_number(text, expectation_for_unit("yes_no"))


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("146 volts", "one forty six volts"),
        ("146 volts", "one hundred and forty six volts"),
        ("146", "one four six"),
        ("2400", "twenty four hundred"),
        ("0.55", "point five five"),
        ("180.5 ohms", "one eighty point five ohms"),
        ("o l", "o l"),
    ],
)
def test_figures_are_given_as_they_may_have_been_said(written: str, said: str) -> None:
    """A first ear can only be held to words."""
    assert said in spoken_ways(written)
    assert not any(character.isdigit() for way in spoken_ways(written) for character in way)


@pytest.mark.parametrize("text", [" Seven. Seven.", " Seven, seven."])
def test_a_lone_digit_said_again_is_another_one(text: str) -> None:
    """Not one seven that was written twice: that would be a number cut short."""
    digits = replace(expectation_for_unit("ohm"), digits_only=True)
    _, meaning = read_transcript(text, digits)
    assert isinstance(meaning, Value)
    assert str(meaning.reading) == str(Quantity(Decimal(77), Unit.OHM))
    assert not isinstance(read_transcript(text, expectation_for_unit("ohm"))[1], Value)


def test_what_is_not_read_behind_digits_is_no_unit() -> None:
    """A digit may be written "toes", so the number is not 86; "gnomes" behind a number are ohms."""
    digits = replace(expectation_for_unit("ohm"), digits_only=True)
    assert isinstance(read_transcript(" Eight six toes.", digits)[1], Unclear)
    assert isinstance(read_transcript(" 86 gnomes.", expectation_for_unit("ohm"))[1], Value)


@pytest.mark.parametrize(
    ("unit", "words", "ways"),
    [
        ("ohm", "seventeen point five ohms", ("Seventeen point five ohms!", "17.5 ohms!")),
        ("volt", "it's two forty", ("It's two forty!", "It's 240!")),
        ("in_wc", "point five eight", ("Point five eight!", "0.58!")),
        ("ohm", "seventeen point zero", ("Seventeen point zero!", "17.0!")),
        ("ohm", "17.5 ohms", ("17.5 ohms!",)),
        ("ohm", "over limit", ("Over limit!", "O L!")),
        ("yes_no", "nope", ("Nope.",)),
        ("ohm", "two six", ("Two six!",)),
    ],
)
def test_what_was_said_is_compared_in_words_and_in_figures(
    unit: str, words: str, ways: tuple[str, ...]
) -> None:
    """As whisper may write it; what has no one meaning here has no figures."""
    assert written_ways(words, expectation_for_unit(unit)) == ways
