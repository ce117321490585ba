"""What sounds alike: by the recogniser's own dictionary, not by spelling."""

import pytest

from assistant.checks.likeness import distance, is_near
from assistant.checks.phrases import ALIKE, ALIKE_COMMAND
from assistant.checks.pronouncing import has_dictionary, sounds_of, ways_of_saying
from assistant.checks.sayable import is_sayable
from assistant.flow.library import flow_names, open_flow
from assistant.flow.model import SpokenStep
from assistant.quantity import Unit, quantity

MISHEARD = [
    # said the same (CMU pronouncing dictionary)
    ("loose", "lose"),
    ("right", "write"),
    ("blew", "blue"),
    ("bare", "bear"),
    # one sound apart; voiced and unvoiced, stops, nasals: common practice, no source
    ("tight", "type"),
    ("hold", "holds"),
    ("it drags", "it drag"),
    ("good", "could"),
    ("hot", "not"),
    ("full", "fill"),
    ("free", "three"),
    ("worn", "warm"),
    ("it trips", "it drips"),
    ("seized", "ceased"),
    ("it is on", "it is off"),
]
APART = [
    ("it runs", "it hums"),
    ("stiff", "stuck"),
    ("tap is right", "tap is wrong"),
    ("it clicks", "no click"),
    ("panels are on", "a panel is off"),
    ("coil is clean", "coil is iced"),
    ("no play", "side play"),
]


def nearest(one: str, other: str) -> float:
    """Give how near two phrases come, over all their pronunciations."""
    return min(distance(a, b, 9.0) for a in sounds_of(one) for b in sounds_of(other))


def test_the_dictionary_is_the_recognisers() -> None:
    """The file that comes with the recogniser is read, with its second pronunciations."""
    assert has_dictionary()
    assert ("M", "OW", "T", "ER") in ways_of_saying("motor")
    assert {("L", "EH", "D"), ("L", "IY", "D")} == set(ways_of_saying("lead"))
    assert ways_of_saying("kilohms") == (("K", "IH", "L", "OW", "M", "Z"),)
    assert ways_of_saying("grinzle") == ()
    assert ways_of_saying("") == ()


@pytest.mark.parametrize("pair", MISHEARD, ids=" / ".join)
def test_what_is_misheard_is_near(pair: tuple[str, str]) -> None:
    """Pairs that differ by one sound, or by none, are nearer than the limit, both ways round."""
    assert nearest(*pair) < ALIKE
    assert nearest(*pair) == nearest(*reversed(pair))


@pytest.mark.parametrize("pair", APART, ids=" / ".join)
def test_what_is_told_apart_is_not_near(pair: tuple[str, str]) -> None:
    """Answers of the shipped flows that are told apart well lie outside the limit."""
    assert nearest(*pair) >= ALIKE


def test_the_quick_look_agrees_with_the_distance() -> None:
    """What is passed over quickly is never a pair that the distance would have called near."""
    words = sorted({word for pair in MISHEARD + APART for word in pair})
    for limit in (ALIKE, ALIKE_COMMAND):
        for one in words:
            for other in words:
                for a in sounds_of(one):
                    for b in sounds_of(other):
                        assert is_near(a, b, limit) == (distance(a, b, limit) < limit)


def test_every_answer_of_the_shipped_flows_has_a_sound() -> None:
    """No phrase that must be heard is left without a pronunciation."""
    for name in flow_names():
        for step in open_flow(name).steps.values():
            if isinstance(step, SpokenStep):
                for answer in step.choices.values():
                    assert all(sounds_of(phrase) for phrase in answer.phrases)


@pytest.mark.parametrize(
    ("value", "unit", "is_so"),
    [
        ("20000000", Unit.OHM, True),
        ("0.001", Unit.IN_WC, True),
        ("0.0001", Unit.IN_WC, False),
        ("17.55", Unit.OHM, True),
        ("999999999", Unit.OHM, True),
        ("50000000000", Unit.VOLT, False),
        ("1625.00005", Unit.RPM, False),
        ("0", Unit.VOLT, True),
    ],
)
def test_a_number_can_be_said_or_not(value: str, unit: Unit, is_so: bool) -> None:
    """A number is sayable where some words of the grammar come to exactly it."""
    wanted = quantity(value, unit).value
    assert is_sayable(wanted, unit, takes_negative=False) is is_so


def test_below_zero_only_where_minus_is_taken() -> None:
    """A number below zero is sayable only at a step that takes one."""
    wanted = quantity("-5", Unit.IN_WC).value
    assert is_sayable(wanted, Unit.IN_WC, takes_negative=True)
    assert not is_sayable(wanted, Unit.IN_WC, takes_negative=False)
