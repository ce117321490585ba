"""Three readings without letters, and a winding against its maker's table."""

from decimal import Decimal
from itertools import permutations

import pytest

from assistant.quantity import Quantity, Unit
from assistant.trade import compressor
from assistant.trade.bounds import TradeError
from assistant.trade.formulas import work_out

_PLACES = ("first_second_ohms", "first_third_ohms", "second_third_ohms")


def _three(first_second: str, first_third: str, second_third: str) -> dict[str, Quantity]:
    readings = (first_second, first_third, second_third)
    return {
        name: Quantity(Decimal(ohms), Unit.OHM)
        for name, ohms in zip(_PLACES, readings, strict=True)
    }


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        # C072: 12 = 4.9, 13 = 3.1, 23 = 1.8; series rule, S-R highest, C-S middle, C-R lowest (S)
        ("compressor_common_start", "3.1"),
        ("compressor_common_run", "1.8"),
        ("compressor_start_run", "4.9"),
        ("compressor_common_terminal", "3"),
        ("compressor_start_terminal", "1"),
        ("compressor_run_terminal", "2"),
    ],
)
def test_a_flow_can_name_terminals_by_three_readings(formula: str, expected: str) -> None:
    """The formulas of flow files give what the check value of the trade has."""
    assert Decimal(expected) == work_out(formula, _three("4.9", "3.1", "1.8")).value


@pytest.mark.parametrize("pins", sorted(permutations((1, 2, 3))))
def test_any_order_of_pins_is_told(pins: tuple[int, int, int]) -> None:
    """Wherever C, S and R sit, the readings that they make name them again (identity)."""
    common, start, run = pins
    ohms = {
        frozenset({common, run}): 1.1,
        frozenset({common, start}): 5.2,
        frozenset({start, run}): 6.3,
    }
    given = [ohms[frozenset(pair)] for pair in ((1, 2), (1, 3), (2, 3))]
    told = (
        compressor.common_terminal(*given),
        compressor.start_terminal(*given),
        compressor.run_terminal(*given),
    )
    assert pins == told


def test_two_equal_readings_name_no_pin() -> None:
    """Where two readings are the same nothing is guessed."""
    with pytest.raises(TradeError, match="equal"):
        compressor.common_terminal(3.1, 3.1, 6.2)


@pytest.mark.parametrize(
    ("table", "measured", "ohms", "percent"),
    [
        (4.4, 2.64, 1.76, 40),  # 40 percent of the turns shorted (identity)
        (1.9, 1.9, 0, 0),
        (1.9, 2.0, -0.1, -5.2632),
    ],
)
def test_what_a_winding_lacks_is_told_in_ohms_and_percent(
    table: float, measured: float, ohms: float, percent: float
) -> None:
    """Short of the table is positive, beyond it negative."""
    assert pytest.approx(ohms) == compressor.shortfall_ohms(table, measured)
    assert pytest.approx(percent, rel=1e-4) == compressor.shortfall_percent(table, measured)


def test_a_table_of_nothing_gives_no_share() -> None:
    """Nothing is a percentage of zero ohms."""
    with pytest.raises(TradeError, match="table_ohms"):
        compressor.shortfall_percent(0, 1)
