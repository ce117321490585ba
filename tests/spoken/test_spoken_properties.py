"""Say a number, understand it, get it back; and never a number out of words that say none."""

from decimal import Decimal

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from spoken_cases import NAMED, expectation

from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.confusion import neighbours
from assistant.spoken.grammar import grammar_for, wide_grammar
from assistant.spoken.meaning import Expectation, NumberForm, Unclear, Value
from assistant.spoken.phrasing import ask_back, say_digits, say_reading
from assistant.spoken.tokens import tokenise
from assistant.spoken.understanding import understand

EVERY = ("ohm", "microfarad", "volt", "ampere", "in_wc", "yes_no", "any", *NAMED)
MEASURED = ("ohm", "microfarad", "volt", "ampere", "in_wc", "rpm", "cfm", "watt", "pascal")
LARGEST = 999_999
_QUICK = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=300)


def _same(first: Reading, second: Reading) -> bool:
    """Tell whether two readings are equal to the last digit said."""
    if isinstance(first, OverLimit) or isinstance(second, OverLimit):
        return first == second
    return (f"{first.value:f}", first.unit) == (f"{second.value:f}", second.unit)


@st.composite
def readings(draw: st.DrawFn) -> Quantity:
    """A number with up to three decimals, as a meter shows, in any unit."""
    decimals = draw(st.integers(0, 3))
    value = Decimal(draw(st.integers(0, LARGEST))).scaleb(-decimals)
    return Quantity(value, draw(st.sampled_from(list(Unit))))


@_QUICK
@given(readings())
@example(Quantity(Decimal("0.05"), Unit.OHM))
@example(Quantity(Decimal("15.05"), Unit.MICROFARAD))
@example(Quantity(Decimal("17.50"), Unit.OHM))
@example(Quantity(Decimal(208), Unit.VOLT))
@example(Quantity(Decimal(1), Unit.OHM))
def test_every_form_parses_back(reading: Quantity) -> None:
    """Each way of saying a reading means that reading and nothing else."""
    turn = Expectation(NumberForm((reading.unit,), takes_over_limit=True))
    for words in say_reading(reading):
        meaning = understand(words, turn)
        assert isinstance(meaning, Value), (words, meaning)
        assert meaning.doubts == (), words
        assert _same(reading, meaning.reading), words


@_QUICK
@given(readings())
def test_digits_parse_back(reading: Quantity) -> None:
    """A reading said digit by digit means itself where only digits are taken."""
    turn = Expectation(NumberForm((reading.unit,)), digits_only=True)
    meaning = understand(say_digits(reading), turn)
    assert isinstance(meaning, Value)
    assert _same(reading, meaning.reading)
    asked = understand(ask_back(reading).rstrip("?"), turn)
    assert isinstance(asked, Value)
    assert _same(reading, asked.reading)


@_QUICK
@given(readings())
def test_typed_digits_parse_back(reading: Quantity) -> None:
    """A reading typed in digits means itself, with or without commas between thousands."""
    turn = Expectation(NumberForm((reading.unit,)))
    for text in (f"{reading.value:f}", f"{reading.value:,f}"):
        meaning = understand(text, turn)
        assert isinstance(meaning, Value)
        assert _same(reading, meaning.reading)


@_QUICK
@given(st.integers(-LARGEST, -1), st.integers(0, 3))
def test_negative_values_parse_back(digits: int, decimals: int) -> None:
    """Below zero works where the turn takes it, and is refused where it does not."""
    reading = Quantity(Decimal(digits).scaleb(-decimals), Unit.IN_WC)
    for words in say_reading(reading):
        meaning = understand(words, expectation("in_wc"))
        assert isinstance(meaning, Value)
        assert _same(reading, meaning.reading)
        assert isinstance(understand(words, Expectation(NumberForm((Unit.IN_WC,)))), Unclear)


@pytest.mark.parametrize("words", say_reading(OverLimit(Unit.OHM)))
def test_over_limit_parses_back(words: str) -> None:
    """Each way of saying OL means OL on a resistance."""
    assert Value(OverLimit(Unit.OHM)) == understand(words, expectation("ohm"))


@_QUICK
@given(st.sampled_from(EVERY), st.integers(0, 10**9))
def test_generated_sentences_have_a_meaning(name: str, number: int) -> None:
    """What a recogniser's grammar can hear is taken by the parser, unless a pair was refused."""
    turn = expectation(name)
    grammar = grammar_for(turn)
    words = grammar.phrase(number)
    meaning = understand(words, turn)
    if grammar.accepts(words):
        assert grammar.is_complete(words)
        assert not grammar.is_unfinished(words)
        assert not isinstance(meaning, Unclear) or meaning.question
    else:
        assert isinstance(meaning, Unclear)
    assert set(tokenise(words)) <= grammar.words()


@_QUICK
@given(st.sampled_from(EVERY), st.integers(0, 10**9), st.data())
def test_beginnings_are_known(name: str, number: int, data: st.DataObject) -> None:
    """Every beginning of a phrase that parses is whole itself or unfinished."""
    grammar = grammar_for(expectation(name))
    words = grammar.phrase(number).split()
    if len(words) < 2 or not grammar.accepts(" ".join(words)):
        return
    head = " ".join(words[: data.draw(st.integers(1, len(words) - 1))])
    assert grammar.accepts(head) or grammar.is_unfinished(head)


_SPOILERS = {"not", "or", "about", "banana", "17,5", "to", "because", "note"}
_VOCABULARY = sorted(
    wide_grammar(NumberForm((Unit.OHM,))).words()
    | grammar_for(expectation("wheel")).words()
    | {"fifteen", "no", "17.5", "15", "/"}
    | _SPOILERS
)


@settings(deadline=None, max_examples=600)
@given(
    st.sampled_from([*MEASURED, "tap", "dual", "digits", "label_volt"]),
    st.lists(st.sampled_from(_VOCABULARY), max_size=8),
)
def test_salad_is_never_believed(name: str, salad: list[str]) -> None:
    """Words at random come to a value only where a grammar takes every one of them."""
    turn = expectation(name)
    words = " ".join(salad)
    meaning = understand(words, turn)
    if isinstance(meaning, Value):
        assert turn.number is not None
        assert not _SPOILERS & set(salad)
        assert grammar_for(turn).accepts(words) or wide_grammar(turn.number).accepts(words)


@_QUICK
@given(readings(), st.sampled_from(["banana", "gnomes", "not", "or", "fifteen volts", "17,5"]))
def test_a_stray_word_spoils_a_value(reading: Quantity, stray: str) -> None:
    """No value is believed while a word of the phrase is left over."""
    turn = Expectation(NumberForm((reading.unit,)))
    said = say_reading(reading)[0]
    for words in (f"{said} {stray}", f"{stray} {said}"):
        assert isinstance(understand(words, turn), Unclear), words


@_QUICK
@given(st.text(max_size=40))
@example("\u0663\u0665")
@example("\uff11\uff15")
@example("15\u200b5")
@example("-")
@example(",")
@example("0L0")
def test_any_text_has_one_meaning(text: str) -> None:
    """No text raises, and none without a known word is believed."""
    meaning = understand(text, expectation("ohm"))
    if isinstance(meaning, Value):
        assert tokenise(text)


@_QUICK
@given(readings(), st.sampled_from(["ohm", "tap", "in_wc", "volt", "run_cap", "label_volt"]))
def test_neighbours_keep_their_promises(reading: Quantity, name: str) -> None:
    """Neighbours are never the value, never twice, always acceptable, always in the same order."""
    turn = expectation(name)
    assert turn.number is not None
    unit = turn.number.units[0]
    value = Quantity(reading.value, unit)
    found = neighbours(value, turn, ("fifteen point five", "seven five"))
    assert found == neighbours(value, turn, ("fifteen point five", "seven five"))
    others = [neighbour.reading for neighbour in found]
    assert len(set(others)) == len(others)
    assert value not in others
    for other in others:
        if isinstance(other, OverLimit):
            assert turn.number.takes_over_limit
            continue
        assert other.value >= 0 or turn.number.takes_negative
        if turn.number.plausible:
            assert turn.number.plausible[0] <= other.value <= turn.number.plausible[1]
        if turn.number.allowed:
            assert other.value in turn.number.allowed
