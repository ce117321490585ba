"""pocketsphinx on real sound at real turns: right values, and nothing from what is no answer."""

import math
from decimal import Decimal

import numpy as np
import pytest
from ears_tools import DATA, recorded

from assistant.ears import sphinx as front_ends
from assistant.ears.hearing import hear_file
from assistant.ears.makers import make_recogniser
from assistant.ears.pronouncing import guess_phones
from assistant.ears.recogniser import Hypothesis
from assistant.ears.sound import EarsError
from assistant.ears.sphinx import SphinxRecogniser
from assistant.ears.sphinx_decoder import SphinxDecoder, _log
from assistant.ears.voting import FAINT
from assistant.ears.weighing import Search
from assistant.quantity import OverLimit, Quantity, Unit
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.meaning import (
    Choice,
    Command,
    CommandKind,
    Expectation,
    Picked,
    Unclear,
    Value,
    YesNo,
)
from assistant.spoken.understanding import understand

LOCKED = Expectation(choices=(Choice("locked", ("locked out and tagged",)),))


@pytest.fixture(scope="module")
def sphinx() -> SphinxRecogniser:
    """Give one recogniser for the module: loading five decoders takes 0.5 s."""
    return SphinxRecogniser()


READINGS = {
    ("seventeen_point_five_ohms", "ohm"): Quantity(Decimal("17.5"), Unit.OHM),
    ("two_hundred_thirty_volts", "volt"): Quantity(Decimal(230), Unit.VOLT),
    ("forty_five_microfarads", "microfarad"): Quantity(Decimal(45), Unit.MICROFARAD),
    ("one_eighteen_pause_point_five", "volt"): Quantity(Decimal("118.5"), Unit.VOLT),
    ("over_limit", "ohm"): OverLimit(Unit.OHM),
}


@pytest.mark.parametrize(("name", "unit"), READINGS)
def test_readings_are_heard(sphinx: SphinxRecogniser, name: str, unit: str) -> None:
    """A reading said at its step is that reading."""
    expectation = expectation_for_unit(unit)
    heard = hear_file(DATA / f"{name}.wav", expectation, sphinx)
    meaning = understand(heard.words, expectation)
    assert isinstance(meaning, Value)
    assert READINGS[name, unit] == meaning.reading


def test_other_answers_are_heard(sphinx: SphinxRecogniser) -> None:
    """Yes, a command and a choice."""
    yes_no = expectation_for_unit("yes_no")
    yes = hear_file(DATA / "yes.wav", yes_no, sphinx)
    assert YesNo(is_yes=True) == understand(yes.words, yes_no)
    for unit in ("ohm", "volt", "yes_no"):
        turn = expectation_for_unit(unit)
        scratch = hear_file(DATA / "scratch_that.wav", turn, sphinx)
        assert Command(CommandKind.SCRATCH) == understand(scratch.words, turn)
    locked = hear_file(DATA / "locked_out_and_tagged.wav", LOCKED, sphinx)
    assert Picked("locked") == understand(locked.words, LOCKED)


NO_ANSWERS = [
    (name, unit)
    for name, right in {
        "two_hundred_thirty_volts": "volt",
        "seventeen_point_five_ohms": "ohm",
        "forty_five_microfarads": "microfarad",
        "yes": "yes_no",
        "locked_out_and_tagged": "",
        "screwdriver_please": "",
        "korean_two_four_zero": "",
    }.items()
    for unit in ("ohm", "volt", "microfarad", "ampere", "in_wc", "yes_no")
    if unit != right
]


@pytest.mark.parametrize(("name", "unit"), NO_ANSWERS)
def test_what_is_no_answer_gives_no_number(sphinx: SphinxRecogniser, name: str, unit: str) -> None:
    """Another step's reading, other speech and another language are never believed unasked."""
    expectation = expectation_for_unit(unit)
    heard = hear_file(DATA / f"{name}.wav", expectation, sphinx)
    if heard.words:
        meaning = understand(heard.words, expectation)
        assert heard.doubt or isinstance(meaning, (Unclear, Command)), heard


@pytest.mark.parametrize("gain", [0.05, 0.3, 1.9])
def test_loudness_does_not_matter(sphinx: SphinxRecogniser, gain: float) -> None:
    """Twenty times fainter, or nearly at full scale, is the same reading."""
    sound = recorded("seventeen_point_five_ohms")
    louder = np.clip(sound * gain, -32768, 32767).astype(np.int16)
    sphinx.begin(expectation_for_unit("ohm"))
    sphinx.feed(louder)
    assert sphinx.finish().words == "seventeen point five ohms"


def test_a_word_of_no_dictionary_is_spelled_and_named(sphinx: SphinxRecogniser) -> None:
    """A flow's odd word does not break its step, and stays reported after it was guessed."""
    odd = Expectation(choices=(Choice("odd", ("zorblax glows",)), Choice("free", ("turns free",))))
    assert sphinx.lacks(["zorblax", "glows"]) == ("zorblax",)
    sphinx.begin(odd)
    sphinx.feed(recorded("yes"))
    assert "glows" not in sphinx.finish().words
    assert sphinx.lacks(["zorblax", "glows"]) == ("zorblax",)


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("meg", "M EH G"),
        ("ship", "SH IH P"),
        ("light", "L AY T"),
        ("queen", "K W IY N"),
        ("zorblax", "Z AO R B L AE K S"),
        ("", "AH"),
        ("123", "AH"),
    ],
)
def test_phones_are_guessed_from_letters(word: str, phones: str) -> None:
    """The usual sounds of letters; "meg", "ship", "light", "queen" as in the CMU dictionary."""
    assert phones == guess_phones(word)


def test_every_guess_is_made_of_phones_the_model_has(sphinx: SphinxRecogniser) -> None:
    """No spelling can make a pronunciation that pocketsphinx refuses."""
    decoder = sphinx._usual[0]
    for number, word in enumerate(["tchdge", "eighigh", "xyzzy", "aeiouy", "q", "ction", "ngph"]):
        decoder.learn(f"guessed{number}", guess_phones(word))
        assert decoder.knows(f"guessed{number}")


def test_a_bad_pronunciation_is_told(sphinx: SphinxRecogniser) -> None:
    """A phone that the model lacks is named with its word."""
    with pytest.raises(EarsError, match="'QQ' is no pronunciation"):
        sphinx._usual[0].learn("qqword", "QQ")


def test_a_search_with_an_unknown_word_is_told(sphinx: SphinxRecogniser) -> None:
    """The decoder itself names the word it cannot hear."""
    with pytest.raises(EarsError, match="unheardofx"):
        sphinx._usual[0].prepare(Search(((0, 1, 1.0, "unheardofx"),), 1))


def test_many_turns_do_not_pile_up() -> None:
    """Old searches are forgotten, and one that is asked for again works again."""
    decoder = SphinxDecoder()
    sound = recorded("yes")
    searches = [
        Search(((0, 1, 1.0, "yes"), (0, 1, 1.0, "no"), (0, 2, 1.0, "why"), (2, 1, 1.0, word)), 1)
        for word in _SOME_WORDS
    ]
    for search in [*searches, *searches]:
        assert decoder.decode(decoder.prepare(search), sound).words == "yes"
    assert len(decoder._searches) <= 3


_SOME_WORDS = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety", "hundred",
]  # fmt: skip


def test_sound_beyond_all_words_has_a_score(sphinx: SphinxRecogniser) -> None:
    """Minutes of one loud tone score so badly that the score underflows: no crash, no words."""
    square = np.where(np.arange(20 * 16000) // 40 % 2, 30000, -30000).astype(np.int16)
    sphinx.begin(expectation_for_unit("volt"))
    sphinx.feed(square)
    assert sphinx.finish().words == ""


def test_a_score_of_zero_is_very_low() -> None:
    """A score that underflowed is as low as floating point goes (2.2e-308), not an error."""
    assert _log(0.0) == pytest.approx(math.log(2.2250738585072014e-308) / math.log(1.0001))
    assert _log(1.0) == 0


def test_the_maker_makes_it() -> None:
    """The table's maker gives this recogniser."""
    assert make_recogniser("sphinx").name == "sphinx"


@pytest.mark.parametrize(
    ("words", "is_settled", "doubt"),
    [
        ("two thirty", False, FAINT),
        ("two thirty", True, ""),
        ("the second one", False, FAINT),
        ("it hums", False, ""),
        ("help", False, ""),
    ],
)
def test_a_number_that_the_front_ends_did_not_settle_on_is_doubted(
    sphinx: SphinxRecogniser,
    words: str,
    is_settled: bool,
    doubt: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Also the number of a choice; a choice by its name, a command and a no are not numbers."""
    monkeypatch.setattr(front_ends, "vote", lambda *_: Hypothesis(words))
    monkeypatch.setattr(front_ends, "is_settled", lambda *_: is_settled)
    number = expectation_for_unit("volt").number
    choices = (Choice("runs", ("it runs",)), Choice("hums", ("it hums",)))
    sphinx.begin(Expectation(number=None if "second" in words else number, choices=choices))
    sphinx.feed(recorded("two_hundred_thirty_volts"))
    assert doubt == sphinx.finish().doubt
