"""Windings: temperature, insulation, sums, compressor terminals."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.trade import windings
from assistant.trade.bounds import TradeError
from assistant.trade.windings import InsulationBand

OHMS = st.floats(0.5, 500)
CELSIUS = st.floats(-20, 180)
METAL = st.sampled_from([windings.COPPER_K, 234.5, windings.ALUMINIUM_K])


@given(OHMS, CELSIUS, CELSIUS, METAL)
def test_correcting_there_and_back_changes_nothing(
    ohms: float, first_c: float, second_c: float, k: float
) -> None:
    """A correction to another temperature and back gives the reading again."""
    there = windings.resistance_at_temperature_ohms(ohms, first_c, second_c, k)
    assert pytest.approx(ohms) == windings.resistance_at_temperature_ohms(
        there, second_c, first_c, k
    )


@given(OHMS, CELSIUS, CELSIUS, METAL)
def test_temperature_by_resistance_inverts_the_correction(
    ohms: float, cold_c: float, hot_c: float, k: float
) -> None:
    """The hot ohms of a winding tell the temperature that made them."""
    hot_ohms = windings.resistance_at_temperature_ohms(ohms, cold_c, hot_c, k)
    found = windings.temperature_by_resistance_c(ohms, cold_c, hot_ohms, k)
    assert pytest.approx(hot_c, abs=1e-6) == found


@given(OHMS, st.floats(25, 150), st.floats(1, 30))
def test_a_hotter_winding_reads_more(ohms: float, temp_c: float, more_c: float) -> None:
    """Resistance rises with temperature."""
    warm = windings.resistance_at_temperature_ohms(ohms, 25, temp_c)
    assert warm < windings.resistance_at_temperature_ohms(ohms, 25, temp_c + more_c)


def test_rise_is_temperature_less_ambient() -> None:
    """The rise counts from the air around the motor (IEC 60034-1)."""
    temp_c = windings.temperature_by_resistance_c(5.2, 25, 6.86)
    assert pytest.approx(temp_c - 40) == windings.rise_by_resistance_kelvin(5.2, 25, 6.86, 40)


def test_readings_of_two_different_windings_are_not_a_temperature() -> None:
    """A result past 500 C is refused: 2.2 and 20 ohms are two windings."""
    with pytest.raises(TradeError, match="would be a winding at"):
        windings.temperature_by_resistance_c(2.2, 25, 20)


@given(st.floats(0.01, 5000))
def test_insulation_at_40_c_stays_as_it_is(megohms: float) -> None:
    """Both corrections leave a reading at 40 C alone."""
    assert pytest.approx(megohms) == windings.insulation_at_40c_halving_megohms(megohms, 40)
    assert pytest.approx(megohms) == windings.insulation_at_40c_thermoset_megohms(megohms, 40)


@given(st.floats(0.01, 5000), st.floats(10, 75))
def test_insulation_halves_for_ten_degrees(megohms: float, temp_c: float) -> None:
    """The same reading ten degrees hotter is worth twice as much at 40 C."""
    here = windings.insulation_at_40c_halving_megohms(megohms, temp_c)
    hotter = windings.insulation_at_40c_halving_megohms(megohms, temp_c + 10)
    assert pytest.approx(2 * here) == hotter


@pytest.mark.parametrize(
    ("megohms", "band"),
    [
        (100, InsulationBand.GOOD),
        (99.9, InsulationBand.WATCH),
        (5, InsulationBand.WATCH),
        (4.99, InsulationBand.DRY_AND_RETEST),
        (1, InsulationBand.DRY_AND_RETEST),
        (0.99, InsulationBand.REJECT),
        (0, InsulationBand.REJECT),
    ],
)
def test_insulation_bands_at_their_limits(megohms: float, band: InsulationBand) -> None:
    """100, 5 and 1 megohm part the bands (common practice, no source)."""
    assert band is windings.insulation_band(megohms)


@given(OHMS, OHMS)
def test_taps_in_a_row_add_up(faster: float, more: float) -> None:
    """What reads between two taps and the faster one's ohms add up to the slower one's."""
    between = windings.tap_difference_ohms(faster + more, faster)
    assert pytest.approx(more, rel=1e-6) == between
    assert pytest.approx(0, abs=1e-9) == windings.sum_error_ohms(faster + more, faster, between)


@given(st.floats(0.3, 20), st.floats(1.05, 5), st.permutations([1, 2, 3]))
def test_three_readings_tell_the_terminals_in_any_order(
    run_ohms: float, ratio: float, labels: list[int]
) -> None:
    """Common, start and run are found whichever numbers the terminals carry."""
    start_ohms = run_ohms * ratio
    common, start, run = labels
    ohms = {
        frozenset({common, run}): run_ohms,
        frozenset({common, start}): start_ohms,
        frozenset({start, run}): run_ohms + start_ohms,
    }
    pairs = (frozenset({1, 2}), frozenset({1, 3}), frozenset({2, 3}))
    found = windings.identify_compressor(*(ohms[pair] for pair in pairs))
    assert (common, start, run) == (found.common, found.start, found.run)
    assert (start_ohms, run_ohms) == (found.common_start_ohms, found.common_run_ohms)
    assert pytest.approx(0, abs=1e-9) == found.sum_error_ohms


@pytest.mark.parametrize("readings", sorted(set(permutations([3.1, 3.1, 6.2]))))
def test_equal_readings_tell_no_terminals(readings: tuple[float, float, float]) -> None:
    """Start and run are not guessed from two equal readings."""
    with pytest.raises(TradeError, match="equal"):
        windings.identify_compressor(*readings)


def test_a_tenth_of_the_turns_is_inside_the_meter_error() -> None:
    """A 10 percent turn short on 2.2 ohms is 0.22 ohm, below lead error (common practice)."""
    lost = 2.2 - windings.shorted_turns_ohms(2.2, 10)
    assert pytest.approx(0.22) == lost
    assert lost < windings.meter_error_ohms(2.2, 0.1, lead_ohms=0.1)


def test_meter_error_is_percent_counts_and_leads() -> None:
    """0.9 percent of 20 ohms, two counts of 0.1 and 0.2 ohm of leads make 0.58 ohm."""
    assert pytest.approx(0.58) == windings.meter_error_ohms(20, 0.1, 0.2)
