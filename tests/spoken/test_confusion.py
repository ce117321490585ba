"""Which values a value is mistaken for. Wording: common practice, no source."""

from decimal import Decimal

import pytest
from spoken_cases import expectation

from assistant.quantity import OverLimit, Quantity, Reading, Unit
from assistant.spoken.confusion import neighbours
from assistant.spoken.meaning import Expectation, NumberForm


def _values(value: str, name: str = "ohm", alternatives: tuple[str, ...] = ()) -> set[str]:
    turn = expectation(name)
    assert turn.number is not None
    reading = Quantity(Decimal(value), turn.number.units[0])
    return {_text(other.reading) for other in neighbours(reading, turn, alternatives)}


def _text(reading: Reading) -> str:
    return "OL" if isinstance(reading, OverLimit) else f"{reading.value:f}"


@pytest.mark.parametrize(
    ("value", "other"),
    [
        *[(f"1{n}", f"{n}0") for n in range(3, 10)],
        *[(f"{n}0", f"1{n}") for n in range(3, 10)],
        ("115", "150"),
        ("150", "115"),
        ("15.05", "50.05"),
        ("50.05", "15.05"),
        ("3.15", "3.50"),
        ("3.50", "3.15"),
        ("1350", "1315"),
        ("1350", "3050"),
        ("15000", "50000"),
        ("17.5", "175"),
        ("175", "17.5"),
        ("987", "9.87"),
        ("75", "7.5"),
        ("1505", "15.05"),
        ("155", "15"),
        ("15", "155"),
        ("15", "115"),
        ("40", "140"),
        ("140", "40"),
        ("115", "815"),
        ("815", "115"),
        ("5", "9"),
        ("15.05", "19.05"),
        ("15.05", "15.09"),
        ("0", "OL"),
        ("0.2", "OL"),
        ("0.03", "3"),
        ("3", "0.03"),
        ("3", "0.3"),
        ("118", "0.118"),
    ],
)
def test_confusable(value: str, other: str) -> None:
    """Each of these pairs is known to be mistaken one for the other."""
    assert other in _values(value)


@pytest.mark.parametrize(
    ("value", "other"),
    [
        ("12", "20"),
        ("11", "110"),
        ("20", "12"),
        ("7", "1"),
        ("15", "-15"),
        ("15", "OL"),
        ("15", "16"),
    ],
)
def test_not_confusable(value: str, other: str) -> None:
    """Values that nothing mistakes for each other are left out, so that fewer are asked back."""
    assert other not in _values(value)


def test_over_limit_and_zero() -> None:
    """OL may have been zero."""
    turn = expectation("ohm")
    (only,) = neighbours(OverLimit(Unit.OHM), turn)
    assert Quantity(Decimal(0), Unit.OHM) == only.reading


def test_sign_only_where_it_matters() -> None:
    """A lost "minus" counts where negative readings can be, and nowhere else."""
    assert "-0.3" in _values("0.3", "in_wc")
    assert "0.3" in _values("-0.3", "in_wc")
    assert "-15" not in _values("15", "ohm")


def test_range_leaves_out_the_impossible() -> None:
    """At the limit stays, just outside goes."""
    inside = Expectation(NumberForm((Unit.OHM,), plausible=(Decimal(1), Decimal(50))))
    outside = Expectation(NumberForm((Unit.OHM,), plausible=(Decimal(1), Decimal("49.9"))))
    fifteen = Quantity(Decimal(15), Unit.OHM)
    assert Decimal(50) in {n.reading.value for n in neighbours(fifteen, inside)}  # type: ignore[union-attr]
    assert Decimal(50) not in {n.reading.value for n in neighbours(fifteen, outside)}  # type: ignore[union-attr]


def test_allowed_values_only() -> None:
    """A nameplate's neighbour is another printed value, or there is none."""
    assert set() == _values("230", "label_volt")
    assert {"120"} == _values("115", "label_volt", ("one twenty",))


def test_alternatives_count() -> None:
    """What a recogniser nearly heard is a neighbour, ambiguous or not; the same value is none."""
    assert "22" in _values("17", alternatives=("twenty two",))
    assert {"7.5", "75"} <= _values("17", alternatives=("seven five",))
    assert "17" not in _values("17", alternatives=("seventeen ohms",))
    assert _values("17") == _values("17", alternatives=("banana", "go back"))


def test_no_number_no_neighbours() -> None:
    """A turn that takes no number has no confusable values."""
    assert () == neighbours(Quantity(Decimal(15), Unit.OHM), expectation("yes_no"))


WHOLES = (*range(130), 150, 208, 230, 240, 277, 370, 440, 480, 500, 900, 1050, 1075, 1550, 15000)
DECIMALS = ("", ".0", ".5", ".9", ".05", ".15", ".50", ".03", ".30", ".55", ".005", ".118", ".150")


def test_what_is_mistaken_one_way_is_mistaken_the_other() -> None:
    """A value is asked back for what may have been said, not only for what it may be heard as."""
    form = NumberForm((Unit.OHM,), plausible=(Decimal(0), Decimal(10_000_000)))
    turn = Expectation(number=form)

    def near(value: Decimal) -> set[Decimal]:
        found = neighbours(Quantity(value, Unit.OHM), turn)
        return {n.reading.value for n in found if isinstance(n.reading, Quantity)}

    one_way = [
        (said, heard)
        for said in (Decimal(f"{whole}{decimals}") for whole in WHOLES for decimals in DECIMALS)
        for heard in near(said)
        if said not in near(heard)
    ]
    assert [] == one_way
